"""Whose metal may go to whose order or buyer, and on what terms."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from statistics import NormalDist

import pytest

from console.yard.loads.buyer import PriceStep
from console.yard.loads.refusing import why_refused
from console.yard.selling.outlets import openings, refusals
from console.yard.selling.sale import Claim, LoadLimit, Outlet
from console.yard.yard import Yard
from grade_library.facts import Surface
from grade_library.library import GradeLibrary
from tests.conftest import DEMO_YARD
from tests.yards import load_yard


@pytest.fixture(scope="module")
def demo_yard(library: GradeLibrary) -> Yard:
    return load_yard(DEMO_YARD, library)


def test_metal_goes_only_where_all_of_it_is_taken(demo_yard: Yard) -> None:
    """Clean extrusions may go into low-copper and mixed metal, never the other way or into another metal."""
    axc, amx = refusals(demo_yard.bay("AXC"), demo_yard), refusals(demo_yard.bay("AMX"), demo_yard)

    assert not {"buyer of ALO", "buyer of AMX", "buyer of AXC", "RX1", "RX2"} & set(axc)
    assert amx["buyer of AXC"].startswith("does not take all")
    assert amx["RX1"].startswith("does not take all that may lie in AMX")
    assert {"buyer of STN", "TS1", "TS2"} <= set(axc)


def test_what_a_buyer_refuses_outright_is_never_hidden(demo_yard: Yard) -> None:
    """A bay that lets paint in sends nothing to a buyer who refuses paint, whatever its metal."""
    axc = demo_yard.bay("AXC")
    painted = replace(axc, code="PNT", refused_surfaces=frozenset())

    assert "painted" in refusals(painted, demo_yard)["buyer of AXC"]
    assert "refuses outright" in refusals(painted, demo_yard)["buyer of ALO"]
    assert "refuses outright what may lie in PNT: painted" in refusals(painted, demo_yard)["RX2"]
    assert Surface.PAINTED in axc.refused_surfaces


def test_a_richer_piece_than_a_buyer_takes_keeps_the_bay_out(demo_yard: Yard) -> None:
    """The limit of one piece holds in a blend too."""
    rich = replace(demo_yard.bay("AXC"), code="RCH", element_limits={"Cu": 0.8, "Zn": 0.3})

    assert "pieces with more than 0.4 % Cu" in refusals(rich, demo_yard)["buyer of ALO"]
    assert "buyer of AMX" not in refusals(rich, demo_yard)


def test_an_order_speaks_the_words_of_a_bay(demo_yard: Yard) -> None:
    """What one piece may hold, and coatings, keep a bay out of an order too."""
    axc, rx2 = demo_yard.bay("AXC"), demo_yard.buyers[0].orders[1]

    assert why_refused(axc, rx2) == ""
    strict = replace(rx2, element_limits={"Cu": 0.3}, refused_coatings=frozenset({"zinc"}))
    assert why_refused(axc, strict).endswith("may lie in AXC: zinc, pieces with more than 0.3 % Cu")
    assert why_refused(axc, replace(rx2, element_limits={"Cu": 0.4})) == ""


def of(yard: Yard, day: date = date(2026, 3, 14), **promised_g: int) -> dict[str, Outlet]:
    return {one.name: one for one in openings(yard, day, promised_g).outlets}


def test_bays_with_a_price_are_outlets_with_their_limits(demo_yard: Yard) -> None:
    """The hold bay is none; limits of the bay are those of the load."""
    outlets = of(demo_yard)

    assert "buyer of HLD" not in outlets
    limits = [(one.name, one.high) for one in outlets["buyer of AXC"].limits]
    assert limits == [("Cu<=0.25", 0.25), ("Zn<=0.15", 0.15)]
    assert outlets["buyer of AXC"].order == ""


def test_every_order_is_an_outlet_of_its_own(demo_yard: Yard) -> None:
    """Two orders of one buyer are two, each with price, limits, what is left of its tonnage, and its rule."""
    outlets = of(demo_yard, RX1=4_500_000)

    rx1, ts1 = outlets["RX1"], outlets["TS1"]
    assert "RX2" in outlets and "Ridgeway" in rx1.words and rx1.order == "RX1"
    assert (rx1.most_kg, outlets["RX2"].most_kg) == (15_500.0, None)
    assert rx1.confidence(0.9) == pytest.approx(NormalDist().cdf(2.0))
    assert rx1.confidence(0.99) == 0.99
    assert ts1.confidence(0.9) == 0.9
    assert [(one.name, dict(one.weights), one.high) for one in ts1.limits][1] == (
        "Cu + 8 Sn<=0.5",
        {"Cu": 1.0, "Sn": 8.0},
        0.5,
    )


def test_steps_are_prices_with_what_must_be_kept_for_them(demo_yard: Yard) -> None:
    """A downgrade is escaped at its bound, a premium earned above it; foreign material is left out."""
    rx1, ts2 = of(demo_yard)["RX1"], of(demo_yard)["TS2"]

    assert [level.price_per_kg for level in rx1.levels()] == pytest.approx([1.86, 1.82])
    [escape] = rx1.claims
    assert (escape.limit.low, escape.limit.high) == (None, 0.15)
    assert [level.price_per_kg for level in ts2.levels()] == pytest.approx([1.40, 1.34])
    [premium] = ts2.claims
    assert premium.limit.low == pytest.approx(9.0, abs=0.001)
    assert (premium.limit.low or 0.0) > 9.0


@pytest.mark.parametrize(
    ("step", "bounds"),
    [
        ({"below": 8.0, "per_kg": Decimal("-0.1")}, (8.0, None)),
        ({"below": 8.0, "per_kg": Decimal("0.1")}, (None, 7.9999)),
        ({"above": 8.0, "per_kg": Decimal("-0.1")}, (None, 8.0)),
        ({"above": 8.0, "per_kg": Decimal("0.1")}, (8.0001, None)),
    ],
)
def test_a_claim_is_kept_where_the_order_pays_more(
    demo_yard: Yard, step: dict[str, float], bounds: tuple[float | None, float | None]
) -> None:
    """Which side of the bound pays more is that of the step, and the order's own rule agrees."""
    made = PriceStep(words="Ni", terms={"Ni": 1.0}, **step)  # type: ignore[arg-type]
    buyer = demo_yard.buyers[0]
    order = replace(buyer.orders[0], steps=(made,))
    yard = replace(demo_yard, buyers=(replace(buyer, orders=(order,)),))

    [claim] = of(yard)[order.code].claims
    kept = bounds[0] if bounds[0] is not None else bounds[1]
    assert (claim.limit.low, claim.limit.high) == pytest.approx(bounds)
    assert made.applies(kept or 0.0) is (made.per_kg > 0)


def test_what_takes_nothing_now_is_told(demo_yard: Yard) -> None:
    """An order that is over, full, or of another currency is passed over, with the reason."""
    ridge, *others = demo_yard.buyers
    yard = replace(demo_yard, buyers=(replace(ridge, currency="SEK"), *others))
    late, full = (
        openings(demo_yard, date(2028, 1, 1), {}).passed_over,
        openings(demo_yard, date(2027, 12, 31), {"RX1": 20_000_000}).passed_over,
    )

    assert late == {"RX1": "it was taken until 2027-12-31"}
    assert full == {"RX1": "it wants 20000 kg, and as much lies in its consignments"}
    assert set(openings(yard, date(2026, 3, 14), {}).passed_over) == {"RX1", "RX2"}
    assert "it pays in SEK" in openings(yard, date(2026, 3, 14), {}).passed_over["RX2"]


def test_the_tighter_step_implies_the_looser_one() -> None:
    """Who keeps 0.15 % of copper keeps 0.25 % too, who keeps 9 % of nickel 8 %; never the other way."""
    tight, loose = (
        Claim(limit=LoadLimit(name="Cu", weights={"Cu": 1.0}, high=h), per_kg=0.1) for h in (0.15, 0.25)
    )
    rich, lean = (Claim(limit=LoadLimit(name="Ni", weights={"Ni": 1.0}, low=n), per_kg=0.1) for n in (9, 8))

    assert tight.implies(loose) and not loose.implies(tight)
    assert rich.implies(lean) and not lean.implies(rich)
    assert not tight.implies(rich)
