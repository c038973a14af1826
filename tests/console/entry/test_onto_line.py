"""A reading goes onto the line after what stands there, and off it again."""

import pytest

from console.entry.editing.onto_line import stands_on, with_reading, without_reading
from console.entry.parse import parse_line
from console.entry.splitting import LONGEST_LINE

TEXT = "cr=18.2 ni=8.1"


@pytest.mark.parametrize(
    "line", ["", "12.4", "12.4 304 ", "12.4 ; from the fence", "; only a note", "12.4 m0"]
)
def test_what_stood_there_stays(line: str) -> None:
    """Weight, words and note are understood as before, and the reading beside them."""
    full = with_reading(line, TEXT, has_reading=False)

    assert full is not None
    before, after = (parse_line(one, names=None, yard=None) for one in (line, full))
    assert (after.mass_g, after.note) == (before.mass_g, before.note)
    assert after.facts.bench == before.facts.bench
    assert after.facts.shots[0].reading.values == {"Cr": 18.2, "Ni": 8.1}


@pytest.mark.parametrize(
    ("line", "text", "grounds"),
    [
        ("12.4 ni82", TEXT, [False, False]),
        ("12.4 ni82 //", TEXT, [False, True]),
        ("12.4 ni82", f"// {TEXT}", [False, True]),
        ("12.4 ni82 /", f"// {TEXT}", [False, True]),
    ],
)
def test_beside_a_reading_it_is_a_further_shot(line: str, text: str, grounds: list[bool]) -> None:
    """The mark that the sorter set, or that the reading brings, is kept; where there is none one is put."""
    full = with_reading(line, text, has_reading=True)

    assert full is not None
    parsed = parse_line(full, names=None, yard=None)
    assert parsed.problems == ()
    assert [shot.is_ground for shot in parsed.facts.shots] == grounds


def test_a_line_without_room_is_left_alone() -> None:
    """A reading that would not fit is not put on the line."""
    assert with_reading("x" * (LONGEST_LINE - 5), TEXT, has_reading=False) is None


@pytest.mark.parametrize(
    ("line", "left"),
    [
        (f"12.4 {TEXT} ", "12.4"),
        (f"12.4 {TEXT} 304 ; note", "12.4 304 ; note"),
        (f"12.4 ni82 / {TEXT} ", "12.4 ni82"),
        ("12.4 cr=18.25 ni=8.1", None),
        (f"12.4 ; {TEXT}", None),
    ],
)
def test_it_comes_off_as_it_was_put(line: str, left: str | None) -> None:
    """Its words go with the mark before them; words that were changed, or stand in the note, stay."""
    assert without_reading(line, TEXT) == left
    assert stands_on(line, TEXT) == (left is not None)
