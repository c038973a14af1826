"""What a load is made of and how it is judged against its order."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.yard.loads.buyer import DecisionRule, LoadLimit
from console.yard.loads.judging import beyond, judged, sum_of
from console.yard.loads.pooling import UNNAMED, LoadPart, pool
from grade_library.grade import Limit
from grade_library.lots.blending import Blend

COPPER = LoadLimit(words="Cu", terms={"Cu": 1.0}, limit=Limit(high=0.30))
NICKEL = LoadLimit(words="Ni", terms={"Ni": 1.0}, limit=Limit(low=8.0))
SHARED, GUARDED = DecisionRule.SHARED_RISK, DecisionRule.GUARD_BAND


def part(name: str, cu: float, *, mass_g: int = 1000, sigma: float = 0.0, common: float = 0.0) -> LoadPart:
    contents = {"Cu": Blend(wt_pct=cu, sigma=sigma, common=common)}
    return LoadPart(name=name, mass_g=mass_g, contents=contents)


def test_pooling_averages_what_is_own_and_carries_what_is_common() -> None:
    """Sixteen equal bales: a quarter of the own uncertainty is left, and all of the common one."""
    bales = [part(str(n), 0.2, sigma=math.hypot(0.04, 0.03), common=0.03) for n in range(16)]

    copper = pool(bales).composition()["Cu"]

    assert copper.wt_pct == pytest.approx(0.2)
    assert copper.common == pytest.approx(0.03)
    assert copper.own == pytest.approx(0.01)


def test_pooling_weighs_by_mass_and_takes_parts_out_again() -> None:
    """Three to one counts three times; without a part it is as if that had never been there."""
    heavy, light = part("a", 0.4, mass_g=3000, sigma=0.02), part("b", 0.0, sigma=0.06)
    both = pool([heavy, light])

    assert both.composition()["Cu"].wt_pct == pytest.approx(0.3)
    assert both.composition()["Cu"].sigma == pytest.approx(math.hypot(0.75 * 0.02, 0.25 * 0.06))
    alone, only = both.without(light).composition()["Cu"], heavy.contents["Cu"]
    assert (alone.wt_pct, alone.sigma) == pytest.approx((only.wt_pct, only.sigma))
    assert pool([]).composition() == {}


def test_an_element_that_a_bale_does_not_name_may_be_there_all_the_same() -> None:
    """Up to what would have been written on it."""
    sum_ = sum_of({"Cu": 1.0, "Sn": 8.0}, pool([part("a", 0.2)], ["Sn"]).composition())

    assert sum_.wt_pct == pytest.approx(0.2 + 8 * 0.005)
    assert sum_.sigma == pytest.approx(8 * 0.01 / math.sqrt(12))
    assert UNNAMED.wt_pct + math.sqrt(3) * UNNAMED.sigma == pytest.approx(0.01)


@given(
    st.lists(
        st.tuples(st.floats(0, 5), st.floats(0, 0.5), st.floats(0, 1), st.integers(1, 10**6)), min_size=1
    )
)
def test_pooling_never_claims_more_than_its_parts_know(
    parts: list[tuple[float, float, float, int]],
) -> None:
    """A load is no surer than what is common, no less sure than the least sure bale, and between them."""
    bales = [
        part(str(n), cu, mass_g=mass_g, sigma=sigma, common=share * sigma)
        for n, (cu, sigma, share, mass_g) in enumerate(parts)
    ]
    copper = pool(bales).composition()["Cu"]

    contents = [bale.contents["Cu"] for bale in bales]
    assert min(c.wt_pct for c in contents) - 1e-9 <= copper.wt_pct <= max(c.wt_pct for c in contents) + 1e-9
    assert copper.sigma <= max(c.sigma for c in contents) + 1e-9
    assert copper.common >= min(c.common for c in contents) - 1e-9


@pytest.mark.parametrize(
    ("cu", "rule", "far"),
    [(0.29, SHARED, 0.0), (0.31, SHARED, 0.01), (0.29, GUARDED, 0.03), (0.25, GUARDED, 0.0)],
)
def test_the_rule_decides(cu: float, rule: DecisionRule, far: float) -> None:
    """Shared risk holds the estimate against the limit, guard band the estimate and U = 2u."""
    content = Blend(wt_pct=cu, sigma=0.02)

    assert beyond(content, COPPER, rule) == pytest.approx(far)
    mirrored = Blend(wt_pct=8.3 - cu, sigma=0.02)
    assert beyond(mirrored, NICKEL, rule) == pytest.approx(far)


def test_what_would_help_is_said() -> None:
    """The part to leave out, with what the load comes to without it."""
    bales = [part("T1-A-1", 0.25), part("T1-A-2", 0.27), part("T1-A-3", 0.42)]

    [copper] = judged(bales, [COPPER], SHARED)

    assert copper.beyond == pytest.approx(0.94 / 3 - 0.3)
    assert copper.chance == 0.0
    assert copper.helps == ("leave out T1-A-3: Cu 0.31 -> 0.26",)


def test_a_limit_that_nothing_meets_is_said_with_by_how_much() -> None:
    """Neither leaving out nor any part by itself: the nearest is named."""
    [copper] = judged([part("a", 0.5), part("b", 0.9)], [COPPER], SHARED)

    assert copper.helps == (
        "leave out b: Cu 0.70 -> 0.50, still 0.20 too far",
        "no part keeps it by itself; the nearest, a, is 0.20 too far",
    )


def test_where_sureness_alone_is_missing_an_analysis_helps() -> None:
    """The estimate keeps the limit, and the guard band does not fit: so much U would do."""
    [copper] = judged([part("a", 0.27, sigma=0.05)], [COPPER], GUARDED)

    assert not copper.is_met
    assert copper.helps[-1] == "the estimate keeps it: an analysis with U of 0.030 or less would do"


def test_what_nobody_knows_is_not_judged() -> None:
    """A part without a composition, and an empty load, leave every limit open."""
    unknown = LoadPart(name="b", mass_g=1000, contents={})

    assert judged([part("a", 0.1), unknown], [COPPER], SHARED) == ()
    assert judged([], [COPPER], SHARED) == ()
