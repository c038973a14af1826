"""Which cautions stand with a piece: by candidate grade, reading, coating, word or proposed check."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from grade_library.errors import GradeDataError
from grade_library.facts import BenchFacts, Form, PieceFacts
from grade_library.grade import Grade
from grade_library.naming.name_text import UMLAUTS, plain
from grade_library.verdict import Verdict

LIKELY = 0.10
"""Share of probability on grades with a hazard from which it stands with the piece (own judgement)."""
POSSIBLE = 0.01
"""The same when a check that makes dust is about to be proposed: nothing unresolved may be ground."""
DUST_CHECKS = frozenset({"grind", "spark", "torch", "heavy grinding"})
WET_CHECKS = frozenset({"water"})

DEFERRAL = (
    "Follow your local law, your site's written procedures and the licensed or competent person; "
    "this program does not replace them, and no caution shown does not mean that a piece is safe."
)
"""Stands at the end of every list of cautions (grade_library/data/cautions.toml names each one's source)."""


class Level(StrEnum):
    """How a caution holds up the work."""

    STOP = "stop"
    """Acknowledged before the piece goes on; cannot be switched off."""
    WARN = "warn"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution and what makes it stand with a piece."""

    caution_id: str
    level: Level
    rank: int
    """Order in which cautions are shown and settled, lowest first."""
    title: str
    say: str
    source: str
    element: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> a likely candidate may hold at least this much [wt %]."""
    reading: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> a shot reads at least this much [wt %]."""
    base: frozenset[str] = frozenset()
    groups: frozenset[str] = frozenset()
    coatings: frozenset[str] = frozenset()
    words: tuple[str, ...] = ()
    harmless: tuple[str, ...] = ()
    """Words in a row that hold one of `words` and name no such thing: a brake drum is no drum."""
    surfaces: frozenset[str] = frozenset()
    checks: frozenset[str] = frozenset()
    with_check: bool = False
    """The metal triggers fire only together with one of `checks`."""
    mass_over_kg: float | None = None
    holds: bool = False
    """A piece whose words call for it waits on hold, whatever metal it is."""
    standing: Level | None = None
    """Level while nothing makes dust or chips: a whole bar is no danger, its swarf is. None for the same."""


@cache
def all_cautions() -> tuple[Caution, ...]:
    """Return every caution of data/cautions.toml, in the order of their rank.

    Raises:
        GradeDataError: The file names a key or level that does not exist.
    """
    with (files("grade_library") / "data" / "cautions.toml").open("rb") as file:
        table = tomllib.load(file)
    return tuple(sorted((_caution(key, row) for key, row in table.items()), key=lambda c: c.rank))


def _caution(caution_id: str, row: Mapping[str, Any]) -> Caution:
    """Return one caution from its TOML table."""
    keys: dict[str, Any] = dict(row)
    for name in ("base", "groups", "coatings", "surfaces", "checks"):
        keys[name] = frozenset(keys.get(name, ()))
    spelt = [way for word in keys.get("words", ()) for way in (word, word.translate(UMLAUTS))]
    keys["words"] = tuple(dict.fromkeys(_spaced(word) for word in spelt))
    keys["harmless"] = tuple(map(_spaced, keys.get("harmless", ())))
    try:
        keys["level"] = Level(keys["level"])
        if "standing" in keys:
            keys["standing"] = Level(keys["standing"])
        return Caution(caution_id=caution_id, **keys)
    except (KeyError, TypeError, ValueError) as error:
        raise GradeDataError(f"cautions.toml, [{caution_id}]: {error}") from error


def cautions_for(
    *,
    verdict: Verdict | None = None,
    facts: PieceFacts | None = None,
    text: str = "",
    mass_g: int | None = None,
    check: str | None = None,
) -> tuple[Caution, ...]:
    """Return the cautions that stand with a piece, most urgent first.

    Args:
        verdict: Candidates with probabilities; None before anything is known.
        facts: Readings and bench facts.
        text: Words typed about the piece: entry line and note.
        mass_g: Weight of the entry [g].
        check: The step about to be proposed or chosen: "grind", "spark", "acid", "water", "xrf", "libs", ...
    """
    facts = facts or PieceFacts()
    called = _called_for(text)
    threshold = POSSIBLE if check in DUST_CHECKS else LIKELY
    coating = verdict.skin.coating if verdict and verdict.skin and verdict.skin.is_suspected else None
    carried = _carried(verdict)
    is_dusty = check in DUST_CHECKS or check in WET_CHECKS or facts.bench.form is Form.TURNINGS
    standing = []
    for caution in all_cautions():
        by_word = caution.caution_id in called
        if (
            by_word
            or _fires_by_bench(caution, facts.bench, coating)
            or (caution.mass_over_kg is not None and (mass_g or 0) > caution.mass_over_kg * 1000)
            or _fires_by_check_or_metal(caution, carried, facts, check, threshold)
        ):
            if caution.standing is not None and not by_word and not is_dusty:
                caution = replace(caution, level=caution.standing)
            standing.append(caution)
    return tuple(standing)


def holding_caution(text: str) -> Caution | None:
    """Return the most urgent caution for whose words a piece waits on hold, None for none.

    Args:
        text: Words typed about the piece: entry line and note.

    >>> holding_caution("9.4 m2 gas bottle").title
    'Closed container'
    """
    called = _called_for(text)
    return next((c for c in all_cautions() if c.holds and c.caution_id in called), None)


def cautions_of_grade(grade: Grade) -> tuple[Caution, ...]:
    """Return the cautions that a grade itself carries, for its card."""
    carried = _hazards(grade)
    return tuple(
        caution
        for caution in all_cautions()
        if caution.caution_id in carried and (not caution.with_check or caution.caution_id in grade.cautions)
    )


@cache
def _needles() -> Mapping[str, list[tuple[str, str]]]:
    """Return first word -> what begins with it, between blanks and with or without a plural s, and the id of
    the caution that it calls for."""
    found: dict[str, list[tuple[str, str]]] = {}
    for caution in all_cautions():
        for words in (way for word in caution.words for way in (word, f"{word}s")):
            found.setdefault(words.split()[0], []).append((f" {words} ", caution.caution_id))
    return found


@lru_cache(maxsize=8)
def _called_for(text: str) -> frozenset[str]:
    """Return the ids of the cautions of which a word stands in the text; one line is asked of several
    times."""
    squashed = f" {_spaced(text)} "
    begun = [needle for word in squashed.split() for needle in _needles().get(word, ())]
    called = {caution_id for needle, caution_id in begun if needle in squashed}
    if not called:
        return frozenset()
    bare = {caution.caution_id: _without_harmless(squashed, caution) for caution in all_cautions()}
    return frozenset(caution_id for needle, caution_id in begun if needle in bare[caution_id])


def _without_harmless(squashed: str, caution: Caution) -> str:
    """Return the text without what only sounds like the hazard, in the singular or plural."""
    for phrase in caution.harmless:
        for way in (f" {phrase} ", f" {phrase}s "):
            squashed = squashed.replace(way, " ; ")
    return squashed


def _fires_by_bench(caution: Caution, bench: BenchFacts, coating: str | None) -> bool:
    """Tell whether the stated surface or the suspected coating belongs to the caution."""
    return coating in caution.coatings or not caution.surfaces.isdisjoint(bench.surfaces)


def _fires_by_check_or_metal(
    caution: Caution, carried: Mapping[str, float], facts: PieceFacts, check: str | None, threshold: float
) -> bool:
    """Tell whether the proposed check, the readings or the likely grades call for the caution."""
    is_checked = check in caution.checks
    if caution.with_check and not is_checked:
        return False
    if is_checked and not caution.with_check:
        return True
    for shot in facts.shots if caution.reading else ():
        if any(shot.reading.values.get(symbol, 0.0) >= least for symbol, least in caution.reading.items()):
            return True
    return carried.get(caution.caution_id, 0.0) >= threshold


def _carried(verdict: Verdict | None) -> dict[str, float]:
    """Return how probable it is that the metal has the hazard of each caution; 0 where one is left out."""
    found: dict[str, float] = {}
    for candidate in verdict.candidates if verdict is not None else ():
        for caution_id in _hazards(candidate.grade):
            found[caution_id] = found.get(caution_id, 0.0) + candidate.probability
    return found


_hazards_by_id: dict[str, tuple[Grade, frozenset[str]]] = {}


def _hazards(grade: Grade) -> frozenset[str]:
    """Return the cautions whose hazard a grade has, worked out once; another yard may have another grade of
    that id."""
    known = _hazards_by_id.get(grade.grade_id)
    if known is None or known[0] is not grade:
        carried = frozenset(c.caution_id for c in all_cautions() if _carries(c, grade))
        known = _hazards_by_id[grade.grade_id] = (grade, carried)
    return known[1]


def _carries(caution: Caution, grade: Grade) -> bool:
    """Tell whether a grade has the hazard: by base, group, or what its limits let it hold."""
    if grade.base in caution.base or grade.group in caution.groups or caution.caution_id in grade.cautions:
        return True
    return any(_may_hold(grade, symbol) >= least for symbol, least in caution.element.items())


def _may_hold(grade: Grade, symbol: str) -> float:
    """Return the most of an element that a grade's stated limits allow [wt %]; 0 where it is not stated."""
    limit = grade.limits.get(symbol)
    if limit is None:
        return 0.0
    return 100.0 if limit.high is None else limit.high


def _spaced(text: str) -> str:
    """Return the text in lower case, without accents, with single blanks between words and digits."""
    return " ".join(re.findall(r"[^\W_]+", plain(text)))
