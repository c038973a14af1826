"""The row at the top of the sorting screen, drawn without a terminal."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from console.ground.dates import use_zone
from console.ledger.rows.rows import Run, Tally
from console.panes.run.run_header import RunHeader
from grade_library.library import load
from tests.yards import load_yard

DEMO = Path(__file__).parents[3] / "demo_yard"


def header(**shown: object) -> RunHeader:
    """A header of 3 pieces and 12.4 kg that Ada sorts since six."""
    run = Run(
        run_id="R1", opened_utc=datetime(2031, 5, 2, 6, 0, tzinfo=UTC), opened_by="Ada", person="Ada",
        is_closed=False,
    )  # fmt: skip
    pane = RunHeader()
    pane.set_reactive(RunHeader.yard, load_yard(DEMO, load()))
    pane.set_reactive(
        RunHeader.tally,
        Tally(run=run, pieces=3, mass_g=12_400, bays=(), holds=(), tickets=(), notes=()),
    )
    for name, value in shown.items():
        pane.set_reactive(getattr(RunHeader, name), value)
    return pane


def row(pane: RunHeader, width: int) -> str:
    (drawn,) = pane.draw(width, 1)
    return drawn.plain


@pytest.mark.parametrize("width", [80, 110, 160])
def test_the_row_fills_its_width_and_no_more(width: int) -> None:
    """Name, person and hour at the left, the sums at the right edge, whatever is shown beside them."""
    use_zone("UTC")
    try:
        for shown in ({}, {"grams_per_hour": 123_456.0}, {"whose": "from Old Mill load 7"}):
            text = row(header(**shown), width)
            assert len(text) == width
            assert "3 pieces  12.40 kg" in text
            assert "Ada" in text
        assert "Ada  ·  since 06:00" in row(header(), width)
        assert row(header(grams_per_hour=123_456.0), width).endswith("12.40 kg  123 kg/h")
    finally:
        use_zone("")


def test_the_analyser_is_told_where_it_is_wrong_or_there_is_room() -> None:
    """A good state only from 110 columns on, a bad one always and in capitals."""
    assert "checked" not in row(header(analyser=("checked", True)), 109)
    assert "checked" in row(header(analyser=("checked", True)), 110)
    assert " NOT CHECKED " in row(header(analyser=("not checked", False)), 80)


def test_a_yard_whose_name_has_no_room_is_left_out() -> None:
    """A few letters of the name tell nothing."""
    name = load_yard(DEMO, load()).name

    assert name in row(header(), 160)
    assert name[:3] not in row(header(analyser=("control overdue by far", False)), 80)


@pytest.mark.parametrize("width", [80, 110])
def test_a_long_supplier_is_cut_to_its_room(width: int) -> None:
    """The sums stay in the row, whoever the load is from."""
    text = row(header(whose="from " + "Old Mill and Daughters " * 8), width)

    assert len(text) == width and text.startswith("from Old Mill") and text.endswith("12.40 kg")


def test_no_few_letters_of_a_name_are_shown() -> None:
    """At no width does less than six letters of the yard's name stand there."""
    name = load_yard(DEMO, load()).name

    for width in range(50, 110):
        text = row(header(), width)
        assert name[:2] not in text or name[:5] in text


@pytest.mark.parametrize("width", [80, 90, 110, 160])
@pytest.mark.parametrize("whose", ["", "from Harbour Demolition load 12"])
def test_what_there_is_no_room_for_is_left_out_whole(width: int, whose: str) -> None:
    """No unit, hour or sum is cut: the rate goes, then the hour; only the name of a load is shortened."""
    use_zone("UTC")
    try:
        pane = header(analyser=("analyser overdue", False), grams_per_hour=1_661_000.0, whose=whose)
        text = row(pane, width)
    finally:
        use_zone("")
    assert len(text) == width
    assert text.endswith(("12.40 kg  1661 kg/h", "12.40 kg"))
    assert " ANALYSER OVERDUE " in text and "·  Ada " in text
    assert ("since" in text) == ("since 06:00" in text)
    assert text.endswith("kg/h") or width < 110
    assert not whose or whose in text or (width == 80 and "from Harbour Demol" in text)


def test_a_cut_name_of_the_yard_is_long_enough_to_tell_or_not_there() -> None:
    """With the state of the analyser and a rate beside it few columns are left: none is spent on it."""
    for width in range(60, 111):
        text = row(header(analyser=("analyser overdue", False), grams_per_hour=166_000.0), width)
        name = text.removeprefix("Baywright").partition("·")[0].strip()
        assert name == "" or len(name) >= 12, text
