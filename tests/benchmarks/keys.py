"""How many keys a piece takes: the demo shift as it is typed, and in the fewest keys that say the same.

The shift is worked at a real desk, piece by piece. For each, lines are tried from the shortest on, until one
is turned by the program itself (what was left out written out, words finished by Tab) into the same piece:
weight, count, name, findings, every value of the reading, its technique, hazards, and the bay. What is tried
is all that the program knows to shorten: short forms, names that mean the same grades, blanks left out, Tab,
readings as one word or as values alone in the order of the metal or of a reading before. That line is
tallied, so that the next piece has what a sorter would have. Notes are not counted: no key can leave them
out. Enter is one key, Tab another.

The check sample is shot first, as at the start of a shift, so that readings can settle. One figure is of a
sorter who types what is seen and then the reading element by element, and stops where the screen says
settled; beside it stands how often that is another bay than the whole line leads to. Another is what the
bay needs, in hindsight: of a reading the elements that lead to the same bay as surely, three of them at
most or those from the first on; of a piece without one its weight and the code of that bay.
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
from console.desk.shifts.shorter import (
    figures_typed,
    forms_and_words,
    laid_out,
    meant,
    order_of_metal,
    order_typed,
    readings_typed,
    said_by,
    weight_typed,
)
from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine, Token
from console.entry.token_kind import TokenKind
from console.yard.placing.placement import Sureness
from grade_library.facts import Reading

DEMO = Path(__file__).resolve().parents[2] / "demo_yard"
AIM, AIM_READ = 8, 16
CHECK_SAMPLE, CHECK_READS = "316 coupon", "cr16.8 ni10.2 mo2.1 mn1.5"
"""Of the demo yard, and what its certificate says."""
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
    enough: str
    """The fewest keys of the line as far as it was typed until the screen said settled; `fewest` where it did
    not before the end."""
    is_elsewhere: bool
    """That led to another bay than the whole line."""
    asked: str
    """The keys of a reading as the console asks for it, until settled; `fewest` where it was not."""
    is_asked_elsewhere: bool
    """That led to another bay than the whole line."""
    weight: str
    figures: tuple[str, ...]
    """Of a reading, as short as they can be typed; empty where nothing was read."""

    @property
    def counts(self) -> tuple[int, int, int, int, int, int, int, int, int]:
        """Keys as typed, in the fewest, the same by wire, figures alone, until settled, that by wire, as
        asked, that by wire, and what is needed, with Enter.

        By wire the weight and the blank behind it are one key. Figures alone are weight and figures with a
        blank between them: who types every figure needs no fewer, whatever the grammar.
        """
        by_wire, enough, asked = (
            1 + len(keys.removeprefix(self.weight).lstrip(" "))
            for keys in (self.fewest, self.enough, self.asked)
        )
        alone = len(" ".join([self.weight, *self.figures]))
        return (
            len(self.typed) + 1,
            len(self.fewest) + 1,
            by_wire + 1,
            alone + 1,
            len(self.enough) + 1,
            enough + 1,
            len(self.asked) + 1,
            asked + 1,
            len(self.needed) + 1,
        )


class Sorter:
    """Works a shift in the fewest keys."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._names = _names_by_claim(desk)

    def work(self, typed: str) -> Keys:
        """Find the fewest keys for a piece, and tally it by them."""
        wanted = self._desk.consider(typed)
        fewest = self._fewest_or_asked(typed, wanted)
        enough = sorted({*self._ways_of_what_is_needed(wanted)}, key=_short_first)
        needed = next(
            (one for one in enough if len(one) < len(fewest) and self._goes_there(one, wanted)), fewest
        )
        begun, is_elsewhere = self._until_settled(wanted)
        asked, is_asked_elsewhere = self._as_asked(wanted)
        self._tally(fewest, wanted)
        return Keys(
            typed=typed,
            fewest=fewest,
            enough=begun or fewest,
            is_elsewhere=is_elsewhere,
            asked=asked or fewest,
            is_asked_elsewhere=is_asked_elsewhere,
            needed=needed,
            weight=weight_typed(wanted.parsed),
            figures=tuple(
                figure
                for shot in wanted.parsed.facts.shots
                for figure in figures_typed(shot.reading).values()
            ),
        )

    def _fewest(self, typed: str, wanted: Consideration) -> str:
        ways = sorted({typed, *self._ways(wanted.parsed)}, key=_short_first)
        return next((keys for keys in ways if self._says_the_same(keys, wanted)), typed)

    def _fewest_or_asked(self, typed: str, wanted: Consideration) -> str:
        """Return the fewest keys of the whole line, a reading as it is asked for among the ways to say it."""
        asked = [keys for keys in self._asked(wanted.parsed) if self._says_the_same(keys, wanted)]
        return min((self._fewest(typed, wanted), *asked), key=len)

    def _until_settled(self, wanted: Consideration) -> tuple[str, bool]:
        """Return the fewest keys of the shortest beginning of a reading that is called settled, behind all
        that was seen, and whether that is another bay; nothing where no beginning is."""
        parsed = wanted.parsed
        if len(parsed.facts.shots) != 1:
            return "", False
        reading = parsed.facts.shots[0].reading
        order = order_typed(parsed, reading)
        seen = [token.text for token in parsed.tokens if token.kind is not TokenKind.READING]
        for count in range(len(order)):
            figures = [f"{symbol}={reading.values[symbol]:g}" for symbol in order[:count]]
            line = " ".join((*seen, *figures))
            begun = self._desk.consider(line)
            if begun.placement is not None and begun.placement.sureness is Sureness.SETTLED:
                return self._fewest(line, begun), _bay(begun) != _bay(wanted)
        return "", False

    def _as_asked(self, wanted: Consideration) -> tuple[str, bool]:
        """Return the keys of a sorter who types what was seen, then what the console asks for, until the
        screen says settled or nothing is left; and whether that is another bay. Nothing for several shots."""
        for keys in self._asked(wanted.parsed):
            begun = self._desk.consider(self.line_of(keys))
            assert begun.placement is not None
            if begun.placement.sureness is Sureness.SETTLED:
                break
        else:
            return "", False
        return keys, _bay(begun) != _bay(wanted)

    def _asked(self, parsed: ParsedLine) -> Iterator[str]:
        """Yield the keys of a reading as the console asks for it, from none of it on to all.

        The first value has its symbol unless it is the one that is asked for; what is asked for and not
        shown is passed over.
        """
        if len(parsed.facts.shots) != 1:
            return
        reading, habit = parsed.facts.shots[0].reading, self._desk.piece.habit
        seen = " ".join(token.text for token in parsed.tokens if token.kind is not TokenKind.READING)
        head = self._fewest(seen, self._desk.consider(seen))
        figures, order = figures_typed(reading), order_typed(parsed, reading)
        yield head
        items: list[str] = []
        while figures:
            keys = f"{head}*{' '.join(items)}"
            symbol = habit.next_element(habit.answered(keys))
            if not items and symbol != order[0]:
                items.append(order[0].casefold() + figures.pop(order[0]))
            elif not symbol:
                return
            else:
                items.append(figures.pop(symbol, "-"))
            if items[-1] != "-":
                yield f"{head}*{' '.join(items)}"

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
            completions = self._desk.piece.said.completions(line, len(line))
            if completions.ways:
                line = line[: completions.start] + completions.ways[0] + " "
        return self._desk.piece.habit.in_full(line)

    def _says_the_same(self, keys: str, wanted: Consideration) -> bool:
        line = self.line_of(keys)
        if said_by(parse_line(line, names=self._desk.names, yard=self._desk.yard)) != said_by(wanted.parsed):
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
        weight = weight_typed(parsed)
        techniques = ["", *(one.text for one in parsed.tokens if one.kind is TokenKind.TECHNIQUE)]
        techniques += [self._desk.yard.technique] if parsed.facts.shots else []
        readings = list(self._readings([shot.reading for shot in parsed.facts.shots], parsed)) or [""]
        for reading, technique, name in itertools.product(readings, dict.fromkeys(techniques), names):
            yield from laid_out(weight, reading, forms, [*name, *filter(None, [technique])], finish=TAB)

    def _ways_of_what_is_needed(self, wanted: Consideration) -> Iterator[str]:
        parsed = wanted.parsed
        weight = weight_typed(parsed)
        if not parsed.facts.shots:
            yield from (f"{weight}{blank}{_bay(wanted).casefold()}" for blank in ("", " "))
            return
        reading = parsed.facts.shots[0].reading
        order = order_typed(parsed, reading)
        few = [one for count in (1, 2, 3) for one in itertools.combinations(order, count)]
        for some in (*few, *(order[:count] for count in range(4, len(order)))):
            part = replace(reading, values={one: reading.values[one] for one in some}, below={}, sigma={})
            for text in self._readings([part], parsed):
                yield from laid_out(weight, text, [], [], finish=TAB)

    def _forms_and_names(self, tokens: Sequence[Token]) -> tuple[list[str], list[list[str]]]:
        """Return the short forms of a line, and its other words in a few ways."""
        forms, words = forms_and_words(tokens)
        names = [list(self._ways_to_name(word)) for word in words]
        return forms, [list(one) for one in itertools.product(*names)]

    def _ways_to_name(self, token: Token) -> Iterator[str]:
        """Yield shorter names of the same thing, and the beginnings that Tab finishes."""
        text = re.sub(r"\s+", " ", token.text)
        claim = self._desk.names.exact(text) if token.kind is TokenKind.CLAIM else None
        known = [text, *(self._names.get(meant(claim), []) if claim else [])]
        yield from known
        for name in known:
            begun = next((n for n in range(len(name)) if self._is_finished(name, n)), None)
            if begun is not None:
                yield name[:begun] + TAB

    def _is_finished(self, name: str, count: int) -> bool:
        line = f"5 {name[:count]}"
        return [way.casefold() for way in self._desk.piece.said.completions(line, len(line)).ways[:1]] == [
            name
        ]

    def _readings(self, shots: Sequence[Reading], parsed: ParsedLine) -> Iterator[str]:
        """Yield the shots of a piece in every way that is known."""
        habit = self._desk.piece.habit.now()
        named = order_of_metal(self._desk, parsed.facts.claim)
        yield from readings_typed(shots, parsed, (named, habit.elements, *habit.earlier))


def _short_first(keys: str) -> tuple[int, str]:
    return len(keys), keys


def _bay(considered: Consideration) -> str:
    assert considered.placement is not None
    return considered.placement.bay.code


def _names_by_claim(desk: Desk) -> dict[tuple[object, ...], list[str]]:
    """Return the shortest names of everything that the dictionary knows."""
    tables = desk.names._tables
    every = set(tables.words) | set(tables.names)
    found: dict[tuple[object, ...], list[str]] = {}
    for name in sorted((one for one in every if len(one) <= LONGEST_NAME), key=lambda one: (len(one), one)):
        claim = desk.names.exact(name)
        if claim is not None and len(names := found.setdefault(meant(claim), [])) < MOST_NAMES:
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
            desk.checks.shoot(CHECK_SAMPLE, CHECK_READS)
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
        keys = [one.counts for one in found if bool(one.figures) is is_read]
        typed, fewest, by_wire, alone, enough, settled, asked, asked_by_wire, needed = (
            median(part) for part in zip(*keys, strict=True)
        )
        elsewhere = sum(one.is_elsewhere for one in found if bool(one.figures) is is_read)
        asked_elsewhere = sum(one.is_asked_elsewhere for one in found if bool(one.figures) is is_read)
        figures = f" (weight and figures alone: {alone:g})" if is_read else ""
        print(
            f"{title}: {len(keys)} pieces, median keys {typed:g} as typed, {fewest:g} in the fewest that say "
            f"the same{figures}, {by_wire:g} with the weight by wire, {enough:g} as far as it is settled "
            f"({settled:g} by wire; {elsewhere} in another bay), {asked:g} as the console asks for it "
            f"({asked_by_wire:g} by wire; {asked_elsewhere} in another bay), {needed:g} for what "
            f"the bay needs (aim {aim})"
        )
    if wants_lines:
        for one in found:
            shown = [
                text.replace(TAB, "⇥") for text in (one.typed, one.fewest, one.enough, one.asked, one.needed)
            ]
            print(f"{one.counts}  {'  ->  '.join(shown)}")
    return 0
