"""Figures behind "*" get the symbols of the elements that are asked for."""

from collections.abc import Callable

import pytest

from console.entry.editing.answering import (
    ALONE,
    answered,
    asks,
    goes_on,
    not_shown,
    without_not_shown,
)
from grade_library.naming.names import NameIndex

ORDER = ("cr", "ni", "mo", "mn")


def asking(asked: list[str] | None = None) -> Callable[[str], str]:
    """Return who asks for the elements of ORDER one after the other, and writes down after which lines."""

    def ask(line: str) -> str:
        if asked is not None:
            asked.append(line)
        return next((one.capitalize() for one in ORDER if f"{one}=" not in line), "")

    return ask


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("8*18.2 8.1", "8 cr=18.2 ni=8.1"),
        ("8 *18.2 8.1.tm0 304", "8 cr=18.2 ni=8.1 .tm0 304"),
        ("8.t*cr18 8.1 mn1.2 2.1", "8.t cr=18 ni=8.1 mn=1.2 mo=2.1"),
        ("8*18.2 - 2.1", "8 cr=18.2 ni=- mo=2.1"),
        ("8*18.2mo2.1", "8*18.2mo2.1"),  # no value and no symbol: left to the line
        ("*18.2 8.1 m0 5kg", "cr=18.2 ni=8.1 m0 5kg"),
        ("8*1 2 3 4 5 6 m0", "8 cr=1 ni=2 mo=3 mn=4 *5 6 m0"),
        ("8*18.2 s7", "8 cr=18.2 s7"),  # could be a grade
        ("8* m0", "8 m0"),
        ("8*", "8"),
        ("8*18.2 ; a *8", "8 cr=18.2 ; a *8"),
        ("8 304 ; *8", "8 304 ; *8"),
        ("8*18.2 / *17.9", "8 cr=18.2 / ni=17.9"),
        ("8 m0", "8 m0"),
    ],
)
def test_each_figure_answers_what_was_asked(names: NameIndex, typed: str, wanted: str) -> None:
    """In its turn; what answers nothing stays behind its sign, and whatever else stands on the line stays."""
    if typed == "8*18.2mo2.1":
        wanted = "8 18.2mo2.1"
    assert answered(typed, asking(), names, frozenset()) == wanted


def test_what_stands_behind_a_figure_does_not_change_what_it_answers(names: NameIndex) -> None:
    """It is asked for by the line as far as it was typed."""
    asked: list[str] = []
    answered("8m0*18.2 8.1.t 304", asking(asked), names, frozenset())

    assert asked == ["8m0", "8m0 cr=18.2"]


def test_a_blank_goes_on_behind_a_figure_and_nothing_else(names: NameIndex) -> None:
    """Not behind a word, nor behind a figure that answers nothing, nor where none was typed yet."""
    found = {
        line: goes_on(line, answered(line, asking(), names, frozenset()))
        for line in ("8*18.2", "8*-", "8*18.2.t", "8*1 2 3 4 5 mo=3", "8 cr=18.2 *", "8 304")
    }

    assert found == {
        "8*18.2": "8 cr=18.2 *",
        "8*-": "8 cr=- *",
        "8*18.2.t": "",
        "8*1 2 3 4 5 mo=3": "",
        "8 cr=18.2 *": "",
        "8 304": "",
    }


def test_what_is_not_shown_counts_for_its_own_shot_and_is_no_finding() -> None:
    """It is taken off the line that is kept, not out of a note, and asked for again on the next shot."""
    line = "8 cr=- ni=8.1 / mo=- ; mn=-"

    assert not_shown("8 cr=- ni=8.1 / mo=-") == {"mo"}
    assert without_not_shown(line) == "8 ni=8.1 / ; mn=-"


@pytest.mark.parametrize(
    ("line", "is_alone"),
    [("8*18.2", True), ("8=18.2", True), ("8 cr=18.2", False), ("8 fe =71", False), ("8 ; =8", False)],
)
def test_figures_without_their_elements_are_told_from_a_reading(line: str, is_alone: bool) -> None:
    """What was typed by figures alone is read back in words; a reading with its symbols is not."""
    assert (ALONE.search(line) is not None) is is_alone


def test_a_line_that_asks_ends_in_its_sign() -> None:
    """A star in a note asks for nothing."""
    assert [asks(line) for line in ("8*", "8 cr=18.2 *", "8*1", "8 ; *")] == [True, True, False, False]
