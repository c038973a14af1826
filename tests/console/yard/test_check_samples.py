"""Coupons of yard.toml, and what one shot on them says."""

import math

import pytest

from console.yard.coupons.check_samples import CheckSample, check_samples_from, sample_named, score
from console.yard.errors import YardFileError
from console.yard.file.fields import Fields
from grade_library.facts import Reading
from grade_library.technique import profiles

COUPON = CheckSample(
    name="316 coupon",
    technique="xrf",
    known={"Cr": 16.8, "Ni": 10.2, "C": 0.02},
    uncertainty={"Cr": 0.1},
)


def test_bias_and_z_with_both_uncertainties() -> None:
    """z is the bias over the root sum of squares of the technique's σ and that of the known value."""
    reading = Reading(values={"Cr": 17.1, "Ni": 10.0, "Fe": 70.0}, sigma={"Cr": 0.001})

    chromium, nickel = score(COUPON, reading)

    xrf = profiles()["xrf"]
    assert chromium.bias == pytest.approx(0.3)
    assert chromium.z == pytest.approx(0.3 / math.hypot(xrf.sigma("Cr", 16.8), 0.1))
    assert nickel.z == pytest.approx(-0.2 / xrf.sigma("Ni", 10.2))


def test_an_unseen_element_is_no_check() -> None:
    """X-rays do not see carbon: a value for it is not scored."""
    assert score(COUPON, Reading(values={"C": 3.0})) == ()


def test_an_element_not_found_is_at_least_that_far_off() -> None:
    """ "Ni below 0.05" on a coupon with 10.2 % is a bias of -10.15; "below 12" says nothing against it."""
    (missing,) = score(COUPON, Reading(below={"Ni": 0.05}))
    (vague,) = score(COUPON, Reading(below={"Ni": 12.0}))

    assert missing.is_below and missing.bias == pytest.approx(-10.15) and missing.z < -3
    assert vague.z == 0.0


def test_tables_are_read() -> None:
    """A coupon takes the yard's technique and four hours where it says nothing else."""
    table = {
        "technique": "libs",
        "check_sample": [
            {"name": "6061 disc", "known_wt_pct": {"Mg": 1, "Si": 0.6}, "uncertainty_wt_pct": {"Mg": 0.02}},
            {"name": "brass disc", "known_wt_pct": {"Cu": 61.5}, "technique": "XRF", "every_hours": 8},
        ],
    }

    disc, brass = check_samples_from(Fields("yard.toml", table), profiles())

    assert (disc.technique, disc.every_hours, disc.known["Mg"], disc.uncertainty) == (
        "libs",
        4.0,
        1.0,
        {"Mg": 0.02},
    )
    assert (brass.technique, brass.every_hours) == ("xrf", 8.0)
    assert check_samples_from(Fields("yard.toml", {}), profiles()) == ()


GOOD = {"name": "316 coupon", "known_wt_pct": {"Cr": 16.8}}


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"name": ""}, "check_sample 1, name: is empty"),
        ({"name": "x" * 41}, "name: 41 characters; at most 40"),
        ({"known_wt_pct": {}}, "check_sample 316 coupon, known_wt_pct: is missing or empty"),
        ({"known_wt_pct": {"CR": 16.8}}, "known_wt_pct, CR: is not the symbol of an element"),
        ({"known_wt_pct": {"Cr": "16.8"}}, "known_wt_pct, Cr: '16.8' is no number"),
        ({"known_wt_pct": {"Cr": 168}}, "known_wt_pct, Cr: 168 is outside 0 to 100"),
        ({"known_wt_pct": {"Cr": 60, "Ni": 60}}, "the values sum to 120.0 wt %"),
        ({"known_wt_pct": {"C": 0.3}}, "known_wt_pct: x-ray sees none of C"),
        ({"uncertainty_wt_pct": {"Ni": 0.1}}, "uncertainty_wt_pct: Ni has no known value"),
        ({"technique": "nose"}, 'technique: "nose" is not one of'),
        ({"every_hours": 0}, "every_hours: 0 is outside"),
        ({"knwon_wt_pct": {}}, 'this key is not known; did you mean "known_wt_pct"?'),
    ],
)
def test_a_wrong_table_is_told_with_its_place(change: dict[str, object], said: str) -> None:
    """The message names the coupon, the key, and what would be right."""
    with pytest.raises(YardFileError) as caught:
        check_samples_from(Fields("yard.toml", {"check_sample": [GOOD | change]}), profiles())

    assert said in str(caught.value)
    assert str(caught.value).startswith("yard.toml, check_sample")


def test_two_coupons_of_one_name_are_refused() -> None:
    """Two check samples of one name are refused, whatever the case."""
    with pytest.raises(YardFileError, match="two have it"):
        check_samples_from(
            Fields("yard.toml", {"check_sample": [GOOD, GOOD | {"name": "316 COUPON"}]}), profiles()
        )


def test_one_table_in_place_of_a_list_is_told() -> None:
    """A single table in the place of the list is told with the right brackets."""
    with pytest.raises(YardFileError, match=r"\[\[check_sample\]\]"):
        check_samples_from(Fields("yard.toml", {"check_sample": GOOD}), profiles())


def test_a_part_of_a_name_will_do_where_only_one_has_it() -> None:
    """ "316" finds the coupon; a part that two have, or none, is told with the names there are."""
    others = (COUPON, CheckSample(name="brass disc", technique="xrf", known={"Cu": 61.5}))

    assert sample_named(others, "316") is COUPON
    with pytest.raises(KeyError, match="can be several"):
        sample_named((*others, CheckSample(name="zinc disc", technique="xrf", known={"Zn": 99})), "disc")
    with pytest.raises(KeyError, match="316 coupon, brass disc"):
        sample_named(others, "nickel")
    with pytest.raises(KeyError, match=r"\[\[check_sample\]\]"):
        sample_named((), "316")
