"""The last door before the terminal."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color

from console.drawing.plain_marks import TWINS, UNSAFE, TerminalSafe, plain

BLACK = Color.parse("#000000")


@given(st.text(alphabet=st.characters(codec="utf-8")))
def test_no_control_character_passes(text: str) -> None:
    """Whatever a segment holds, nothing comes out that a terminal would obey, and the width stays."""
    [segment] = TerminalSafe(is_plain=False).apply([Segment(text)], BLACK)

    assert not UNSAFE.search(segment.text)
    assert cell_len(segment.text) == cell_len(text)


@given(st.text(alphabet=st.characters(codec="utf-8", exclude_categories=["Cc", "Mn", "Me", "Cf"])))
def test_a_plain_terminal_gets_ascii_of_the_same_width(text: str) -> None:
    """On a terminal without Unicode every mark becomes ASCII and no column moves."""
    [segment] = TerminalSafe(is_plain=True).apply([Segment(text)], BLACK)

    assert segment.text.isascii()
    assert cell_len(segment.text) == cell_len(text)


@pytest.mark.parametrize("mark", sorted(TWINS))
def test_every_twin_is_one_ascii_cell(mark: str) -> None:
    """A drawn mark and its twin take the same room."""
    assert TWINS[mark].isascii() and len(TWINS[mark]) == 1


def test_frames_stay_frames() -> None:
    """A border drawn plain is still a border."""
    assert plain("╭──╮│╰──╯") == "+--+|+--+"
