"""How many keys a piece takes: the demo shift as it is typed, and in the fewest keys that say the same.

The shift is worked at a real desk, piece by piece. For each, lines are tried from the shortest on, until one
is turned by the program itself (what was left out written out, words finished by Tab) into the same piece:
weight, count, name, findings, every value of the reading, its technique, hazards, and the bay. What is tried
is all that the program knows to shorten: short forms, names that mean the same grades, blanks left out, Tab,
readings as one word or as values alone in the order of the metal or of a reading before. That line is
tallied, so that the next piece has what a sorter would have. Notes are not counted: no key can leave them
out. Enter is one key, Tab another.

The third figure is what the bay needs, in hindsight: of a reading the elements that lead to the same bay as
surely, three of them at most or those from the first on; of a piece without one its weight and the code of
that bay.
"""

import argparse
import itertools
import re
import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from console.desk import Desk, DeskRefusal
from console.desk.piece.considering import Consideration
from console.entry.editing.spelling_out import elements_of
from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine, Token
from console.entry.token_kind import TokenKind
from console.entry.vocabulary import VOCABULARY
from console.readings.shot_text import number_text
from grade_library.facts import Claim, Reading

DEMO = Path(__file__).resolve().parents[2] / "demo_yard"
AIM, AIM_READ = 8, 16
TAB = "\t"
MOST_NAMES = 3
"""Names of one metal that are tried."""
LONGEST_NAME = 14
_SURENESS = ("open", "leaning", "settled")
_READ = (TokenKind.READING, TokenKind.SHOT, TokenKind.TECHNIQUE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Keys:
    """One piece of the shift."""

    typed: str
    fewest: str
    """The keys of the shortest line found, Tab among them."""
    needed: str
    """What leads to the same bay as surely."""
    is_read: bool

    @property
    def counts(self) -> tuple[int, int, int]:
        """Keys as typed, in the fewest and of what is needed, Enter among them."""
        return len(self.typed) + 1, len(self.fewest) + 1, len(self.needed) + 1


class Sorter:
    """Works a shift in the fewest keys."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._names = _names_by_claim(desk)

    def work(self, typed: str) -> Keys:
        """Find the fewest keys for a piece, and tally it by them."""
        wanted = self._desk.consider(typed)
        ways = sorted({typed, *self._ways(wanted.parsed)}, key=_short_first)
        fewest = next((keys for keys in ways if self._says_the_same(keys, wanted)), typed)
        enough = sorted({*self._ways_of_what_is_needed(wanted)}, key=_short_first)
        needed = next(
            (one for one in enough if len(one) < len(fewest) and self._goes_there(one, wanted)), fewest
        )
        self._tally(fewest, wanted)
        return Keys(typed=typed, fewest=fewest, needed=needed, is_read=bool(wanted.parsed.facts.shots))

    def _tally(self, keys: str, wanted: Consideration) -> None:
        same = self._desk.consider(self.line_of(keys))
        try:
            self._desk.tally(same)
        except DeskRefusal:  # a skin keeps it out of its bay
            self._desk.tally(same, bay_code=self._desk.yard.hold_bay.code)

    # -- what the keys come to ------------------------------------------------------------------------------
    def line_of(self, keys: str) -> str:
        """Return the line that some keys make, as the console tallies it."""
        line = ""
        for key in keys:
            if key != TAB:
                line += key
                continue
            completions = self._desk.piece.completions(line, len(line))
            if completions.ways:
                line = line[: completions.start] + completions.ways[0] + " "
        return self._desk.piece.habit.in_full(line)

    def _says_the_same(self, keys: str, wanted: Consideration) -> bool:
        line = self.line_of(keys)
        if _said(parse_line(line, names=self._desk.names, yard=self._desk.yard)) != _said(wanted.parsed):
            return False
        found = self._desk.consider(line)
        return (found.cautions, found.held_for, _bay(found)) == (
            wanted.cautions,
            wanted.held_for,
            _bay(wanted),
        )

    def _goes_there(self, keys: str, wanted: Consideration) -> bool:
        """Tell whether keys lead to the same bay as surely; a code that is typed does."""
        said = self._desk.consider(self.line_of(keys))
        assert said.placement is not None
        assert wanted.placement is not None
        if not said.parsed.can_be_tallied or said.parsed.mass_g != wanted.parsed.mass_g:
            return False
        if said.parsed.bay_code:
            return True
        sureness = [_SURENESS.index(str(one.sureness)) for one in (said.placement, wanted.placement)]
        return _bay(said) == _bay(wanted) and sureness[0] >= sureness[1]

    # -- which keys are tried -------------------------------------------------------------------------------
    def _ways(self, parsed: ParsedLine) -> Iterator[str]:
        """Yield keys that may say a piece."""
        forms, names = self._forms_and_names(parsed.tokens)
        weight = _weight(parsed)
        techniques = ["", *(one.text for one in parsed.tokens if one.kind is TokenKind.TECHNIQUE)]
        techniques += [self._desk.yard.technique] if parsed.facts.shots else []
        readings = list(self._readings([shot.reading for shot in parsed.facts.shots], parsed)) or [""]
        for reading, technique, name in itertools.product(readings, dict.fromkeys(techniques), names):
            yield from _laid_out(weight, reading, forms, [*name, *filter(None, [technique])])

    def _ways_of_what_is_needed(self, wanted: Consideration) -> Iterator[str]:
        parsed = wanted.parsed
        weight = _weight(parsed)
        if not parsed.facts.shots:
            yield from (f"{weight}{blank}{_bay(wanted).casefold()}" for blank in ("", " "))
            return
        reading = parsed.facts.shots[0].reading
        order = _order_typed(parsed, reading)
        few = [one for count in (1, 2, 3) for one in itertools.combinations(order, count)]
        for some in (*few, *(order[:count] for count in range(4, len(order)))):
            part = replace(reading, values={one: reading.values[one] for one in some}, below={}, sigma={})
            for text in self._readings([part], parsed):
                yield from _laid_out(weight, text, [], [])

    def _forms_and_names(self, tokens: Sequence[Token]) -> tuple[list[str], list[list[str]]]:
        """Return the short forms of a line, and its other words in a few ways."""
        forms: list[str] = []
        names: list[list[str]] = []
        for token in tokens:
            short = [
                row.short for row in VOCABULARY if row.kind is token.kind and row.meaning == token.meaning
            ]
            if token.kind in _READ or token.kind is TokenKind.WEIGHT:
                continue
            if short:
                forms.append(min(short, key=len))
            else:
                names.append(list(self._ways_to_name(token)))
        return forms, [list(one) for one in itertools.product(*names)]

    def _ways_to_name(self, token: Token) -> Iterator[str]:
        """Yield shorter names of the same thing, and the beginnings that Tab finishes."""
        text = re.sub(r"\s+", " ", token.text)
        claim = self._desk.names.exact(text) if token.kind is TokenKind.CLAIM else None
        known = [text, *(self._names.get(_meant(claim), []) if claim else [])]
        yield from known
        for name in known:
            begun = next((n for n in range(1, len(name)) if self._is_finished(name, n)), None)
            if begun is not None:
                yield name[:begun] + TAB

    def _is_finished(self, name: str, count: int) -> bool:
        return self._desk.piece.completions(name[:count], count).ways[:1] == (name,)

    def _readings(self, shots: Sequence[Reading], parsed: ParsedLine) -> Iterator[str]:
        """Yield the shots of a piece as one word each, or as values alone in every order that is known."""
        if len(shots) > 1:
            yield "//".join(_glued(_figures(one)) for one in shots)
        if len(shots) != 1 or shots[0].below:
            return
        figures = _figures(shots[0], _order_typed(parsed, shots[0]))
        yield _glued(figures)
        yield "".join(figure + symbol.casefold() for symbol, figure in figures.items())
        habit = self._desk.piece.habit.now()
        claim = parsed.facts.claim
        named = elements_of([self._desk.library.grade(one) for one in claim.grade_ids]) if claim else ()
        for order in (named, habit.elements, *habit.earlier):
            yield from _values_alone(figures, order)


def _said(parsed: ParsedLine) -> tuple[object, ...]:
    """Return all that a line says of the piece; how it was written left out."""
    facts = parsed.facts
    claim = replace(facts.claim, text="") if facts.claim else None
    return (
        parsed.can_be_tallied,
        *(parsed.mass_g, parsed.weighings, parsed.is_on_platform, parsed.count),
        *(parsed.bay_code, parsed.is_hold, claim and _meant(claim), facts.bench, facts.shots),
    )


def _meant(claim: Claim) -> tuple[object, ...]:
    return claim.grade_ids, claim.material_ids, claim.is_exact, claim.is_near


def _short_first(keys: str) -> tuple[int, str]:
    return len(keys), keys


def _bay(considered: Consideration) -> str:
    assert considered.placement is not None
    return considered.placement.bay.code


def _weight(parsed: ParsedLine) -> str:
    text = next(token.text for token in parsed.tokens if token.kind is TokenKind.WEIGHT)
    return text.removesuffix(".0").removeprefix("0") if "." in text else text


def _laid_out(weight: str, reading: str, forms: Sequence[str], words: Sequence[str]) -> Iterator[str]:
    """Yield the parts of a line in a few orders, with blanks and with those left out that may be."""
    run, spaced = "".join(forms), " ".join(forms)
    begun = f"{weight}{reading}" if reading.startswith("=") else f"{weight} {reading}".rstrip()
    last = "" if not words or words[-1].endswith(TAB) else " "
    said = "".join(word if word.endswith(TAB) else f"{word} " for word in words).rstrip(" ")
    for tail in {run, spaced}:
        yield f"{begun}{tail} {said}".strip(" ")
        yield f"{begun} {tail} {said}".strip(" ").replace("  ", " ")
        yield f"{begun} {said}{tail}".strip(" ")
        yield f"{begun} {said}{last}{tail}".strip(" ").replace("  ", " ")
        yield f"{weight}{tail} {said}{last}{reading}".strip(" ").replace("  ", " ")


def _order_typed(parsed: ParsedLine, reading: Reading) -> tuple[str, ...]:
    """Return the elements of a reading in the order typed."""
    letters = re.findall(
        r"[a-z]+", " ".join(t.text for t in parsed.tokens if t.kind is TokenKind.READING).casefold()
    )
    return tuple(sorted(reading.values, key=lambda one: letters.index(one.casefold())))


def _figures(reading: Reading, order: Sequence[str] = ()) -> dict[str, str]:
    figures = {one: number_text(reading.values[one]) for one in order or reading.values}
    return {one: text.removeprefix("0") if "." in text else text for one, text in figures.items()}


def _glued(figures: dict[str, str]) -> str:
    return "".join(symbol.casefold() + figure for symbol, figure in figures.items())


def _values_alone(figures: dict[str, str], order: Sequence[str]) -> Iterator[str]:
    """Yield a reading as values in an order: what is missing left out or jumped over."""
    here = [one for one in order if one in figures]
    rest = {one: figure for one, figure in figures.items() if one not in here}
    for kept in range(len(here), 0, -1):
        others = {one: figures[one] for one in here[kept:]} | rest
        # A symbol and a whole number could name a grade and would end the values.
        behind = [_glued({one: f if "." in f else f"{f}."}) for one, f in others.items()]
        for begins in ("", here[0].casefold()):
            for jumps in (False, True):
                items, place = [], 0
                for one in here[:kept]:
                    skipped = order.index(one) - place
                    place += skipped + 1
                    symbol = one.casefold() if skipped and jumps else ""
                    items += [] if symbol else ["-"] * skipped
                    items.append(symbol + figures[one])
                yield " ".join([f"={begins}{items[0]}", *items[1:], *filter(None, ["".join(behind)])])


def _names_by_claim(desk: Desk) -> dict[tuple[object, ...], list[str]]:
    """Return the shortest names of everything that the dictionary knows."""
    tables = desk.names._tables
    every = set(tables.words) | set(tables.names)
    found: dict[tuple[object, ...], list[str]] = {}
    for name in sorted((one for one in every if len(one) <= LONGEST_NAME), key=lambda one: (len(one), one)):
        claim = desk.names.exact(name)
        if claim is not None and len(names := found.setdefault(_meant(claim), [])) < MOST_NAMES:
            names.append(name)
    return found


def measured() -> list[Keys]:
    """Return every piece of the demo shift without its note."""
    with TemporaryDirectory(prefix="baywright-keys-") as folder:
        shutil.copy(DEMO / "yard.toml", folder)
        clock = itertools.count()
        desk = Desk.open(
            Path(folder), now=lambda: datetime(2026, 3, 2, 7, tzinfo=UTC) + timedelta(seconds=next(clock))
        )
        try:
            sorter = Sorter(desk)
            lines = (DEMO / "shift.txt").read_text(encoding="utf-8").splitlines()
            typed = [line.partition(";")[0].strip() for line in lines]
            return [sorter.work(line) for line in typed if line and not line.startswith("#")]
        finally:
            desk.close()


def main() -> int:
    """Print the medians; 0."""
    parser = argparse.ArgumentParser(prog="tests.benchmarks keys", description=__doc__)
    parser.add_argument("--lines", action="store_true", help="print every line")
    wants_lines = parser.parse_args().lines
    found = measured()
    for title, is_read, aim in (("without a reading", False, AIM), ("with a typed reading", True, AIM_READ)):
        keys = [one.counts for one in found if one.is_read is is_read]
        typed, fewest, needed = (median(part) for part in zip(*keys, strict=True))
        print(
            f"{title}: {len(keys)} pieces, median keys {typed:g} as typed, {fewest:g} in the fewest that say "
            f"the same, {needed:g} for what the bay needs (aim {aim})"
        )
    if wants_lines:
        for one in found:
            shown = [text.replace(TAB, "⇥") for text in (one.typed, one.fewest, one.needed)]
            print(f"{one.counts}  {'  ->  '.join(shown)}")
    return 0
