"""How many keys a piece takes: the demo shift as it is typed, and in the fewest keys that say the same.

The fewest keys are found by machine: every word in its short form, a name in the shortest way of writing it
that means the same grades, a reading as one word or as values alone where the reading before had the same
elements in this order. A shorter line counts only where it is understood as the same piece, and comes to
the same bay. Notes are not counted: they say what no key can leave out. Enter is one key.

The third figure is what the bay needs: of a reading the elements from the first on that lead to the same bay
as surely, of a piece without one its weight and the code of that bay.
"""

import argparse
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from console.desk.piece.considering import Consideration, consider_line
from console.desk.piece.known import Known, load_yard_and_library
from console.entry.editing.spelling_out import Habit, habit_of, spelled_out
from console.entry.parsed import Token
from console.entry.token_kind import TokenKind
from console.entry.vocabulary import VOCABULARY
from console.readings.shot_text import number_text
from grade_library.facts import Reading
from grade_library.naming.names import NameIndex

DEMO = Path(__file__).resolve().parents[2] / "demo_yard"
AIM, AIM_READ = 8, 16
_SURENESS = ("open", "leaning", "settled")


@dataclass(frozen=True, slots=True, kw_only=True)
class Keys:
    """One piece of the shift."""

    typed: str
    fewest: str
    """As typed in the fewest keys found."""
    needed: str
    """What leads to the same bay as surely."""
    is_read: bool

    @property
    def saved(self) -> tuple[int, int, int]:
        """Keys as typed, in the fewest and of what is needed, Enter among them."""
        return len(self.typed) + 1, len(self.fewest) + 1, len(self.needed) + 1


class Shortening:
    """Finds a shorter line that says the same."""

    def __init__(self) -> None:
        yard, library = load_yard_and_library(DEMO)
        self.known = Known(library=library, names=NameIndex(library), yard=yard)
        self.habit = Habit()

    def full(self, line: str) -> str:
        """Return a line written out, as the console does."""
        known = self.known
        return spelled_out(line, self.habit, names=known.names, yard=known.yard, grade=known.library.grade)

    def shortened(self, line: str) -> Keys:
        """Return the shortest ways found to type a line; the line itself where no shorter one will do."""
        wanted = consider_line(line, self.known)
        same = [one for one in self._ways(wanted) if self._says_the_same(one, wanted)]
        fewest = min([line, *same], key=len)
        enough = [one for one in self._ways_of_what_is_needed(wanted) if self._goes_there(one, wanted)]
        needed = min([fewest, *enough], key=len)
        shots = wanted.parsed.facts.shots
        self.habit = habit_of(line, names=self.known.names, yard=self.known.yard) or self.habit
        return Keys(typed=line, fewest=fewest, needed=needed, is_read=bool(shots))

    def _ways_of_what_is_needed(self, wanted: Consideration) -> Iterator[str]:
        parsed = wanted.parsed
        assert wanted.placement is not None
        weight = next(token.text for token in parsed.tokens if token.kind is TokenKind.WEIGHT)
        if not parsed.facts.shots:
            yield f"{weight} {wanted.placement.bay.code.casefold()}"
            return
        order = habit_of(parsed.line, names=self.known.names, yard=self.known.yard)
        assert order is not None
        for count in range(1, len(order.elements) + 1):
            for one in _readings(parsed.facts.shots[0].reading, order.elements[:count]):
                yield f"{weight}{one}"
                yield f"{weight} {one}"

    def _goes_there(self, line: str, wanted: Consideration) -> bool:
        """Return whether a line leads to the same bay as surely; a code that is typed does."""
        said = consider_line(self.full(line), self.known)
        assert said.placement is not None
        assert wanted.placement is not None
        if not said.parsed.can_be_tallied or said.parsed.mass_g != wanted.parsed.mass_g:
            return False
        if said.parsed.bay_code:
            return True
        sureness = [_SURENESS.index(str(one.placement.sureness)) for one in (said, wanted) if one.placement]
        return said.placement.bay.code == wanted.placement.bay.code and sureness[0] >= sureness[1]

    def _says_the_same(self, line: str, wanted: Consideration) -> bool:
        said = consider_line(self.full(line), self.known)
        a, b = said.parsed, wanted.parsed
        is_same = (a.mass_g, a.count, a.bay_code, a.is_hold) == (b.mass_g, b.count, b.bay_code, b.is_hold)
        claims = [one.claim and (one.claim.grade_ids, one.claim.material_ids) for one in (a.facts, b.facts)]
        is_same = is_same and a.can_be_tallied and claims[0] == claims[1]
        is_same = is_same and (a.facts.shots, a.facts.bench) == (b.facts.shots, b.facts.bench)
        bays = [one.placement and one.placement.bay.code for one in (said, wanted)]
        return is_same and bays[0] == bays[1]

    def _ways(self, wanted: Consideration) -> Iterator[str]:
        """Yield ways to type a piece: words shortened, then names too, each with three ways of a reading."""
        tokens = wanted.parsed.tokens
        body = [one for one in tokens if one.kind not in (TokenKind.READING, TokenKind.SHOT)]
        short = [self._short(one) for one in body]
        shots = wanted.parsed.facts.shots
        for words in (short, *self._with_names(body, short, wanted)):
            if not shots:
                yield " ".join(words)
            elif len(shots) == 1:
                order = habit_of(wanted.parsed.line, names=self.known.names, yard=self.known.yard)
                assert order is not None
                for one in _readings(shots[0].reading, order.elements):
                    yield f"{words[0]}{one} {' '.join(words[1:])}".strip()
                    yield f"{words[0]} {one} {' '.join(words[1:])}".strip()

    def _short(self, token: Token) -> str:
        forms = [row.short for row in VOCABULARY if row.kind is token.kind and row.meaning == token.meaning]
        return min([*forms, re.sub(r"\s+", " ", token.text)], key=len)

    def _with_names(self, body: list[Token], short: list[str], wanted: Consideration) -> Iterator[list[str]]:
        """Yield the words with the name written in every way that the library knows of its grades."""
        claim, at = wanted.parsed.facts.claim, [i for i, t in enumerate(body) if t.kind is TokenKind.CLAIM]
        if claim is None or len(at) != 1 or len(claim.grade_ids) > 1:
            return
        for grade_id in claim.grade_ids:
            grade = self.known.library.grade(grade_id)
            for name in (grade_id, grade.uns or grade_id, *grade.en, *grade.names):
                yield [name.casefold() if i == at[0] else word for i, word in enumerate(short)]


def _readings(reading: Reading, order: tuple[str, ...]) -> Iterator[str]:
    """Yield values alone, and the reading as one word with the symbol or the value first."""
    values = [(one.casefold(), number_text(reading.values[one])) for one in order if one in reading.values]
    values = [(symbol, figure.removeprefix("0") if "." in figure else figure) for symbol, figure in values]
    yield "=" + " ".join(figure for _, figure in values)
    yield "".join(symbol + figure for symbol, figure in values)
    yield "".join(figure + symbol for symbol, figure in values)
    yield " ".join(symbol + figure for symbol, figure in values)


def measured() -> list[Keys]:
    """Return every piece of the demo shift without its note."""
    shortening, found = Shortening(), []
    lines = (DEMO / "shift.txt").read_text(encoding="utf-8").splitlines()
    for line in lines:
        typed = line.partition(";")[0].strip()
        if not typed or typed.startswith("#"):
            continue
        found.append(shortening.shortened(typed))
    return found


def main() -> int:
    """Print the medians; 0."""
    parser = argparse.ArgumentParser(prog="tests.benchmarks keys", description=__doc__)
    parser.add_argument("--lines", action="store_true", help="print every line")
    wants_lines = parser.parse_args().lines
    found = measured()
    for title, is_read, aim in (("without a reading", False, AIM), ("with a typed reading", True, AIM_READ)):
        keys = [one.saved for one in found if one.is_read is is_read]
        typed, fewest, needed = (median(part) for part in zip(*keys, strict=True))
        print(
            f"{title}: {len(keys)} pieces, median keys {typed:g} as typed, {fewest:g} in the fewest that say "
            f"the same, {needed:g} for what the bay needs (aim {aim})"
        )
    if wants_lines:
        for one in found:
            print(f"{one.saved}  {one.typed}  ->  {one.fewest}  ->  {one.needed}")
    return 0
