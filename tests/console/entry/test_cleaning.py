"""Nothing that a terminal would obey comes through, and nothing else is lost."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.ground.cleaning import STAND_IN, clean, told


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


def test_a_million_marks_on_one_letter_are_cleaned_at_once() -> None:
    """Composing takes the square of the marks on one letter: more than 30 become one stand-in.

    Without that this test would take more than seven minutes.
    """
    assert clean("a" + "\u0301\u0316" * 500_000 + "b") == clean("a" + "\u0301\u0316" * 15) + STAND_IN + "b"


def test_marks_of_writing_pass() -> None:
    """Thirty marks on one letter, more than any language writes, are composed and kept."""
    assert clean("e\u0301") == "\u00e9"
    assert clean("x" + "\u0316" * 30) == "x" + "\u0316" * 30


def test_tags_that_hide_text_do_not_pass() -> None:
    """Characters U+E0000 and on spell text that nobody sees; each becomes the stand-in."""
    assert clean("304\U000e0041\U000e007f\U000e0100") == "304" + STAND_IN * 3


def test_a_message_quotes_at_most_sixty_characters() -> None:
    """What was typed is cut in a message, its escapes are gone, its lines stay."""
    assert told('a "' + "x" * 500 + '" b\n\x1b[2J') == 'a "' + "x" * 57 + '..." b\n' + STAND_IN + "[2J"
