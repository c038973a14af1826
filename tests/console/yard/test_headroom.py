"""The buyer's limits: how far a bay is from them, and what it can still take."""

import math
from dataclasses import replace

import pytest

from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.content import Content
from console.yard.chemistry.headroom import bay_chemistry, coverage, headroom, tightest_limit, warning_before
from console.yard.yard import Bay, Thresholds
from grade_library.facts import Reading
from grade_library.grade import Limit
from grade_library.library import GradeLibrary

BAY = Bay(
    code="ALO",
    name="alu",
    accepts=("6xxx",),
    grade_ids=frozenset({"6061", "6063"}),
    chemistry={"Cu": Limit(high=0.40), "Si": Limit(low=0.2)},
)


def filled(library: GradeLibrary, mass_g: int = 1_000_000, cu: float = 0.25) -> BaySums:
    """A tonne of which every piece was read."""
    sums = BaySums.empty(library)
    for _ in range(10):
        reading = Reading(values={"Cu": cu, "Si": 0.6, "Zn": 0.05}, technique="lab")
        sums = sums.plus(Content(mass_g=mass_g / 10, shares={"6061": 1.0}, reading=reading), BAY)
    return sums


def test_limits_are_judged_with_their_chance(library: GradeLibrary) -> None:
    """Each limit of the buyer is told with content and chance of being kept."""
    found = bay_chemistry(BAY, filled(library))

    copper, silicon = found.limits
    assert (copper.symbol, copper.limit, silicon.limit) == ("Cu", "<=0.4", ">=0.2")
    assert copper.content.wt_pct == pytest.approx(0.25)
    assert copper.chance_kept > 0.999
    assert bay_chemistry(BAY, filled(library, cu=0.4)).limits[0].chance_kept == pytest.approx(0.5, abs=0.01)


def test_an_empty_bay_has_no_state(library: GradeLibrary) -> None:
    """An empty bay keeps and breaks no limit."""
    assert bay_chemistry(BAY, BaySums.empty(library)).limits == ()


@pytest.mark.parametrize(("confidence", "k"), [(0.5, 0.0), (0.90, 1.2816), (0.95, 1.6449), (0.99, 2.3263)])
def test_coverage_is_the_normal_quantile(confidence: float, k: float) -> None:
    """Tables of the normal distribution."""
    assert coverage(confidence) == pytest.approx(k, abs=1e-4)


def test_headroom_is_used_up_exactly(library: GradeLibrary) -> None:
    """With as much 2024 as the headroom says, copper plus its coverage is at the limit."""
    sums = filled(library)
    room = headroom(BAY, sums, "2024", library)

    assert room.symbol == "Cu"
    assert 20_000 < room.mass_g < 40_000
    full = sums.plus(Content(mass_g=room.mass_g, shares={"2024": 1.0})).composition()["Cu"]
    assert full.wt_pct + coverage(0.90) * full.sigma == pytest.approx(0.40, abs=1e-6)


def test_a_surer_bay_takes_less(library: GradeLibrary) -> None:
    """The surer a bay must be, the less of a foreign grade it can take."""
    sums = filled(library)

    assert (
        headroom(BAY, sums, "2024", library, Thresholds(at_risk=0.01)).mass_g
        < headroom(BAY, sums, "2024", library, Thresholds(at_risk=0.2)).mass_g
    )


def test_clean_metal_never_uses_it_up(library: GradeLibrary) -> None:
    """A bay without limits has room without end, one with limits has not."""
    assert headroom(BAY, filled(library), "4032", library).mass_g < math.inf
    assert headroom(BAY, filled(library), "4047", library) == headroom(BAY, filled(library), "4047", library)
    no_limits = Bay(code="AMX", name="mixed", accepts=(), grade_ids=frozenset())
    assert headroom(no_limits, filled(library), "2024", library).mass_g == math.inf


def test_a_piece_that_uses_up_the_headroom_is_warned_of(library: GradeLibrary) -> None:
    """Before it is tallied, with the figures; a smaller one passes."""
    sums = filled(library)
    room = headroom(BAY, sums, "2024", library).mass_g

    warned = warning_before(BAY, sums, Content(mass_g=1.1 * room, shares={"2024": 1.0}))

    assert warned.startswith("ALO: Cu would go from 0.25 to 0.40")
    assert warned.endswith("buyer takes <=0.4")
    assert warning_before(BAY, sums, Content(mass_g=0.9 * room, shares={"2024": 1.0})) == ""


def test_a_piece_that_mends_the_bay_is_not_warned_of(library: GradeLibrary) -> None:
    """In a bay that is over its limit, cleaner metal is welcome and dirtier metal is not."""
    over = filled(library, cu=0.5)
    clean = Content(
        mass_g=5000.0, shares={"6063": 1.0}, reading=Reading(values={"Cu": 0.02}, technique="lab")
    )

    assert warning_before(BAY, over, clean) == ""
    assert "Cu would go from 0.50" in warning_before(BAY, over, Content(mass_g=5000.0, shares={"2024": 1.0}))


def test_metal_that_keeps_the_limit_is_not_warned_of_for_what_nobody_read(library: GradeLibrary) -> None:
    """304 of which only the name is known may hold some copper; a bay of it is no cause to nag each time."""
    bay = Bay(
        code="STN",
        name="stainless",
        accepts=(),
        grade_ids=frozenset({"304"}),
        chemistry={"Cu": Limit(high=0.5)},
    )
    piece = Content(mass_g=50_000.0, shares={"304": 1.0})
    sums = BaySums.empty(library).plus(piece, bay).plus(piece, bay)
    unsure = sums.composition()["Cu"]

    assert unsure.wt_pct + coverage(0.95) * unsure.sigma > 0.5
    assert warning_before(bay, sums, piece) == ""
    assert "Cu would go" in warning_before(bay, sums, Content(mass_g=5000.0, shares={"C11000": 1.0}))


def test_a_least_content_is_guarded_too(library: GradeLibrary) -> None:
    """Pure aluminium dilutes the silicon that this buyer wants."""
    pure = Content(mass_g=4_000_000.0, shares={"1050": 1.0})

    assert "Si would go from 0.60 to" in warning_before(BAY, filled(library), pure)
    assert ">=0.2" in warning_before(BAY, filled(library), pure)


def test_a_bay_without_limits_never_warns(library: GradeLibrary) -> None:
    """Where the buyer sets no limit nothing is warned of."""
    free = Bay(code="AMX", name="mixed", accepts=(), grade_ids=frozenset())

    assert warning_before(free, filled(library), Content(mass_g=1e6, shares={"2024": 1.0})) == ""


def test_the_tightest_limit_agrees_with_the_chance_that_it_is_kept(library: GradeLibrary) -> None:
    """At risk exactly where the chance of keeping it falls below 90 %, broken below a half."""
    for cu in (0.25, 0.38, 0.398, 0.41):
        sums = filled(library, cu=cu)
        tight = tightest_limit(BAY, sums)
        copper = bay_chemistry(BAY, sums).limits[0]

        assert tight is not None
        assert tight.is_at_risk == (copper.chance_kept < 0.90) == (cu > 0.39)
        assert tight.is_broken == (copper.chance_kept < 0.5) == (cu > 0.40)
        assert not tight.is_at_risk or tight.symbol == "Cu"
    assert tightest_limit(BAY, BaySums.empty(library)) is None


def stainless(library: GradeLibrary, pieces: int, mass_g: float) -> BaySums:
    """A bay of 304 by name only: nobody read its copper."""
    sums = BaySums.empty(library)
    for _ in range(pieces):
        sums = sums.plus(Content(mass_g=mass_g, shares={"304": 1.0}), STAINLESS)
    return sums


STAINLESS = Bay(
    code="STN",
    name="18-8",
    accepts=("304",),
    grade_ids=frozenset({"304"}),
    chemistry={"Cu": Limit(high=0.5)},
)


@pytest.mark.parametrize("pieces", [2, 5, 40])
def test_what_nobody_read_is_not_at_risk_for_that(pieces: int, library: GradeLibrary) -> None:
    """The copper of 304 is what melts of stainless usually carry: a half per cent is seldom passed."""
    tight = tightest_limit(STAINLESS, stainless(library, pieces, 100_000.0))

    assert tight is not None and tight.symbol == "Cu"
    assert not tight.is_at_risk
    assert 0.3 < tight.used < 0.7


def test_a_bay_that_is_likely_over_is_told(library: GradeLibrary) -> None:
    """The same bay with a buyer of less copper than stainless usually carries; and a more careful yard."""
    strict = replace(STAINLESS, chemistry={"Cu": Limit(high=0.15)})
    sums = stainless(library, 5, 100_000.0)

    tight = tightest_limit(strict, sums)
    careful = tightest_limit(STAINLESS, sums, Thresholds(at_risk=0.02))

    assert tight is not None and tight.is_broken
    assert careful is not None and careful.is_at_risk and not careful.is_broken


def test_a_bay_too_small_to_matter_says_nothing(library: GradeLibrary) -> None:
    """Below the yard's own weight neither the tally nor the warning speaks of limits."""
    strict = replace(STAINLESS, chemistry={"Cu": Limit(high=0.15)})
    copper = Content(mass_g=5000.0, shares={"C11000": 1.0})
    small, large = stainless(library, 4, 10_000.0), stainless(library, 6, 10_000.0)

    assert tightest_limit(strict, small) is None
    assert warning_before(strict, small, copper) == ""
    assert tightest_limit(strict, large) is not None
    assert warning_before(strict, large, copper) != ""
    assert tightest_limit(strict, small, Thresholds(small_bay_g=30_000)) is not None


def test_a_limit_of_purity_tells_how_much_else_there_is(library: GradeLibrary) -> None:
    """Of "99 % copper at least" one half is used where one half per cent of something else lies there."""
    pure = Bay(code="CUB", name="bare", accepts=(), grade_ids=frozenset(), chemistry={"Cu": Limit(low=99.0)})
    reading = Reading(values={"Cu": 99.5}, sigma={"Cu": 0.001}, technique="lab")
    sums = BaySums.empty(library).plus(Content(mass_g=1e5, shares={"C11000": 1.0}, reading=reading))

    tight = tightest_limit(pure, sums)

    assert tight is not None and tight.used == pytest.approx(0.5, abs=0.01)


def test_what_lies_beside_a_pure_metal_is_skewed_too(library: GradeLibrary) -> None:
    """Half a per cent of other metal, as unsure as that, passes one per cent as an exponential does."""
    pure = Bay(code="CUB", name="bare", accepts=(), grade_ids=frozenset(), chemistry={"Cu": Limit(low=99.0)})
    reading = Reading(values={"Cu": 99.5}, sigma={"Cu": 0.5}, technique="lab")
    sums = BaySums.empty(library).plus(Content(mass_g=1e5, shares={"C11000": 1.0}, reading=reading))

    assert bay_chemistry(pure, sums).limits[0].chance_kept == pytest.approx(1.0 - math.exp(-2.0), abs=1e-6)


@pytest.mark.parametrize(("pure", "said"), [("1050", ">=0.5"), ("4032", "<=0.7")])
def test_the_end_that_would_be_missed_is_named(library: GradeLibrary, pure: str, said: str) -> None:
    """Of a limit with two ends the one that the piece itself breaks."""
    bay = replace(BAY, chemistry={"Si": Limit(low=0.5, high=0.7)})
    piece = Content(mass_g=4_000_000.0, shares={pure: 1.0})

    assert warning_before(bay, filled(library), piece).endswith(said)
