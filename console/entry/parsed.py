"""What an entry line was understood to say."""

from dataclasses import dataclass, field

from console.entry.load_words import LoadTyped
from console.entry.token_kind import TokenKind
from grade_library.facts import PieceFacts


@dataclass(frozen=True, slots=True, kw_only=True)
class Token:
    """One stretch of the line and what it was taken for."""

    kind: TokenKind
    start: int
    """First character, counted from 0."""
    end: int
    """One past the last character."""
    text: str
    """As typed."""
    meaning: str
    """As understood, for the live echo: "12.4 kg", "Cr 18.2 %", "bay YB", "not understood"."""
    problem: str = ""
    """What is wrong and what would be right; empty when nothing is."""
    offers: tuple[str, ...] = ()
    """What may stand in its place, the likelier first; `asking.answered` puts one there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ParsedLine:
    """One entry line, taken apart; nothing typed is ever dropped."""

    line: str
    """As typed, control characters already cleaned away."""
    tokens: tuple[Token, ...] = ()
    """In the order typed; every non-blank character belongs to exactly one."""
    mass_g: int | None = None
    """Weight of the whole entry in grams, > 0; None when not given (or wrong: see the token's problem)."""
    is_on_platform: bool = False
    """The weight is of the platform scale, which prints the tickets too."""
    weighings: int = 1
    """How often the scale was read for the weight: 2 where a tare was taken off."""
    count: int = 1
    """How many pieces the line stands for, >= 1."""
    facts: PieceFacts = field(default_factory=PieceFacts)
    bay_code: str | None = None
    """A bay chosen by the sorter."""
    is_hold: bool = False
    """The sorter asked for hold."""
    note: str = ""
    whose_load: LoadTyped | None = None
    """Whose load the pieces from here on belong to; None for a line that stands for a piece."""
    tag: str = ""
    """The tag of a piece on hold or of a bale; empty for a line that stands for a piece."""
    problems: tuple[str, ...] = ()
    """What keeps the line from being tallied, in the order typed; empty when it can be."""

    @property
    def asked(self) -> Token | None:
        """The first word that is asked back or not understood; None where there is none."""
        return next((token for token in self.tokens if token.kind is TokenKind.UNKNOWN), None)

    @property
    def is_blank(self) -> bool:
        """True for a line with nothing on it."""
        return not self.tokens

    @property
    def is_of_piece(self) -> bool:
        """True for a line that stands for a piece: not a blank one, nor one that names a load or a tag."""
        return not (self.is_blank or self.tag or self.whose_load is not None)

    @property
    def is_only_a_bay(self) -> bool:
        """True for the label of a bay and nothing else."""
        return self.bay_code is not None and all(token.kind is TokenKind.BAY for token in self.tokens)

    @property
    def can_be_tallied(self) -> bool:
        """True when the line has a weight and nothing on it is in doubt."""
        return self.mass_g is not None and not self.problems
