"""The last door before the terminal."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color

from console.drawing.plain_marks import TWINS, UNSAFE, WIDER_TWINS, TerminalSafe, plain

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


@given(
    st.lists(st.text(alphabet=st.sampled_from([*WIDER_TWINS, *"  ab1│…"])), min_size=1).filter(any),
)
def test_wider_twins_move_no_column(texts: list[str]) -> None:
    """In a row of several parts too, the width stays, and so does every frame."""
    safe = TerminalSafe(is_plain=True).apply([Segment(text) for text in texts], BLACK)

    before, after = "".join(texts), "".join(segment.text for segment in safe)
    assert after.isascii() and len(after) == len(before)
    assert [at for at, mark in enumerate(after) if mark == "|"] == [
        at for at, mark in enumerate(before) if mark == "│"
    ]


@pytest.mark.parametrize(
    ("drawn", "wanted"),
    [
        ("Cu 0.04 ± 0.04   >99 % kept", "Cu 0.04 +-0.04   >99 % kept"),
        ("18.3 ±0.3    16-18", "18.3 +-0.3   16-18"),
        ("│tolerance ±1.16│", "|tolerance+-1.16|"),
        ("│2±1│   x  │", "|2?1|   x  |"),
        ("2±1, 3±2   4±3   x", "2+-1, 3+-2 4+-3  x"),
        ("Fe 0.16±0.10, Mn 0.05±0.04, Cr", "Fe 0.16+-0.10,Mn 0.05+-0.04,Cr"),
        ("½ inch    pipe", "1/2 inch  pipe"),
        ("1½ inch    pipe", "1 1/2 inch pipe"),
        ("Mn ≤2    x", "Mn <=2   x"),
        ("2.6 σ)      x", "2.6 sigma)  x"),
    ],
)
def test_a_mark_of_two_meanings_is_never_a_twin(drawn: str, wanted: str) -> None:
    """Plus or minus is +-, a half 1/2, at most <=, and what stands in the next column stays there."""
    assert plain(drawn) == wanted.ljust(len(drawn))


def test_without_room_a_mark_becomes_a_question_mark() -> None:
    """Nothing that could be read as another figure stands for it: no ~ and no %, and no blank of a name."""
    assert (plain("2±1 kg"), plain("2½ kg")) == ("2?1 kg", "2? kg")


def test_frames_stay_frames() -> None:
    """A border drawn plain is still a border."""
    assert plain("╭──╮│╰──╯") == "+--+|+--+"
