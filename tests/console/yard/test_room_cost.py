"""What a piece uses up of its bay's room, in money: limits, premiums and downgrades of those who buy."""

from dataclasses import replace
from decimal import Decimal

import pytest

from console.yard.chemistry.content import Content
from console.yard.chemistry.room_cost import RoomCost, RoomUse, room_cost, room_uses
from console.yard.loads.buyer import Buyer, DecisionRule, LoadLimit, Order, PriceStep
from console.yard.money import room_money
from console.yard.placing.place import place
from console.yard.yard import Thresholds, Yard
from grade_library.facts import PieceFacts, Reading
from grade_library.grade import Limit
from grade_library.library import GradeLibrary
from tests.console.yard.conftest import SMALL_YARD, yard_of_text
from tests.console.yard.test_headroom import BAY, filled
from tests.console.yard.test_placing import verdict

COPPER = RoomUse(words="Cu", terms={"Cu": 1.0}, bound=0.40, is_most=True, loss_per_kg=0.50)


def piece(mass_g: int, cu: float) -> Content:
    """A piece of which everything was read."""
    reading = Reading(values={"Cu": cu, "Si": 0.6, "Zn": 0.05}, technique="lab")
    return Content(mass_g=mass_g, shares={"6061": 1.0}, reading=reading)


def test_a_piece_beyond_a_limit_ties_up_the_metal_that_carries_it(library: GradeLibrary) -> None:
    """10 kg at 1.0 in a bay at 0.25 of 0.40: 0.60/0.15 times its weight is tied up, 40 kg at 0.50/kg."""
    found = room_cost((COPPER,), filled(library), piece(10_000, 1.0))

    assert found is not None
    assert (found.words, found.money) == ("Cu", pytest.approx(20.0))


def test_what_keeps_a_limit_costs_nothing_nor_does_a_bay_without_room(library: GradeLibrary) -> None:
    """Metal at the limit takes no room; a bay at or beyond its limit has none to take."""
    assert room_cost((COPPER,), filled(library), piece(10_000, 0.40)) is None
    assert room_cost((COPPER,), filled(library, cu=0.45), piece(10_000, 1.0)) is None


def test_no_more_is_lost_than_lies_there(library: GradeLibrary) -> None:
    """A piece that would take more room than there is costs the whole bay: 1000 kg at 0.50/kg."""
    found = room_cost((COPPER,), filled(library), piece(400_000, 4.0))

    assert found is not None and found.money == pytest.approx(500.0)


def test_at_least_is_the_same_the_other_way_round_and_the_dearest_counts(library: GradeLibrary) -> None:
    """Si at least 0.7 of a bay at 0.9 is taken by a piece at 0.6: half its weight; the dearer counts."""
    silicon = RoomUse(words="Si", terms={"Si": 1.0}, bound=0.7, is_most=False, loss_per_kg=100.0)
    rich = filled(library)
    rich = rich.plus(
        Content(
            mass_g=1_000_000,
            shares={"6061": 1.0},
            reading=Reading(values={"Cu": 0.25, "Si": 1.2, "Zn": 0.05}, technique="lab"),
        )
    )

    found = room_cost((COPPER, silicon), rich, piece(10_000, 1.0))

    assert found is not None
    assert (found.words, found.money) == ("Si", pytest.approx(500.0))


def test_a_sum_of_elements_is_weighed_by_its_factors(library: GradeLibrary) -> None:
    """Cu + 2 Zn: the bay holds 0.35 of 0.45, the piece 1.10: 6.5 times its weight."""
    both = RoomUse(words="Cu + 2 Zn", terms={"Cu": 1.0, "Zn": 2.0}, bound=0.45, is_most=True, loss_per_kg=1.0)

    found = room_cost((both,), filled(library), piece(10_000, 1.0))

    assert found is not None and found.money == pytest.approx(65.0)


@pytest.fixture
def yard(library: GradeLibrary) -> Yard:
    """A yard whose bay has a buyer's limits, and a buyer with an order."""
    return yard_of_text(SMALL_YARD, library)


def selling(yard: Yard, order: Order, currency: str = "EUR") -> Yard:
    """The yard with one buyer of one order."""
    buyer = Buyer(code="B", name="b", currency=currency, decision=DecisionRule.SHARED_RISK, orders=(order,))
    return replace(yard, buyers=(buyer,))


def test_limits_premiums_and_downgrades_are_what_money_hangs_on(yard: Yard) -> None:
    """A bay's limit loses down to the downgrade price; a downgrade must not, a premium must stay earned."""
    bay = replace(BAY, price_per_kg=1.5, downgrade_per_kg=0.9, chemistry={"Cu": Limit(high=0.40)})
    order = Order(
        code="O1",
        name="o",
        accepts=(),
        taken_ids=bay.taken_ids,
        price_per_kg=Decimal("1.60"),
        steps=(
            PriceStep(words="Zn", terms={"Zn": 1.0}, above=0.2, per_kg=Decimal("-0.05")),
            PriceStep(words="Fe", terms={"Fe": 1.0}, below=0.3, per_kg=Decimal("0.04")),
            PriceStep(words="Al", terms={"Al": 1.0}, below=97.0, per_kg=Decimal("-0.02")),
            PriceStep(words="foreign", terms={}, above=1.0, per_kg=Decimal("-0.1")),
        ),
        limits=(LoadLimit(words="Mn", terms={"Mn": 1.0}, limit=Limit(high=0.7)),),
    )

    found = {
        (one.words, one.bound, one.is_most): one.loss_per_kg for one in room_uses(bay, selling(yard, order))
    }

    assert found == {
        ("Cu", 0.40, True): pytest.approx(0.6),
        ("Mn", 0.7, True): pytest.approx(0.1),
        ("Zn", 0.2, True): pytest.approx(0.05),
        ("Fe", 0.3, True): pytest.approx(0.04),
        ("Al", 97.0, False): pytest.approx(0.02),
    }


def test_an_order_that_refuses_the_metal_or_pays_other_money_is_no_use_of_room(yard: Yard) -> None:
    """Only an order that takes all that may lie in the bay counts, and only in the currency of the yard."""
    bay = replace(BAY, price_per_kg=1.5, downgrade_per_kg=1.5)
    step = PriceStep(words="Zn", terms={"Zn": 1.0}, above=0.2, per_kg=Decimal("-0.05"))
    order = Order(
        code="O1", name="o", accepts=(), taken_ids=bay.taken_ids, price_per_kg=Decimal(1), steps=(step,)
    )

    assert len(room_uses(bay, selling(yard, order))) == 1
    assert room_uses(bay, selling(yard, order, currency="SEK")) == ()
    assert room_uses(bay, selling(yard, replace(order, taken_ids=frozenset({"6061"})))) == ()


def test_it_is_told_with_what_the_second_bay_pays_from_the_yards_threshold_on(
    library: GradeLibrary, yard: Yard
) -> None:
    """5 kg of 316: STM pays 11.21, STN 7.00; below the threshold, and where money is hidden, nothing."""
    placement = place(verdict(library, {"316": 0.97, "304": 0.03}), PieceFacts(), 5_000, yard)
    cost = RoomCost(words="Cu", money=0.4)

    assert room_money(cost, placement, yard) == ("costs 0.40 EUR of Cu room", "STN pays 4.21 less")
    assert room_money(cost, placement, replace(yard, thresholds=Thresholds(room_cost=0.41))) == ()
    assert room_money(cost, placement, replace(yard, show_money=False)) == ()
    assert room_money(None, placement, yard) == ()
