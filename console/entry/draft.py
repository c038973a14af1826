"""An entry line while it is being understood: its words and what has been taken for what so far."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from console.entry.splitting import Word
from console.entry.token_kind import TokenKind
from grade_library.facts import Claim


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A run of adjacent words and what it was taken for."""

    kind: TokenKind
    first: int
    """Index of its first word."""
    last: int
    """Index of its last word, first <= last."""
    meaning: str
    problem: str = ""
    offers: tuple[str, ...] = ()
    """What may stand in its place, the likelier first."""
    value: Any = None
    """What it stands for: grams, a count, a Claim, an enum member, element values; by kind."""
    usual: Claim | None = None
    """What a form means where the line says nothing else: "screws" are of steel as a rule."""


@dataclass(slots=True)
class Draft:
    """The words of one line, each taken at most once."""

    words: tuple[Word, ...]
    marks: list[Mark] = field(default_factory=list)
    taken: list[bool] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.taken = [False] * len(self.words)

    def take(
        self,
        kind: TokenKind,
        first: int,
        last: int,
        meaning: str,
        *,
        problem: str = "",
        offers: tuple[str, ...] = (),
        value: Any = None,
    ) -> None:
        """Take words first..last for one thing."""
        assert self.is_free(first, last)
        self.taken[first : last + 1] = [True] * (last - first + 1)
        self.marks.append(
            Mark(
                kind=kind,
                first=first,
                last=last,
                meaning=meaning,
                problem=problem,
                offers=offers,
                value=value,
            )
        )

    def change(self, mark: Mark, **values: Any) -> None:
        """Take the words of a mark for something else; what was asked of them is asked no more."""
        self.marks[self.marks.index(mark)] = replace(mark, **({"problem": "", "offers": ()} | values))

    def is_free(self, first: int, last: int | None = None) -> bool:
        """Return True while none of the words first..last is taken."""
        last = first if last is None else last
        return last < len(self.words) and not any(self.taken[first : last + 1])

    def free_words(self) -> Iterator[int]:
        """Yield the index of each word not yet taken, in order; words taken meanwhile are left out."""
        for index in range(len(self.words)):
            if not self.taken[index]:
                yield index

    def free_run(self, first: int, longest: int) -> int:
        """Return how many words from first on are free, at most `longest`."""
        length = 0
        while length < longest and self.is_free(first + length):
            length += 1
        return length

    def key(self, first: int, last: int | None = None) -> str:
        """Return the look-up text of words first..last, one blank between them."""
        last = first if last is None else last
        return " ".join(word.key for word in self.words[first : last + 1])

    def text(self, first: int, last: int | None = None) -> str:
        """Return words first..last as typed, one blank between them."""
        last = first if last is None else last
        return " ".join(word.text for word in self.words[first : last + 1])

    def of_kind(self, kind: TokenKind) -> list[Mark]:
        """Return the marks of one kind, in the order typed."""
        return sorted((mark for mark in self.marks if mark.kind is kind), key=lambda mark: mark.first)
