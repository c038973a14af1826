"""How many of the words that sorters type are understood, by language and kind."""

import csv
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine
from console.entry.token_kind import TokenKind
from grade_library.cautions import cautions_for
from grade_library.facts import Claim
from grade_library.library import GradeLibrary, load
from grade_library.naming.names import NameIndex
from tests.benchmarks import designations

LISTS = Path(__file__).parents[1] / "outside_checks"
WORDS_FILE = "words.csv"
ASKED_FILE = "words_to_ask.csv"
AFRESH_FILE = "words_afresh.csv"
BROAD = 0.5
"""Share of the grades of a claim that have to be of the kind meant (own choice: a trade word reaches
wide)."""


class Answer(StrEnum):
    """What came of a word."""

    RIGHT = "right"
    ASKED = "asked"
    """A question, or not known."""
    WRONG = "wrong"
    """Named as something else without a question."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One word of a list."""

    word: str
    language: str
    kind: str
    means: str
    """"grade 304", "group brass", "family ...", "series ...", "material ...", "form sheet", "ask", "near
    brass" ..."""
    source: str


def read_list(name: str) -> list[Row]:
    """Return the rows of a list of words; lines at its head that begin with # tell how it was made."""
    with (LISTS / name).open(encoding="utf-8", newline="") as file:
        return [Row(**row) for row in csv.DictReader(line for line in file if not line.startswith("#"))]


class Judge:
    """Holds what the words are judged by."""

    def __init__(self) -> None:
        self.library: GradeLibrary = load()
        self.names = NameIndex(self.library)

    def answer(self, row: Row) -> Answer:
        """Return what comes of a word that stands on a line with a weight."""
        parsed = parse_line(f"12.4 {row.word}", names=self.names, yard=None)
        claim = parsed.facts.claim
        kind, _, what = row.means.partition(" ")
        if kind == "ask":
            return Answer.RIGHT if self._leaves_open(parsed, claim) else Answer.WRONG
        if kind == "near":
            return self._near(parsed, claim, what)
        if parsed.problems:
            return Answer.ASKED
        if kind in ("remark", "known"):
            return Answer.RIGHT
        if kind == "caution":
            return Answer.RIGHT if self._warns(row.word, what) else Answer.WRONG
        if kind in _BENCH:
            return Answer.RIGHT if _notes(parsed, kind, what) else Answer.WRONG
        if claim is None:
            return Answer.ASKED
        return Answer.RIGHT if self._means(claim, kind, what) else Answer.WRONG

    def _leaves_open(self, parsed: ParsedLine, claim: Claim | None) -> bool:
        """Return True where a question is put, nothing is named, or what is named spans several groups."""
        if parsed.problems or claim is None or not claim.is_exact:
            return True
        groups = {self.library.grade(one).group for one in claim.grade_ids}
        return len(groups) > 1 or len(claim.material_ids) > 1

    def _near(self, parsed: ParsedLine, claim: Claim | None, what: str) -> Answer:
        """Judge a misspelling: right where what was meant is offered, or taken as close."""
        meant = parse_line(f"12.4 {what}", names=self.names, yard=None)
        asked = parsed.asked
        if asked is not None:
            offered = [parse_line(f"12.4 {offer}", names=self.names, yard=None) for offer in asked.offers]
            return Answer.RIGHT if any(_alike(one, meant, self.library) for one in offered) else Answer.ASKED
        return Answer.RIGHT if _alike(parsed, meant, self.library) else Answer.WRONG

    def _warns(self, word: str, caution_id: str) -> bool:
        shown = {caution.caution_id for caution in cautions_for(text=word)}
        claim = self.names.exact(word)
        for one in claim.material_ids if claim else ():
            material = self.library.dictionary.material(one)
            shown |= set(material.cautions) if material else set()
        return bool(shown) if caution_id == "any" else caution_id in shown

    def _means(self, claim: Claim, kind: str, what: str) -> bool:
        grades = [self.library.grade(one) for one in claim.grade_ids]
        if kind == "material":
            meant = self.library.dictionary.material(what)
            named = [self.library.dictionary.material(one) for one in claim.material_ids]
            return meant is not None and any(
                one is meant or (one and one.group == meant.group) for one in named
            )
        if claim.material_ids:
            named_bases = {
                known.base for one in claim.material_ids if (known := self.library.dictionary.material(one))
            }
            return bool(named_bases & self._bases(kind, what))
        if not grades:
            return False
        if kind == "grade":
            meant_grade = self.library.grade(what)
            return what in claim.grade_ids or all(grade.family == meant_grade.family for grade in grades)
        values = {
            "group": lambda grade: grade.group in what.split("+"),
            "groups": lambda grade: grade.group in what.split("+"),
            "family": lambda grade: grade.family == what,
            "series": lambda grade: grade.series == what,
            "family-of": lambda grade: grade.family == self.library.grade(what).family,
        }
        return sum(map(values[kind], grades)) >= min(1, BROAD * len(grades))

    def _bases(self, kind: str, what: str) -> set[str]:
        """Return the main metals of what is meant: a thing made of it will do."""
        wanted = set(what.split("+")) | {self.library.grade(what).group if kind == "grade" else what}
        return {
            grade.base for grade in self.library.grades if wanted & {grade.group, grade.family, grade.series}
        }


_BENCH = {
    "form": TokenKind.FORM,
    "surface": TokenKind.SURFACE,
    "magnet": TokenKind.MAGNET,
    "heft": TokenKind.HEFT,
    "colour": TokenKind.COLOUR,
    "spark": TokenKind.SPARK,
}


def _notes(parsed: ParsedLine, kind: str, what: str) -> bool:
    """Return True where the line holds the bench fact: a token of that kind that says so."""
    bench = parsed.facts.bench
    stated = {
        "form": [bench.form],
        "surface": [*bench.surfaces, *(["attachments"] if bench.has_attachments else [])],
        "magnet": [bench.magnet],
        "heft": [bench.heft],
        "colour": [bench.colour],
        "spark": [bench.spark],
    }[kind]
    return any(one is not None and str(one).replace("_", " ") == what for one in stated)


def _alike(one: ParsedLine, other: ParsedLine, library: GradeLibrary) -> bool:
    """Return True where two lines say the same of the piece, or name metal of the same group."""
    if one.facts.claim is None or other.facts.claim is None:
        return one.facts.bench == other.facts.bench and one.problems == other.problems
    mine, theirs = one.facts.claim, other.facts.claim
    if mine.material_ids or theirs.material_ids:
        return bool(set(mine.material_ids) & set(theirs.material_ids))
    groups = [{library.grade(i).group for i in claim.grade_ids} for claim in (mine, theirs)]
    return bool(groups[0] & groups[1])


def judged(rows: list[Row]) -> Iterator[tuple[Row, Answer]]:
    """Yield each row of a list with what came of it."""
    judge = Judge()
    for row in rows:
        yield row, judge.answer(row)


def report(name: str = WORDS_FILE, *, missed: bool = False) -> str:
    """Return the figures of a list as a table, and what was missed where it is asked for."""
    lines, counts = [], Counter[tuple[str, str, Answer]]()
    for row, answer in judged(read_list(name)):
        counts[row.language, row.kind, answer] += 1
        if missed and answer is not Answer.RIGHT:
            lines.append(f"  {answer:6} {row.language} {row.kind:11} {row.word!r} means {row.means}")
    keys = sorted({(language, kind) for language, kind, _ in counts})
    table = [f"{'words':24} {'right':>6} {'asked':>6} {'wrong':>6} {'of':>6}"]
    for language, kind in keys:
        table.append(_line(f"{language} {kind}", [counts[language, kind, answer] for answer in Answer]))
    for language in sorted({language for language, _ in keys}):
        sums = [
            sum(counts[language, kind, answer] for one, kind in keys if one == language) for answer in Answer
        ]
        table.append(_line(f"all {language}", sums))
    return "\n".join([*table, *lines])


def _line(head: str, numbers: list[int]) -> str:
    total = sum(numbers)
    return (
        f"{head:24} "
        + " ".join(f"{number:6}" for number in (*numbers, total))
        + f"  {numbers[0] / total:.1%}"
    )


def asked_report() -> str:
    """Return how many of the words that mean nothing, or too much, are answered with a question."""
    answers = Counter(answer for _, answer in judged(read_list(ASKED_FILE)))
    return _line("to be asked", [answers[answer] for answer in Answer])


def main() -> int:
    """Print the figures; --missed lists what was not right."""
    missed = "--missed" in sys.argv
    print(report(missed=missed))
    print(asked_report())
    print(f"written afresh, {AFRESH_FILE}")
    print(report(AFRESH_FILE, missed=missed))
    print(designations.report(missed=missed))
    return 0
