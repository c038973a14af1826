"""Facts of the trade about skins and cores: common practice, no document."""

import pytest

from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.library import load
from grade_library.matcher.matching import identify
from grade_library.verdict import Verdict

# Chromium over nickel on yellow brass, read as found, half ground, nearly through. Source: common practice.
TAP = ({"Cr": 65.0, "Ni": 25.0}, {"Ni": 16.0, "Zn": 18.0, "Cu": 64.0}, {"Cu": 70.0, "Zn": 26.0, "Ni": 2.0})


def seen(*readings: dict[str, float], first_is_ground: bool = False) -> Verdict:
    shots = tuple(
        Shot(reading=Reading(values=values), is_ground=i > 0 or first_is_ground)
        for i, values in enumerate(readings)
    )
    return identify(PieceFacts(shots=shots), load())


@pytest.mark.parametrize("n", [1, 2, 3])
def test_a_plated_tap_is_flagged_from_the_first_shot_and_never_called_a_nickel_alloy(n: int) -> None:
    """Source: common practice."""
    verdict = seen(*TAP[:n])

    assert verdict.skin is not None and verdict.skin.is_suspected
    assert verdict.skin.coating == "chromium over nickel"
    assert not verdict.skin.has_arrived
    assert sum(c.probability for c in verdict.candidates if c.grade.group == "nickel") < 0.01


def test_a_plated_tap_half_ground_is_not_settled_as_nickel_silver() -> None:
    """Nickel 16, zinc 18, copper 64 lies inside a real grade and is not it. Source: common practice."""
    verdict = seen(*TAP[:2])

    assert verdict.skin is not None and verdict.skin.is_suspected
    nickel_silver = sum(c.probability for c in verdict.candidates if c.grade.group == "nickel silver")
    assert nickel_silver < 0.5
    assert verdict.candidates[0].grade.group != "nickel silver"


def test_a_plated_tap_ends_as_yellow_brass_of_about_70_percent_copper_and_goes_on_grinding() -> None:
    """Source: common practice."""
    verdict = seen(*TAP)

    assert verdict.skin is not None
    best = verdict.candidates[0].grade
    copper = best.limits["Cu"]
    assert best.group == "brass"
    assert copper.low is not None and copper.high is not None
    assert 66.0 <= 0.5 * (copper.low + copper.high) <= 74.0
    assert "grind to yellow" in verdict.skin.advice and "shoot again" in verdict.skin.advice
    assert verdict.skin.shares[0] > verdict.skin.shares[1] > verdict.skin.shares[2]


def test_pure_tin_is_suspected_of_tin_plate_until_a_second_ground_shot_agrees() -> None:
    """Source: common practice."""
    tin = {"Sn": 100.0}
    first, again, ground = seen(tin), seen(tin, first_is_ground=False), seen(tin, tin)

    assert first.skin is not None and first.skin.is_suspected and first.skin.coating == "tin"
    assert again.skin is not None and again.skin.is_suspected
    assert ground.skin is not None and not ground.skin.is_suspected and ground.skin.has_arrived
    assert ground.candidates[0].grade.group == "tin"


def test_yellow_brass_is_about_60_percent_copper_and_35_to_40_percent_zinc() -> None:
    """Source: common practice."""
    verdict = seen({"Cu": 61.0, "Zn": 38.0})

    assert verdict.candidates[0].grade.group == "brass"
    assert verdict.skin is not None and not verdict.skin.is_suspected
    yellow = [
        g for g in load().grades if g.group == "brass" and "yellow brass" in " ".join(g.names).casefold()
    ]
    assert yellow


def test_chromium_23_nickel_6_is_not_inside_the_limits_of_301_and_is_told_so() -> None:
    """Cr 23.5, Fe 67, Ni 6.5 against 301 (Cr 16 to 18, Ni 6 to 8). Source: common practice."""
    verdict = seen({"Cr": 23.5, "Fe": 67.0, "Ni": 6.5})

    grade = load().grade("301")
    assert grade.limits["Cr"].high is not None and grade.limits["Cr"].high < 23.5
    share = sum(c.probability for c in verdict.candidates if c.grade.grade_id == "301")
    assert share < 0.05
    told = [r for c in (*verdict.candidates, *verdict.nearest) for r in c.reasons]
    assert any(reason.element in {"Cr", "Ni", "Mo", "N"} for reason in told)


@pytest.mark.parametrize(
    ("tin", "lead", "copper"), [(20.0, 12.0, 68.0), (8.0, 5.0, 87.0), (40.0, 25.0, 35.0)]
)
def test_a_soldered_joint_of_copper_is_no_leaded_bronze(tin: float, lead: float, copper: float) -> None:
    """Tin and lead as in soft solder beside copper: a joint was shot. Source: common practice."""
    verdict = seen({"Sn": tin, "Pb": lead, "Cu": copper})

    assert verdict.skin is not None and verdict.skin.coating == "solder"
    assert "away from the joint" in verdict.skin.advice
    assert sum(member.probability for member in verdict.families if member.group == "copper") > 0.9


def test_a_leaded_bronze_is_no_soldered_joint() -> None:
    """Copper 80, tin 10, lead 10, as bearings are made of, is the metal itself. Source: common practice."""
    verdict = seen({"Cu": 80.0, "Sn": 10.0, "Pb": 9.6, "Ni": 0.3, "Zn": 0.1})

    assert not (verdict.skin is not None and verdict.skin.is_suspected)
    assert verdict.candidates[0].grade.group == "bronze"


def test_copper_with_much_tin_may_be_tinned_copper_until_it_is_filed() -> None:
    """Copper 78, tin 22 is bell metal or tinned copper; a gunmetal holds zinc, which copper does not. Source:
    common practice."""
    bell, gunmetal = seen({"Cu": 78.0, "Sn": 22.0}), seen({"Cu": 88.0, "Sn": 8.0, "Zn": 4.0})

    shares = {member.group: member.probability for member in bell.families}
    assert 0.2 < shares["copper"] < 0.8 and shares["bronze"] > 0.2
    assert bell.skin is not None and "file it: red beneath" in bell.skin.tell
    assert gunmetal.skin is not None and "red beneath" not in gunmetal.skin.tell
