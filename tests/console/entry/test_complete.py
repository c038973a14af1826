"""A word begun is finished from bays, reserved words and names."""

import pytest

from console.entry.complete import complete
from console.yard.yard import Yard
from grade_library.naming.names import NameIndex


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("5 yb", "YBR"),
        ("5 @y", "@YBR"),
        ("5 pai", "painted"),
        ("5 yellow br", "brass"),
        ("5 stainl", "stainless"),
        ("5 606", "6061"),
    ],
)
def test_what_is_offered(names: NameIndex, yard: Yard, line: str, offered: str) -> None:
    """The word, bay or name that was begun is among what Tab offers."""
    assert offered in complete(line, len(line), names, yard)


@pytest.mark.parametrize("line", ["", "5 ", "5 ; yb", "5"])
def test_nothing_is_offered_where_no_word_is_begun(names: NameIndex, yard: Yard, line: str) -> None:
    """Where no word was begun nothing is offered."""
    assert complete(line, len(line), names, yard) == ()


def test_only_what_stands_before_the_cursor_counts(names: NameIndex, yard: Yard) -> None:
    """What stands behind the cursor has no part in what is offered."""
    assert "painted" in complete("pai 12.4", 3, names, yard)


def test_the_word_itself_is_not_offered(names: NameIndex, yard: Yard) -> None:
    """A whole word is not offered in its own place."""
    assert "brass" not in complete("5 brass", 7, names, yard)
