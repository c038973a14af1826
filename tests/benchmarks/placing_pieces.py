"""Simulated pieces for the placing benchmark: true metal, size, plating, and what an imperfect observer
sees."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from console.yard.next_check.checks import CheckKind
from console.yard.next_check.observing import showing
from grade_library.facts import (
    BenchFacts,
    Claim,
    Form,
    Heft,
    MagnetPull,
    Measured,
    PieceFacts,
    Spark,
    Surface,
)
from grade_library.grade import Colour, Grade
from grade_library.library import GradeLibrary
from grade_library.matcher.prior import Prior
from grade_library.technique import Profile
from tests.benchmarks.simulated import melt_of, shot_of

KNOWN_BY_EYE = 0.7
"""Share of pieces whose series the sorter names at first glance, by use, stamp or where they came from
(memory: most of what goes over a bench; --known asks for another)."""
NAMED_RIGHT = 0.92
"""Share of those names that are right (memory); the model believes its own figures, not this one."""
SLIP = 0.03
"""Share of observations that are simply anything, beyond the error rates that the model knows (own
choice)."""
MEDIAN_KG, SPREAD = 2.0, 1.1
"""Sizes are lognormal: half of the pieces above 2 kg, one in fifty above 20 kg (memory)."""
LEAST_KG, MOST_KG = 0.05, 120.0
SEEN_PLATING = 0.8
"""Share of platings that the sorter notices (memory)."""
PAINTED, DIRTY = 0.06, 0.05
PLATED: Mapping[str, float] = {"brass": 0.08, "zinc": 0.15, "steel": 0.05, "copper": 0.02}
"""Share of the pieces of a group that are nickel-plated (memory)."""
PLATING = {"Ni": 0.72, "Cr": 0.04}
"""Share of the reading of a plated surface that is of the plating; the rest is of the metal (about 10 µm)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Piece:
    """One piece as it is, and what was seen of it before any check."""

    grade: Grade
    melt: Mapping[str, float]
    """True composition [wt %]."""
    mass_g: int
    surface: Surface
    is_seen: bool
    """The covering was noticed."""
    first: PieceFacts
    """Magnet, heft, eye and perhaps a name."""
    noise: int
    """Seeds everything that is observed on this piece, so that every policy meets the same."""

    @property
    def is_covered(self) -> bool:
        """True where a reading of the surface is not of the metal."""
        return self.surface in (Surface.PLATED, Surface.PAINTED, Surface.DIRTY)


def shift(library: GradeLibrary, pieces: int, seed: int, known: float = KNOWN_BY_EYE) -> list[Piece]:
    """Return the pieces of one shift; each shift has its own mix around the usual one."""
    rng = np.random.default_rng(seed)
    groups = sorted({grade.group for grade in library.grades})
    own = dict(zip(groups, np.exp(rng.normal(0.0, 0.4, len(groups))), strict=True))
    weights = Prior.usual(library).shares(library) * np.array([own[g.group] for g in library.grades])
    rows = rng.choice(len(library), size=pieces, p=weights / weights.sum())
    return [_piece(library, library.grades[int(row)], rng, known) for row in rows]


def _piece(library: GradeLibrary, grade: Grade, rng: np.random.Generator, known: float) -> Piece:
    kg = float(np.clip(MEDIAN_KG * np.exp(rng.normal(0.0, SPREAD)), LEAST_KG, MOST_KG))
    surface = Surface.BARE
    if rng.uniform() < PLATED.get(grade.group, 0.0):
        surface = Surface.PLATED
    elif rng.uniform() < PAINTED:
        surface = Surface.PAINTED
    elif rng.uniform() < DIRTY:
        surface = Surface.DIRTY
    piece = Piece(
        grade=grade,
        melt=melt_of(grade, library.elements, rng),
        mass_g=max(1, round(1000.0 * kg)),
        surface=surface,
        is_seen=surface is not Surface.PLATED or bool(rng.uniform() < SEEN_PLATING),
        first=PieceFacts(),
        noise=int(rng.integers(2**31)),
    )
    return replace(piece, first=_first_look(piece, library, rng, known))


def _first_look(piece: Piece, library: GradeLibrary, rng: np.random.Generator, known: float) -> PieceFacts:
    """Return what magnet, hand and eye say: pull, heft, form, covering, colour, perhaps a name."""
    bare = PieceFacts()
    bench = BenchFacts(
        magnet=MagnetPull(_seen(CheckKind.MAGNET, piece, bare, library, rng)),
        heft=Heft(_seen(CheckKind.HEFT, piece, bare, library, rng)),
        form=_form(piece.grade, rng),
        surfaces=frozenset({piece.surface})
        if piece.is_covered and piece.is_seen
        else frozenset({Surface.BARE}),
    )
    if not piece.is_covered:
        bench = replace(bench, colour=Colour(_seen(CheckKind.SCRATCH, piece, bare, library, rng)))
    elif not piece.is_seen:
        bench = replace(bench, colour=Colour.WHITE)
    claim = _claim(piece.grade, library, rng) if rng.uniform() < known else None
    return PieceFacts(bench=bench, claim=claim)


def _form(grade: Grade, rng: np.random.Generator) -> Form | None:
    """Return the form of the piece where it has one that the library names for its grade."""
    if grade.is_cast:
        return Form.CASTING
    named = [form for form in Form if any(form.value in use for use in grade.forms)]
    return named[int(rng.integers(len(named)))] if named else None


def _claim(grade: Grade, library: GradeLibrary, rng: np.random.Generator) -> Claim:
    """Return the series as a name ("6xxx", "300", "leaded brass"); a wrong one is mostly of the same
    group."""
    named = (grade.group, grade.series)
    if rng.uniform() > NAMED_RIGHT:
        every = sorted({(one.group, one.series) for one in library.grades} - {named})
        near = [one for one in every if one[0] == grade.group]
        pool = near if near and rng.uniform() < 0.7 else every
        named = pool[int(rng.integers(len(pool)))]
    ids = frozenset(one.grade_id for one in library.grades if (one.group, one.series) == named)
    label = " ".join(named)
    return Claim(text=label, label=label, grade_ids=ids)


def _seen(
    kind: CheckKind, piece: Piece, facts: PieceFacts, library: GradeLibrary, rng: np.random.Generator
) -> str:
    """Return what an observer finds: by the chances of the true grade, and now and then anything."""
    shown = showing(kind, facts, library)
    assert shown is not None
    chances = shown.chances[:, library.index_of(piece.grade.grade_id)]
    if rng.uniform() < SLIP:
        chances = np.full(len(chances), 1.0 / len(chances))
    return shown.outcomes[int(rng.choice(len(chances), p=chances))]


def checked(
    piece: Piece, kind: CheckKind, facts: PieceFacts, library: GradeLibrary, profile: Profile
) -> PieceFacts:
    """Return the facts with one more check made on the piece; the same check finds the same for every policy.

    Args:
        piece: As it is.
        kind: The check.
        facts: What was known before.
        library: The grades.
        profile: Of the analyser.
    """
    order = list(CheckKind).index(kind)
    rng = np.random.default_rng([piece.noise, order, len(facts.shots)])
    if kind in (CheckKind.READING, CheckKind.GRIND):
        is_ground = kind is CheckKind.GRIND
        shot = shot_of(_surface(piece, is_ground=is_ground), profile, rng).shots[0]
        return replace(facts, shots=(*facts.shots, replace(shot, is_ground=is_ground)))
    empty = PieceFacts()
    found = _seen(kind, piece, empty, library, rng)
    if kind is CheckKind.SCRATCH and piece.surface is Surface.PLATED:
        found = Colour.WHITE.value
    return replace(facts, bench=_noted(facts.bench, kind, found, rng))


def _noted(bench: BenchFacts, kind: CheckKind, found: str, rng: np.random.Generator) -> BenchFacts:
    match kind:
        case CheckKind.MAGNET:
            return replace(bench, magnet=MagnetPull(found))
        case CheckKind.HEFT:
            return replace(bench, heft=Heft(found))
        case CheckKind.SCRATCH | CheckKind.FILE:
            return replace(bench, scratch=Colour(found))
        case CheckKind.SPARK:
            return replace(bench, spark=Spark(found))
        case CheckKind.WATER:
            spread = 1.0 + 0.0075 * float(rng.uniform(-1.0, 1.0))
            return replace(bench, density_g_cm3=Measured(value=float(found) * spread))
        case CheckKind.CONDUCTIVITY:
            return replace(
                bench, iacs_pct=Measured(value=max(float(found) + float(rng.uniform(-1.1, 1.1)), 0.1))
            )
    raise AssertionError(f"{kind} is no bench check")


def _surface(piece: Piece, *, is_ground: bool) -> Mapping[str, float]:
    """Return what the analyser looks at [wt %]."""
    if is_ground or not piece.is_covered:
        return piece.melt
    if piece.surface is Surface.PLATED:
        skin = PLATING
    elif piece.surface is Surface.PAINTED:
        skin = {"Ti": 0.25, "Zn": 0.04, "Fe": 0.03}
    else:
        skin = {"Fe": 0.04, "Si": 0.05, "Al": 0.02}
    rest = 1.0 - sum(skin.values())
    mixed = {symbol: rest * share for symbol, share in piece.melt.items()}
    for symbol, share in skin.items():
        mixed[symbol] = mixed.get(symbol, 0.0) + 100.0 * share
    return mixed
