"""Money per piece and per run, second best, and what it costs to be wrong."""

from dataclasses import replace

import pytest

from console.yard.money import amount, amount_shown, placement_money, price_shown
from console.yard.placing.place import place
from console.yard.yard import Yard
from grade_library.facts import PieceFacts
from grade_library.library import GradeLibrary
from tests.console.yard.conftest import SMALL_YARD, yard_of_text
from tests.console.yard.test_placing import verdict


@pytest.fixture
def yard(library: GradeLibrary) -> Yard:
    return yard_of_text(SMALL_YARD, library)


def test_a_piece_is_worth_its_weight_and_a_refusal_costs_the_difference(
    library: GradeLibrary, yard: Yard
) -> None:
    """5 kg of 316 at 97 %: worth 5 (0.97 x 2.3 + 0.03 x 0.4); refused, 5 (2.3 - 0.4) are lost."""
    placement = place(verdict(library, {"316": 0.97, "304": 0.03}), PieceFacts(), 5_000, yard)

    assert placement.best is not None and placement.second is not None
    assert placement.worth == pytest.approx(5 * (0.97 * 2.3 + 0.03 * 0.4))
    assert placement.cost_of_wrong == pytest.approx(5 * 1.9)
    assert placement.second.bay.code == "STN"
    assert placement_money(placement, yard) == (
        "worth 11.21 EUR, 2.24/kg",
        "else STN 1.40/kg",
        "a refusal costs 9.50 EUR",
    )


def test_without_a_weight_money_is_per_kg(library: GradeLibrary, yard: Yard) -> None:
    """Nothing is multiplied by a weight that nobody knows."""
    placement = place(verdict(library, {"316": 0.97, "304": 0.03}), PieceFacts(), None, yard)

    assert placement.worth is None and placement.cost_of_wrong is None
    assert placement_money(placement, yard) == (
        "worth 2.24/kg",
        "else STN 1.40/kg",
        "a refusal costs 1.90/kg",
    )


def test_a_piece_on_hold_says_where_it_would_go_if_it_had_to(library: GradeLibrary, yard: Yard) -> None:
    """No bay takes it with the 60 % asked for, but one would more likely than not."""
    placement = place(verdict(library, {"430": 0.55}, unlisted=0.45), PieceFacts(), 2_000, yard)

    assert placement.bay.is_hold and placement.best is None and placement.worth is None
    assert placement.second is not None and placement.second.bay.code == "SMX"
    assert placement_money(placement, yard) == ("if it had to go SMX 0.36/kg",)


def test_a_bay_that_would_refuse_it_is_never_second_for_being_dear(library: GradeLibrary, yard: Yard) -> None:
    """A dear bay's downgrade price is for metal that is nearly right, not for any piece at all."""
    dear = replace(yard.bay("STM"), price_per_kg=90.0, downgrade_per_kg=40.0)
    bays = tuple(dear if bay.code == "STM" else bay for bay in yard.bays)

    placement = place(verdict(library, {"430": 0.98}), PieceFacts(), 2_000, replace(yard, bays=bays))

    assert placement.bay.code == "SMX"
    assert placement.ranking[0].bay.code == "SMX"
    assert placement.second is None


def test_hidden_money_says_nothing(library: GradeLibrary, yard: Yard) -> None:
    """On the screen nothing is left of it; papers are written all the same."""
    hidden = replace(yard, show_money=False)
    placement = place(verdict(library, {"316": 0.97}), PieceFacts(), 5_000, hidden)

    assert placement_money(placement, hidden) == ()
    assert (amount_shown(5.6, hidden), price_shown(5.6, hidden)) == ("", "")
    assert (amount_shown(5.6, yard), price_shown(5.6, yard)) == ("5.60 EUR", "5.60 EUR/kg")
    assert amount(5.6, hidden.currency) == "5.60 EUR" and amount(5.6, "") == "5.60"
