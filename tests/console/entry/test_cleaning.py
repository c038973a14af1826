"""Nothing that a terminal would obey comes through, and nothing else is lost."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.ground.cleaning import STAND_IN, clean


@pytest.mark.parametrize(
    "unsafe",
    ["\x1b", "\x9b", "\x07", "\x00", "\x7f", "\u202e", "\u200b", "\ufeff", "\ud800", "\u2028", "\x85"],
)
def test_what_a_terminal_may_obey_is_replaced(unsafe: str) -> None:
    assert clean(f"a{unsafe}b") == f"a{STAND_IN}b"


def test_line_ends_and_tabs_become_blanks() -> None:
    assert clean("12\t304\r\n5") == "12 304  5"


def test_letters_are_composed_and_kept() -> None:
    assert clean("Müller 12½ °C µ") == "Müller 12½ °C µ"


def test_a_limit_cuts() -> None:
    assert clean("abcdef", 3) == "abc"


@given(st.text(st.characters(codec=None)))
def test_cleaning_twice_changes_nothing_more(text: str) -> None:
    once = clean(text)
    assert clean(once) == once
    assert not any(unicodedata.category(sign) in ("Cc", "Cs") for sign in once)
