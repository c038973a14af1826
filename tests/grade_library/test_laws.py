"""Laws of the core: what must hold whatever the metal, the noise and the skin."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest

from grade_library.facts import BenchFacts, Claim, MagnetPull, PieceFacts, Reading, Shot
from grade_library.library import GradeLibrary, load
from grade_library.matcher.matching import identify
from grade_library.technique import profiles
from grade_library.verdict import Verdict


@pytest.fixture(scope="module")
def library() -> GradeLibrary:
    return load()


CORES = ("304", "C36000", "C11000", "6061", "SAE 1018", "Alloy 625")
COAT = {"Ni": 88.0, "P": 9.0, "Co": 3.0}
"""Of the skin in these series [wt %]; what remains of it is drawn anew in each shot."""
PIECES_EACH = 3


def composition(library: GradeLibrary, grade_id: str) -> dict[str, float]:
    """Return the middle of a grade's limits, its main element filled up to 100 [wt %]."""
    grade = library.grade(grade_id)
    middles = {
        symbol: 0.5 * ((limit.low or 0.0) + limit.high)
        for symbol, limit in grade.limits.items()
        if not limit.is_rest and limit.high is not None
    }
    rest = next((symbol for symbol, limit in grade.limits.items() if limit.is_rest), grade.base)
    return {**middles, rest: 100.0 - sum(x for s, x in middles.items() if s != rest)}


def shot(metal: dict[str, float], skin: float, rng: np.random.Generator, *, is_ground: bool) -> Shot:
    """Return an x-ray shot on metal of which this share reads as the coat, with noise [wt %]."""
    profile = profiles()["xrf"]
    coat = {s: x * float(np.exp(rng.normal(0.0, 0.15))) for s, x in COAT.items()}
    mixed = {
        s: (1.0 - skin) * metal.get(s, 0.0) + skin * coat.get(s, 0.0)
        for s in {*metal, *coat}
        if s not in profile.unseen
    }
    read = {s: x + rng.normal(0.0, profile.sigma(s, x)) for s, x in mixed.items()}
    values = {s: x for s, x in read.items() if x > profile.model(s).lod}
    total = sum(values.values())
    reading = Reading(values={s: min(100.0, 100.0 * x / total) for s, x in sorted(values.items())})
    return Shot(reading=reading, is_ground=is_ground)


def group_chance(verdict: Verdict, group: str) -> float:
    """Return the probability of a group, unlisted members counted."""
    return sum(member.probability for member in verdict.families if member.group == group)


def pieces(library: GradeLibrary) -> Iterator[tuple[str, tuple[Shot, ...]]]:
    """Yield the group of a core and a series on it: as found, half ground, nearly bare, bare."""
    rng = np.random.default_rng(8)
    for grade_id in CORES:
        metal = composition(library, grade_id)
        for _ in range(PIECES_EACH):
            shares = (rng.uniform(0.5, 0.9), rng.uniform(0.15, 0.4), rng.uniform(0.01, 0.08), 0.0)
            yield (
                library.grade(grade_id).group,
                tuple(shot(metal, share, rng, is_ground=i > 0) for i, share in enumerate(shares)),
            )


@pytest.fixture(scope="module")
def told(library: GradeLibrary) -> np.ndarray:
    """Probability of the core's group after one to four shots, shape (n_pieces, 4)."""
    return np.array(
        [
            [group_chance(identify(PieceFacts(shots=shots[:n]), library), group) for n in (1, 2, 3, 4)]
            for group, shots in pieces(library)
        ]
    )


def test_more_shots_never_lower_the_expected_score(told: np.ndarray) -> None:
    """Each further shot toward the core raises the mean log probability of the core's group."""
    scores = np.log(np.maximum(told, 1e-9)).mean(axis=0)

    assert (np.diff(scores) > -0.01).all(), scores


def test_the_bare_core_as_one_more_ground_shot_raises_its_class(told: np.ndarray) -> None:
    """No piece knows less of its core once the bare core was shot."""
    assert (told[:, 3] >= told[:, 2] - 0.01).all()
    assert (told[:, 3] > 0.9).all()


def class_of(verdict: Verdict) -> tuple[str, str]:
    """Return group and series that lead, unlisted members counted."""
    shares: dict[tuple[str, str], float] = {}
    for one in verdict.families:
        key = (one.group, one.series if one.group in {"aluminium", "stainless"} else "")
        shares[key] = shares.get(key, 0.0) + one.probability
    return max(shares, key=lambda key: shares[key])


@pytest.mark.parametrize("total", [96.0, 98.9])
@pytest.mark.parametrize("factor", [0.97, 1.0, 1.02])
def test_scaling_all_values_leaves_the_class(library: GradeLibrary, total: float, factor: float) -> None:
    """A reading that sums to a little less than 100, times 0.97 or 1.02, is of the same class of metal; above
    101 no reading is taken, so a whole one cannot be tried at 1.02."""
    for group, shots in list(pieces(library))[::PIECES_EACH]:
        whole = shots[3].reading
        values = {s: min(100.0, factor * total / 100.0 * x) for s, x in whole.values.items()}
        scaled = Shot(reading=replace(whole, values=values), is_ground=True)
        before, after = (identify(PieceFacts(shots=(one,)), library) for one in (shots[3], scaled))
        assert class_of(after) == class_of(before)
        assert group_chance(after, group) > 0.5, group


@pytest.mark.parametrize("left", [0.0, 0.018])
def test_scaling_makes_no_cast_iron_of_plain_steel(library: GradeLibrary, left: float) -> None:
    """Iron that falls with the sum is no sign of carbon, which x-rays do not see: steel stays before cast
    iron, with a little of a nickel coat left or none."""
    mixed = {"Fe": 99.25 * (1.0 - left), "Mn": 0.75 * (1.0 - left)}
    mixed |= {s: left * x for s, x in COAT.items() if left and s != "Co"}
    reading = Reading(values={s: 0.97 * x for s, x in mixed.items()})

    families = identify(PieceFacts(shots=(Shot(reading=reading, is_ground=True),)), library).families

    cast = sum(one.probability for one in families if one.family == "cast iron")
    assert families[0].family != "cast iron"
    assert cast < 0.25


def test_an_element_removed_counts_as_not_reported(library: GradeLibrary) -> None:
    """Without a minor element the core's group stays likely, and at least as likely as where the element was
    looked for and not found: silence is no evidence of absence."""
    for group, shots in list(pieces(library))[::PIECES_EACH]:
        whole = shots[3].reading
        for symbol, x in whole.values.items():
            if x < 1.0:
                values = {s: v for s, v in whole.values.items() if s != symbol}
                silent = replace(whole, values=values)
                absent = replace(silent, below={symbol: profiles()["xrf"].model(symbol).lod})
                said, unsaid, missing = (
                    group_chance(
                        identify(PieceFacts(shots=(Shot(reading=one, is_ground=True),)), library), group
                    )
                    for one in (whole, silent, absent)
                )
                assert unsaid > 0.8, symbol
                assert unsaid >= min(said, missing) - 0.02, symbol


BRASS = {"Cu": 69.8, "Zn": 30.1}
STAINLESS = {"Cr": 18.2, "Ni": 8.1, "Mn": 1.5, "Fe": 71.8}


def once(values: dict[str, float], technique: str = "xrf", *, is_ground: bool = False) -> tuple[Shot, ...]:
    """Return one shot."""
    return (Shot(reading=Reading(values=values, technique=technique), is_ground=is_ground),)


NAMED = Claim(text="brass", label="brass", grade_ids=frozenset({"C26000"}))
LOOKED_AT = {
    "as found": (PieceFacts(shots=once(BRASS)), True),
    "no plating": (PieceFacts(shots=once(STAINLESS)), False),
    "ground": (PieceFacts(shots=once(BRASS, is_ground=True)), False),
    "magnet": (PieceFacts(shots=once(BRASS), bench=BenchFacts(magnet=MagnetPull.NONE)), False),
    "named": (PieceFacts(shots=once(BRASS), claim=NAMED), False),
    "certificate": (PieceFacts(shots=once(BRASS, "lab")), False),
}


@pytest.mark.parametrize("case", LOOKED_AT)
def test_one_look_at_the_surface_may_be_of_a_plating(library: GradeLibrary, case: str) -> None:
    """Brass read as it lies there may be a plating, until a grind, a bench fact, a name or a certificate
    speaks."""
    facts, is_expected = LOOKED_AT[case]

    skin = identify(facts, library).skin

    assert (skin is not None and skin.is_plate_alone) == is_expected
