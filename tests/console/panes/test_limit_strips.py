"""The limit strips: drawn to scale, and what lies outside is marked by word and by shape."""

import pytest

from console.drawing.limit_rows import LimitRow, Stands, limit_rows, most_telling
from console.drawing.plain_marks import plain
from console.panes.piece.strips_pane import StripsPane, _scale, _strip, _strip_row
from grade_library.facts import Reading, Shot
from grade_library.library import load
from grade_library.reading import average
from grade_library.technique import profiles
from grade_library.verdict import Candidate


def row(**known: object) -> LimitRow:
    """Return a row for chromium 17.5 to 19.5 unless said otherwise."""
    return LimitRow(**{"symbol": "Cr", "low": 17.5, "high": 19.5, "sigma": 0.2, **known})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "stands"),
    [
        (18.2, Stands.INSIDE),
        (17.5, Stands.INSIDE),
        (19.8, Stands.AT_EDGE),
        (17.2, Stands.AT_EDGE),
        (20.0, Stands.OUTSIDE),
        (12.0, Stands.OUTSIDE),
        (None, Stands.NOT_READ),
    ],
)
def test_how_a_value_stands(value: float | None, stands: Stands) -> None:
    """Beyond a limit by more than two standard uncertainties is outside, by less at the edge."""
    assert row(value=value).stands is stands


def test_below_detection_counts_against_a_least_content() -> None:
    """Not found below a limit that asks for more is outside; below a mere maximum it is inside."""
    assert row(below=0.1).stands is Stands.OUTSIDE
    assert row(low=0.0, high=0.3, below=0.1).stands is Stands.INSIDE


@pytest.mark.parametrize("width", [8, 23, 60])
@pytest.mark.parametrize("value", [None, 0.0, 17.4, 18.2, 19.4, 25.0, 100.0])
def test_a_strip_is_to_scale(width: int, value: float | None) -> None:
    """The mark lies in the gap between what is shaded just when the value lies between the limits."""
    empty = "".join(text for text, _ in _strip(row(value=None, sigma=0.01), width, ""))
    gap = [at for at, text in enumerate(empty) if text == " "]
    cells = "".join(text for text, _ in _strip(row(value=value, sigma=0.01), width, ""))

    assert len(cells) == width
    if value is None:
        assert cells.strip("▒") == " " * len(gap)
        assert 0 < len(gap) < width
    elif 17.5 <= value <= 19.5:
        assert gap[0] <= cells.index("●") <= gap[-1]
    else:
        mark = next(cells.index(sign) for sign in "✗◀▶" if sign in cells)
        assert mark <= gap[0] if value < 17.5 else mark >= gap[-1]


def test_outside_is_said_and_has_a_shape_of_its_own_in_ascii_too() -> None:
    """The word OUTSIDE stands in the row, and the mark is an x on a plain terminal."""
    text = _strip_row(row(value=20.2), 60).plain

    assert "OUTSIDE" in text and "✗" in text
    assert "x" in plain(text).replace("OUTSIDE", "") and plain(text).isascii()
    assert "●" in _strip_row(row(value=18.2), 60).plain


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(99.97, 100, ">=99.97"), (0, 0.0005, "<=0.0005"), (17.25, 19.75, "17.25-19.75"), (8, 10.5, "8-10.5")],
)
def test_a_limit_stands_there_as_the_library_has_it(low: float, high: float, said: str) -> None:
    """No figure of a limit is rounded: 99.97 is no 100, and nothing is at most 0."""
    shown = _strip_row(row(low=low, high=high, value=None), 60).plain.rstrip()

    assert shown.endswith(f" {said}")


def test_lead_of_four_nines_is_read_as_it_was_typed() -> None:
    """A reading close to all of the metal keeps its decimals."""
    assert "99.97" in _strip_row(row(low=99.9, high=100.0, value=99.97), 60).plain


def test_rows_of_a_grade_hold_limits_rest_and_strays() -> None:
    """304 with a reading: named elements with their figures, iron as the rest, molybdenum as a stray."""
    reading = Reading(values={"Cr": 18.2, "Ni": 9.1, "Mo": 0.3, "Fe": 71.0})
    rows = limit_rows(
        next(grade for grade in load().grades if grade.grade_id == "304"),
        average([Shot(reading=reading)], profiles()),
    )
    by_symbol = {one.symbol: one for one in rows}

    assert by_symbol["Ni"].value == pytest.approx(9.1)
    assert by_symbol["Fe"].is_rest and by_symbol["Fe"].low < 71.0 < by_symbol["Fe"].high
    assert by_symbol["Mo"].stands is Stands.NOT_NAMED
    assert by_symbol["Mn"].stands is Stands.NOT_READ


def test_where_room_is_short_what_is_outside_stays() -> None:
    """Outside rows go before inside ones, these before unread ones; the order stays."""
    rows = [row(symbol="A"), row(symbol="B", value=18.0), row(symbol="C", value=30.0)]

    assert [one.symbol for one in most_telling(rows, 2)] == ["B", "C"]
    assert [one.symbol for one in most_telling(rows, 1)] == ["C"]


def test_an_unsure_value_widens_its_strip() -> None:
    """A strip reaches over four standard uncertainties where the limits lie closer, with room beside."""
    first, last = _scale(row(low=1.0, high=1.2, sigma=0.5))

    assert (first, last) == pytest.approx((1.0 - 0.35 * 2.0, 1.2 + 0.35 * 2.0))
    assert _scale(row(low=17.5, high=19.5, sigma=0.2)) == pytest.approx((17.5 - 0.7, 19.5 + 0.7))


def test_as_many_strips_as_there_is_room_for() -> None:
    """A pane too low for every element keeps its last line for how many are left out."""
    pane = StripsPane()
    pane.set_reactive(StripsPane.candidate, Candidate(grade=load().grade("316"), probability=0.9))
    whole = [line.plain for line in pane.draw(100, 40)]
    few = [line.plain for line in pane.draw(100, 4)]

    assert len(few) == 4 < len(whole)
    assert few[-1].startswith(f"and {len(whole) - 3} more: ")
