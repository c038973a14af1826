"""Names of grades elsewhere that are only near: found, told from equal names, never in their way."""

import pytest

from grade_library.card import card_text
from grade_library.library import load
from grade_library.naming.name_text import bare_variants, squash
from grade_library.naming.names import NameIndex

INDEX = NameIndex(load())

# number, the grade that bears it, the grade that it was once taken for
NUMBERS = [
    ("1.4865", "1.4865", "HT"),
    ("1.4860", "Nichrome 30-20", "Nichrome 35-20"),
    ("1.4500", "1.4500", "CN7M"),
    ("1.4527", "1.4527", "CN7M"),
    ("1.4460", "1.4460", "329"),
    ("1.3202", "1.3202", "T15"),
    ("1.3255", "1.3255", "T4"),
    ("1.2550", "1.2550", "S1"),
    ("1.4109", "1.4109", "440A"),
    ("1.7218", "25CrMo4", "SAE 4130"),
    ("1.1133", "20Mn5", "SAE 1022"),
    ("CC762S", "CC762S", "C86300"),
]


@pytest.mark.parametrize(("number", "bearer", "other"), NUMBERS)
def test_a_number_means_the_grade_that_bears_it(number: str, bearer: str, other: str) -> None:
    """A grade with limits of its own is what its number means, and not the near one."""
    claim = INDEX.resolve(number)

    assert claim is not None and claim.grade_ids == {bearer}
    assert claim.is_exact and not claim.is_near
    assert squash(number) not in {
        squash(name) for name in (*load().grade(other).en, *load().grade(other).names)
    }


@pytest.mark.parametrize(
    ("name", "grade_id"), [("1.7177", "SAE 5160"), ("CW113C", "C18700"), ("1.4875", "21-2N")]
)
def test_a_near_name_leads_to_the_grade_and_says_near(name: str, grade_id: str) -> None:
    """Where no grade bears the name itself, the nearest is found by it, and is said to be only near."""
    claim = INDEX.resolve(name)

    assert claim is not None and claim.grade_ids == {grade_id} and claim.is_near
    assert INDEX.find(name, limit=1)[0].grade.grade_id == grade_id


@pytest.mark.parametrize(("name", "near"), [("356", "LM25"), ("383.0", "ADC12"), ("1.7218", "SAE 4130")])
def test_a_near_name_never_stands_in_the_way_of_an_own_one(name: str, near: str) -> None:
    """Where some grade is called so, if only for short, what is merely near to it is not meant."""
    claim = INDEX.resolve(name)

    assert claim is not None and claim.is_exact and not claim.is_near
    assert near not in claim.grade_ids


def test_an_equal_name_is_not_near() -> None:
    """The European number of 304 is its own."""
    claim = INDEX.resolve("1.4301")

    assert claim is not None and not claim.is_near


def test_the_card_tells_near_from_equal() -> None:
    """A near number stands on a line of its own and not beside the title."""
    lines = card_text(load().grade("SAE 4130"), load(), twins=None).splitlines()

    assert "1.7218" not in lines[0]
    assert "near, not the same: 1.7218" in lines


def test_a_name_is_equal_or_near_and_never_both() -> None:
    """No grade states a name as its own and as only near; no note says "nearest" in words instead."""
    for grade in load().grades:
        own = {squash(name) for name in (grade.grade_id, grade.uns or "", *grade.en, *grade.names)}
        assert not own & {squash(name) for name in grade.near_names}, grade.grade_id
        assert "nearest" not in grade.note.casefold(), grade.grade_id


def test_a_slip_is_offered() -> None:
    """Two figures changed over, a letter too many, letters that look like figures; a page of text is none."""
    assert "6061" in INDEX.near("6016x") or INDEX.near("6601")
    assert INDEX.near("inconnel")[0].casefold().startswith("inconel")
    assert INDEX.near("3o4l") == ("304L",)
    assert INDEX.near("inconnel " * 20) == ()


def test_words_around_a_name_are_left_out() -> None:
    """A word of the system before a number and one of the temper behind it, each by itself."""
    assert list(bare_variants("material 304")) == ["304"]
    assert list(bare_variants("304 annealed")) == ["304"]
