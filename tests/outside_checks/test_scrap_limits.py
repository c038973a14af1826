"""Limits in the bay templates against the published scrap specifications and the grades' own limits."""

import tomllib

import pytest

from console.yard.new.templates import templates
from grade_library.library import load
from grade_library.loading.notation import read_limit


def chemistry(template: str, code: str) -> dict[str, str]:
    bays = tomllib.loads(templates()[template].text)["bay"]
    return next(dict(bay["chemistry"]) for bay in bays if bay["code"] == code)


def test_sabot() -> None:
    """2022 circular of scrap specifications, page 17 of the reader's copy, entry Sabot (18-8 solids):
    Ni at least 7, Cr at least 16, Mo up to 0.50, Cu up to 0.50, P up to 0.045, S up to 0.03 %."""
    assert chemistry("stainless-300", "SSE") == {
        "Cr": ">=16",
        "Ni": ">=7",
        "Mo": "<=0.5",
        "Cu": "<=0.5",
        "P": "<=0.045",
        "S": "<=0.03",
    }


def test_pekoe() -> None:
    """The same page, entry Pekoe (200-series solids): Cu up to 0.5 %."""
    assert chemistry("stainless-other", "STW") == {"Cu": "<=0.5"}


def test_cliff_and_birch() -> None:
    """Notice of 29 March 2017 on changed copper entries: Cliff and Birch at least 94 % Cu."""
    assert chemistry("copper", "CNT") == {"Cu": ">=94"}


def test_burly() -> None:
    """A trader's page on the entry Burly (wrought nickel): Ni at least 98, Cu up to 0.50 %."""
    assert chemistry("nickel", "NPU") == {"Ni": ">=98", "Cu": "<=0.5"}


def test_saves() -> None:
    """2022 circular, page 14 of the reader's copy, entry Saves: iron over 30 % is not good delivery."""
    assert chemistry("zinc", "ZDO") == {"Fe": "<=30"}


def test_niche() -> None:
    """A trader's page on the entry Niche (leaded brass rod ends): Bi and Si below 0.01 % each."""
    limits = chemistry("yellow-brass", "YRD")
    assert (limits["Bi"], limits["Si"]) == ("<=0.01", "<=0.01")


@pytest.mark.parametrize(
    ("template", "code", "grade_id", "elements"),
    [
        ("aluminium-one-alloy", "AOA", "5052", ("Cu", "Zn", "Mg")),
        ("stainless-300", "SSM", "316", ("Mo", "Ni")),
    ],
)
def test_limits_taken_from_a_grade_are_its_own(
    template: str, code: str, grade_id: str, elements: tuple[str, ...]
) -> None:
    """Where a template says that a limit is the grade's own, it is the one of the library, which cites it."""
    written, limits = chemistry(template, code), load().grade(grade_id).limits
    for symbol in elements:
        bound = read_limit(written[symbol])
        assert bound.low is None or bound.low == limits[symbol].low, symbol
        assert bound.high is None or bound.high == limits[symbol].high, symbol
