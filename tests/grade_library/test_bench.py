"""Bench facts: each speaks for the right metals, and none rules a metal out for good."""

import pytest

from grade_library.facts import (
    BenchFacts,
    Form,
    Heft,
    MagnetPull,
    Measured,
    PieceFacts,
    Reading,
    Shot,
    Spark,
    Surface,
)
from grade_library.grade import Colour
from grade_library.library import load
from grade_library.matcher.matching import identify
from grade_library.matcher.prior import Prior
from grade_library.verdict import Verdict


def _by_group(verdict: Verdict) -> dict[str, float]:
    sums: dict[str, float] = {}
    for candidate in verdict.candidates:
        sums[candidate.grade.group] = sums.get(candidate.grade.group, 0.0) + candidate.probability
    return sums


def _look(**bench: object) -> Verdict:
    return identify(PieceFacts(bench=BenchFacts(**bench)), load())  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("bench", "group"),
    [
        ({"scratch": Colour.RED, "magnet": MagnetPull.NONE, "heft": Heft.NORMAL}, "copper"),
        ({"scratch": Colour.YELLOW, "magnet": MagnetPull.NONE, "heft": Heft.NORMAL}, "brass"),
        ({"scratch": Colour.WHITE, "magnet": MagnetPull.NONE, "heft": Heft.LIGHT}, "aluminium"),
        (
            {"scratch": Colour.WHITE, "magnet": MagnetPull.NONE, "heft": Heft.NORMAL, "spark": Spark.STRAW},
            "stainless",
        ),
        (
            {"magnet": MagnetPull.STRONG, "surfaces": frozenset({Surface.RUSTY}), "spark": Spark.BURSTING},
            "steel",
        ),
        ({"scratch": Colour.BLUE_GREY, "heft": Heft.HEAVY, "magnet": MagnetPull.NONE}, "lead"),
        ({"heft": Heft.MIDDLING, "spark": Spark.WHITE, "magnet": MagnetPull.NONE}, "titanium"),
    ],
)
def test_hand_and_eye_name_the_group(bench: dict[str, object], group: str) -> None:
    """The usual signs of a metal lead to its group (common practice)."""
    sums = _by_group(_look(**bench))

    assert max(sums, key=lambda key: sums[key]) == group


def test_a_very_light_casting_may_well_be_magnesium() -> None:
    """Magnesium is rare, so heft alone does not settle it, but it becomes a real possibility."""
    light, very_light = (
        _by_group(_look(heft=heft, scratch=Colour.WHITE, form=Form.CASTING))
        for heft in (Heft.LIGHT, Heft.VERY_LIGHT)
    )

    assert light.get("magnesium", 0.0) < 0.02
    assert very_light["magnesium"] > 0.25


def test_a_colour_under_paint_says_nothing() -> None:
    """A painted piece has no colour; a scratch still has."""
    painted = _look(colour=Colour.RED, surfaces=frozenset({Surface.PAINTED}), magnet=MagnetPull.NONE)
    plain = _look(surfaces=frozenset({Surface.PAINTED}), magnet=MagnetPull.NONE)

    assert _by_group(painted) == pytest.approx(_by_group(plain))
    assert _by_group(_look(colour=Colour.RED))["copper"] > _by_group(_look(colour=Colour.WHITE)).get(
        "copper", 0.0
    )


def test_an_attachment_blunts_the_magnet() -> None:
    """A steel bracket pulls whatever the piece is made of."""
    alone = _by_group(_look(magnet=MagnetPull.STRONG, scratch=Colour.YELLOW))
    with_bracket = _by_group(_look(magnet=MagnetPull.STRONG, scratch=Colour.YELLOW, has_attachments=True))

    assert with_bracket["brass"] > alone.get("brass", 0.0)


def test_casting_or_sheet_tells_cast_from_wrought_twins() -> None:
    """A356 and its wrought neighbours, CF8 and 304: the reading is the same, the form decides."""
    shot = (Shot(reading=Reading(values={"Cr": 18.6, "Ni": 8.6, "Fe": 71.0, "Mn": 1.0, "Si": 0.6})),)

    cast = identify(PieceFacts(shots=shot, bench=BenchFacts(form=Form.CASTING)), load(), Prior.flat())
    sheet = identify(PieceFacts(shots=shot, bench=BenchFacts(form=Form.SHEET)), load(), Prior.flat())

    assert cast.best is not None and cast.best.grade.is_cast
    assert sheet.best is not None and not sheet.best.grade.is_cast


def test_density_tells_metals_apart_and_a_wrong_one_is_survived() -> None:
    """8.5 g/cm3 speaks for brass, not bronze or steel; yet a density measured wrong does not bury a clear
    reading."""
    sums = _by_group(_look(density_g_cm3=Measured(value=8.50, sigma=0.02), scratch=Colour.YELLOW))
    reading = Shot(reading=Reading(values={"Cu": 61.5, "Zn": 35.4, "Pb": 3.0, "Fe": 0.1}))

    hollow = identify(
        PieceFacts(shots=(reading,), bench=BenchFacts(density_g_cm3=Measured(value=6.0))), load()
    )

    assert sums["brass"] > 0.8
    assert hollow.best is not None and hollow.best.grade.group == "brass"


def test_conductivity_above_48_cannot_be_7075() -> None:
    """55 % IACS on an aluminium piece speaks for 1xxx and 6063 and against 7075 and 2024 (published
    conductivities)."""
    verdict = _look(iacs_pct=Measured(value=55.0), heft=Heft.LIGHT, scratch=Colour.WHITE)
    chance = {c.grade.grade_id: c.probability for c in verdict.candidates}

    assert "7075" not in chance
    assert "2024" not in chance
    assert chance["6063"] > 0.05


def test_stainless_pull_follows_the_composition() -> None:
    """A weak pull speaks for lean 304 against 316 when neither is settled, and says little against 304
    itself."""
    lean = (Shot(reading=Reading(values={"Cr": 18.1, "Ni": 8.05, "Fe": 71.5, "Mn": 1.6, "Si": 0.4})),)

    quiet = identify(PieceFacts(shots=lean, bench=BenchFacts(magnet=MagnetPull.NONE)), load())
    pulls = identify(PieceFacts(shots=lean, bench=BenchFacts(magnet=MagnetPull.WEAK)), load())

    assert quiet.best is not None and quiet.best.grade.series == "300"
    assert pulls.best is not None and pulls.best.grade.series == "300"


def test_alloy_400_is_judged_by_its_curie_point() -> None:
    """28 % copper pulls in the yard, 34 % does not: the magnet never rules alloy 400 out (Curie point 20 to
    50 °C)."""
    for copper, pull in ((28.5, MagnetPull.WEAK), (33.5, MagnetPull.NONE), (31.0, MagnetPull.STRONG)):
        values = {"Cu": copper, "Ni": 97.0 - copper, "Fe": 1.8, "Mn": 1.0}
        verdict = identify(
            PieceFacts(shots=(Shot(reading=Reading(values=values)),), bench=BenchFacts(magnet=pull)), load()
        )

        assert verdict.best is not None and verdict.best.grade.family == "nickel-copper"
