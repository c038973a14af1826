"""Buyers and orders as yard.toml describes them."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from console.ground.cents import cents_of, cents_text, price_of
from console.yard.errors import YardFileError
from console.yard.loads.buyer import DecisionRule, Order
from console.yard.yard import Yard
from grade_library.library import load
from grade_library.lots.blending import Blend
from tests.yards import load_yard

ORDER = """
[[buyer]]
code = "bu1"
name = "A Buyer"
decision = "Guard Band"
[[buyer.order]]
code = "o1"
name = "an order"
accepts = ["6063", "6061"]
refuses = ["6061"]
limits = { Cu = "<=0.25", "Cu + 8 Sn" = "<=0.4" }
foreign_max = 1
price_per_kg = 1.105
step = [
  { of = "Cu", above = 0.15, per_kg = -0.04 },
  { of = "Si", below = 0.3, per_kg = 0.01 },
  { of = "foreign", above = 0.5, per_kg = -0.03 },
]
wanted = "20 t"
until = 2027-12-31
refused_surfaces = ["painted"]
refused_coatings = ["zinc"]
element_limits = { Cu = 0.4 }
"""


def yard_with(folder: Path, tables: str) -> Yard:
    """Return the demo yard with these buyers in the place of its own."""
    file = folder / "yard.toml"
    kept = file.read_text(encoding="utf-8").split("[[buyer]]")[0]
    file.write_text(kept + tables, encoding="utf-8")
    return load_yard(folder, load())


def order_of(folder: Path) -> Order:
    """Return the order above as it is read."""
    order = yard_with(folder, ORDER).buyers[0].order("O1")
    assert order is not None
    return order


def test_a_buyer_is_read_with_its_order(yard_folder: Path) -> None:
    """Every key says what it says: metal, limits with sums, steps, weight, day, decision rule."""
    buyer = yard_with(yard_folder, ORDER).buyers[0]
    order = buyer.order("O1")
    assert order is not None
    assert (buyer.code, buyer.decision, buyer.currency) == ("BU1", DecisionRule.GUARD_BAND, "EUR")
    assert order.taken_ids == {"6063"}
    assert [(one.terms, one.limit.high) for one in order.limits] == [
        ({"Cu": 1.0}, 0.25),
        ({"Cu": 1.0, "Sn": 8.0}, 0.4),
    ]
    assert (order.wanted_g, order.until, order.foreign_max_wt_pct) == (20_000_000, date(2027, 12, 31), 1.0)
    assert order.price_per_kg == Decimal("1.105")
    assert (order.refused_surfaces, order.refused_coatings) == ({"painted"}, {"zinc"})
    assert order.element_limits == {"Cu": 0.4}


@pytest.mark.parametrize(
    ("cu", "si", "foreign", "price"),
    [
        (0.15, 0.30, None, "1.105"),
        (0.16, 0.30, None, "1.065"),
        (0.10, 0.29, 0.5, "1.115"),
        (0.10, 0.40, 0.6, "1.075"),
        (0.20, 0.20, 0.6, "1.045"),
    ],
)
def test_premiums_and_downgrades_add_up(
    yard_folder: Path, cu: float, si: float, foreign: float | None, price: str
) -> None:
    """A step counts beyond its bound only; what nobody weighed changes no price."""
    content = {"Cu": Blend(wt_pct=cu, sigma=0.0), "Si": Blend(wt_pct=si, sigma=0.0)}

    assert order_of(yard_folder).price_for(content, foreign) == Decimal(price)


@pytest.mark.parametrize(
    ("was", "becomes", "said"),
    [
        ('"Cu + 8 Sn"', '"Cu + 8 lead"', "no element or sum"),
        ('"Cu + 8 Sn"', '"Cu + 8 Cu"', "Cu needs to stand once"),
        ('"Cu + 8 Sn"', '"Cu + 8 Sj"', "Sj is not the symbol of an element"),
        ('"<=0.25"', "0.25", "is no limit"),
        ('"Guard Band"', '"fair"', '"fair" is not one of shared risk, guard band'),
        ('"6063", "6061"', '"60633"', "order o1, accepts"),
        ('"o1"', '"o/1"', "2 to 8 letters and figures"),
        ("1.105", "1.10555", "more than 4 decimals"),
        ("2027-12-31", '"2027-12-31"', "a day without quotes"),
        ("above = 0.15", "above = 0.15, below = 0.1", "either above or below"),
        ('refuses = ["6061"]', 'refuses = ["6061", "6063"]', "refuses everything"),
        ("wanted", "wnated", 'did you mean "wanted"'),
    ],
)
def test_what_is_wrong_is_said_with_its_place(yard_folder: Path, was: str, becomes: str, said: str) -> None:
    """A slip in a buyer's table names buyer or order, the key, and what would be right."""
    with pytest.raises(YardFileError) as caught:
        yard_with(yard_folder, ORDER.replace(was, becomes, 1))

    assert said in str(caught.value)
    assert "buyer bu1" in str(caught.value)


def test_two_orders_of_one_code_are_refused(yard_folder: Path) -> None:
    """An order is named by its code alone, so no two buyers share one."""
    with pytest.raises(YardFileError, match="order O1, code: two have it"):
        yard_with(yard_folder, ORDER + ORDER.replace('"bu1"', '"bu2"'))


def test_money_is_whole_hundredths_rounded_half_up() -> None:
    """12.345 kg at 1.10 is 13.58; half a hundredth goes up, of a loss down; no float in between."""
    assert cents_of(12_345, Decimal("1.10")) == 1358
    assert (cents_of(500, Decimal("0.05")), cents_of(500, Decimal("-0.05"))) == (3, -3)
    assert cents_of(1_000_000_000_005, Decimal("1.0001")) == 100_010_000_001
    assert cents_text(-7, "EUR") == "-0.07 EUR"
    with pytest.raises(ValueError, match="decimals"):
        price_of(0.12345)
