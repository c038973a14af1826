"""How many of the designations that the library itself holds lead to their grade, by numbering system.

Every UNS number, EN number and symbol, and every further name of every grade is typed on a line with a
weight, as it stands and in the other ways in which people write a name of that system.
"""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine
from grade_library.facts import Claim
from grade_library.grade import Grade
from grade_library.library import GradeLibrary, load
from grade_library.naming.designations import designated
from grade_library.naming.grade_names import NameRank, names_of
from grade_library.naming.name_text import squash
from grade_library.naming.names import NameIndex

_TRADE_NAME = "trade name"
_NUMBER = re.compile(r"([0-3])\.(\d{4})")
_UNS = re.compile(r"([A-Z])(\d{5})")
_COPPER = re.compile(r"(C[WBCRSX])(\d{3})([A-Z])")
_WROUGHT = re.compile(r"(?:EN AW-?|AW-?|AA ?)?([1-9]\d{3}[A-Z]?)")
_CAST = re.compile(r"(?:EN )?A[CB]-?(\d{5})")
_BY_COMPOSITION = re.compile(r"(?:G?X|GX|G-X)?\d{1,3}[A-Z][A-Za-z]+[\d-]*|[A-Z][a-z][A-Z]\w+")
_GOST = re.compile(r"[А-Яа-яЁё]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """One way to type one designation of one grade."""

    text: str
    system: str
    grade: Grade
    bearers: frozenset[str]
    """Ids of the grades that bear the name: where one is called so, it goes before those only near it."""


def ways(library: GradeLibrary) -> Iterator[Typed]:
    """Yield every designation of every grade in every way that is tried, each once."""
    bearers: dict[str, set[str]] = {}
    for grade in library.grades:
        for _, squashed, rank in names_of(grade):
            if rank < NameRank.NEAR:
                bearers.setdefault(squashed, set()).add(grade.grade_id)
    seen: set[tuple[str, str]] = set()
    for grade in library.grades:
        for name in (grade.uns, *grade.en, *grade.names, *grade.near_names):
            meant = frozenset(bearers.get(squash(name), {grade.grade_id})) if name else frozenset()
            for text in dict.fromkeys(_written(name, grade)) if name else ():
                if (text, grade.grade_id) not in seen:
                    seen.add((text, grade.grade_id))
                    yield Typed(text=text, system=_system(name), grade=grade, bearers=meant)


def _system(name: str) -> str:
    """Return the numbering system that a designation belongs to."""
    if (number := _NUMBER.fullmatch(name)) is not None:
        return "EN number" if number[1] in "01" else "W.Nr."
    if _UNS.fullmatch(name):
        return "UNS"
    if _COPPER.fullmatch(name) or _CAST.fullmatch(name):
        return "EN"
    if _GOST.search(name):
        return "GOST"
    known = designated(name)
    return _TRADE_NAME if known is None else known.system


def _written(name: str, grade: Grade) -> Iterator[str]:
    """Yield the ways in which people write a designation, the one of the library first."""
    yield name
    yield name.lower()
    if number := _NUMBER.fullmatch(name):
        first, last = number.groups()
        yield from (
            f"{first},{last}",
            f"{first} {last}",
            f"W.Nr. {name}",
            f"WNr {name}",
            f"wnr{first}.{last}",
        )
        yield from (f"{name}.10", f"DIN {name}")
        if first in "01":
            yield from (f"EN {name}", f"{name}+2B" if name[2] == "4" else f"{name}+QT")
        return
    if number := _UNS.fullmatch(name):
        yield from (
            f"UNS {name}",
            f"uns{name.lower()}",
            f"{number[1]} {number[2]}",
            f"{number[1]}-{number[2]}",
        )
        return
    if number := _COPPER.fullmatch(name):
        yield from (" ".join(number.groups()), f"{number[1]} {number[2]}{number[3]}", f"EN {name}")
        return
    if number := _CAST.fullmatch(name):
        yield from (f"EN AC-{number[1]}", f"EN AC {number[1]}", f"AC-{number[1]}", f"ENAC{number[1]}")
        return
    if grade.group == "aluminium" and (number := _WROUGHT.fullmatch(name)):
        yield from (f"EN AW-{number[1]}", f"{number[1]}-T6", f"{number[1]} H14", f"AA {number[1]}")
        return
    if _BY_COMPOSITION.fullmatch(name):
        yield from (name.replace("-", " "), re.sub(r"(?<=\d)(?=[A-Z])", " ", name, count=1))
    if " " in name:
        yield from (name.replace(" ", ""), name.replace(" ", "-"))
    if "-" in name:
        yield name.replace("-", " ")


class Tried:
    """Types designations and looks where they lead."""

    def __init__(self) -> None:
        self.library = load()
        self._names = NameIndex(self.library)

    def leads_there(self, typed: Typed) -> bool:
        """Return True where the line names the grade, or asks with a choice that holds it."""
        parsed = parse_line(f"12.4 {typed.text}", names=self._names, yard=None)
        if not parsed.problems:
            return self._holds(parsed.facts.claim, typed)
        return parsed.asked is not None and any(
            self._holds(parse_line(f"12.4 {offer}", names=self._names, yard=None).facts.claim, typed)
            for offer in parsed.asked.offers
        )

    def _holds(self, claim: Claim | None, typed: Typed) -> bool:
        """Return True for a claim of the very grade; the whole kind that a system tells is no grade."""
        return claim is not None and not claim.remark and bool(claim.grade_ids & typed.bearers)

    def told(self, typed: Typed) -> ParsedLine:
        """Return the line that was typed, taken apart."""
        return parse_line(f"12.4 {typed.text}", names=self._names, yard=None)


def report(*, missed: bool = False) -> str:
    """Return the rate of each system as a table, and what was missed where it is asked for."""
    tried, counts, lines = Tried(), Counter[tuple[str, bool]](), []
    for typed in ways(tried.library):
        there = tried.leads_there(typed)
        counts[typed.system, there] += 1
        if missed and not there:
            told = tried.told(typed)
            said = "; ".join(told.problems) or ", ".join(token.meaning for token in told.tokens[1:])
            lines.append(f"  {typed.system} {typed.text!r} is {typed.grade.grade_id}: {said}")
    table = [f"{'designations':24} {'right':>6} {'of':>6}"]
    for system in sorted({system for system, _ in counts}):
        table.append(_line(system, counts[system, True], counts[system, False]))
    there = sum(number for (_, is_there), number in counts.items() if is_there)
    table.append(_line("all designations", there, counts.total() - there))
    return "\n".join([*table, *lines])


def _line(head: str, right: int, wrong: int) -> str:
    return f"{head:24} {right:6} {right + wrong:6}  {right / (right + wrong):.1%}"
