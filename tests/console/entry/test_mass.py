"""Weights are read exactly, whatever the unit, and what can be misread is asked back."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.ground.mass import (
    POUND_G,
    UNITS_G,
    MassError,
    format_mass,
    in_unit,
    is_number,
    masses_alike,
    parse_mass_g,
)


@pytest.mark.parametrize(
    ("typed", "unit", "grams"),
    [
        ("12.4", "kg", 12_400),
        ("12,4", "kg", 12_400),
        ("12.4kg", "lb", 12_400),
        ("820 g", "kg", 820),
        ("3lb", "kg", 1_361),
        ("3", "lb", 1_361),
        ("1.2t", "kg", 1_200_000),
        ("1 ston", "kg", 907_185),
        ("1", "short ton", 907_185),
        ("0,820", "kg", 820),
        (".5", "kg", 500),
        ("5.", "kg", 5_000),
        ("2KG", "kg", 2_000),
    ],
)
def test_a_weight_is_whole_grams(typed: str, unit: str, grams: int) -> None:
    """Every way to type a weight comes to its whole grams."""
    assert parse_mass_g(typed, unit) == grams


def test_a_pound_is_the_agreed_one() -> None:
    """1 lb = 0.45359237 kg exactly: international yard and pound agreement, 1959."""
    assert Fraction(45359237, 100_000) == POUND_G
    assert parse_mass_g("100000lb", "kg") == 45_359_237
    assert UNITS_G["short ton"] == 2000 * POUND_G


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("0", "above 0"),
        ("-3", "above 0"),
        ("0.0004kg", "at least 1 g"),
        ("1,200", "type 1.2 or 1200"),
        ("1 ton", "ston is short"),
        ("3 stone", '"stone" is not known'),
        ("heavy", "not a weight"),
        ("", "not a weight"),
        ("999999t", "above 200 t"),
        ("1" * 5000, "not a weight"),
    ],
)
def test_a_weight_that_cannot_be_is_refused_with_the_reason(typed: str, said: str) -> None:
    """A weight that cannot be is refused with what is wrong."""
    with pytest.raises(MassError, match=said):
        parse_mass_g(typed, "kg")


def test_a_tare_may_be_nothing() -> None:
    """Zero is a weight where a tare is asked for."""
    assert parse_mass_g("0", "kg", may_be_zero=True) == 0


def test_only_plain_numbers_are_numbers() -> None:
    """Digits with sign and point are a number, and nothing else is."""
    assert [text for text in ("12", "1.5", "-2", "٣", "6061-T6", "", "1e5", "½") if is_number(text)] == [
        "12",
        "1.5",
        "-2",
    ]


@given(grams=st.integers(1, 200_000_000), unit=st.sampled_from(["kg", "g"]))
def test_what_is_shown_in_kg_reads_back_as_the_same_weight(grams: int, unit: str) -> None:
    """Formatting loses no gram."""
    assert parse_mass_g(format_mass(grams, unit), "lb") == grams


@given(grams=st.integers(-(10**9), 10**9), unit=st.sampled_from(list(UNITS_G)))
def test_the_figure_shown_is_the_nearest(grams: int, unit: str) -> None:
    """A weight is shown by the nearest figure of its unit."""
    shown, _ = format_mass(grams, unit, decimals=3).split(" ", 1)
    assert abs(float(shown) - in_unit(grams, unit)) <= 0.0005 + 1e-9 * abs(in_unit(grams, unit))


def test_a_difference_may_be_negative() -> None:
    """A negative difference keeps its sign, and one that rounds to nothing has none."""
    assert format_mass(-1_250, "kg") == "-1.25 kg"
    assert format_mass(-1, "kg", decimals=1) == "0.0 kg"


def test_a_column_takes_a_third_decimal_only_where_grams_would_be_lost() -> None:
    """Kilograms show three decimals if one of them has single grams; pounds never."""
    assert masses_alike([17_240, 820], "kg") == ["17.24 kg", "0.82 kg"]
    assert masses_alike([17_240, 825], "kg") == ["17.240 kg", "0.825 kg"]
    assert masses_alike([17_240, 825], "lb") == ["38.01 lb", "1.82 lb"]
