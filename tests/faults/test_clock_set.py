"""A clock that is set is told and kept by a row, and no piece falls out of a report because of it."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk, handover_of
from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import rows_where
from console.ledger.views.period import pieces_between
from console.reports.closing.handover_text import as_text
from tests.console.ledger.clock import brass

Capture = pytest.CaptureFixture[str]
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


class Bench:
    """A ledger, a clock that can be set, and seconds that cannot."""

    def __init__(self, store: Path, at: datetime = NOON) -> None:
        self.at, self.passed, self.told = at, 0.0, list[str]()
        self.ledger = Ledger.open(store, now=lambda: self.at, terminal="T1", elapsed=lambda: self.passed)
        self.ledger.journal.when_told = self.told.append
        self.ledger.open_run("Ada")

    def piece(self, *, after_s: float = 10.0, set_by: timedelta = timedelta()) -> None:
        """Enter a piece some seconds later, the clock set meanwhile."""
        self.passed += after_s
        self.at += timedelta(seconds=after_s) + set_by
        self.ledger.add_piece(brass(), "Ada")

    def steps(self) -> list[int]:
        return [row.body["step_s"] for row in rows_where(self.ledger, "kind = 'clock'")]

    def dates(self) -> list[str]:
        return [f"{piece.at_utc:%Y-%m-%d %H:%M}" for piece in pieces_between(self.ledger)]


@pytest.fixture
def bench(store: Path) -> Bench:
    return Bench(store)


@pytest.mark.parametrize("minutes", [-121, -3, 3, 60 * 24 * 365])
def test_a_step_is_told_and_is_a_row(bench: Bench, minutes: int) -> None:
    """Back or forward by more than two minutes: one row, one sentence, and once only."""
    bench.piece()
    bench.piece(set_by=timedelta(minutes=minutes))
    bench.piece()

    assert bench.steps() == [minutes * 60]
    assert len(bench.told) == 1
    assert ("back" if minutes < 0 else "forward") in bench.told[0]


def test_a_step_is_not_forgotten_with_an_act_that_failed(bench: Bench) -> None:
    """An act that comes to nothing takes the row of the clock with it; the next act writes it."""
    bench.piece()
    bench.at -= timedelta(hours=1)
    with pytest.raises(RuntimeError), bench.ledger.act():
        bench.ledger.add_piece(brass(), "Ada")
        raise RuntimeError

    bench.piece()

    assert bench.steps() == [-3600]


@pytest.mark.parametrize(("after_s", "set_by_s"), [(10, 110), (10, -110), (40_000, 0), (10, 0)])
def test_a_nudge_and_a_long_pause_are_no_step(bench: Bench, after_s: float, set_by_s: float) -> None:
    """A time server nudges, and a sorter goes to lunch: neither is told."""
    bench.piece()
    bench.piece(after_s=after_s, set_by=timedelta(seconds=set_by_s))

    assert bench.steps() == []


def test_pieces_of_1970_and_2099_count_on_their_day(bench: Bench) -> None:
    """The clock falls to 1970 and is put right, then jumps to 2099: all pieces are of the day of the run."""
    bench.piece()
    bench.piece(set_by=datetime(1970, 1, 1, tzinfo=UTC) - NOON)
    bench.piece(set_by=NOON - datetime(1970, 1, 1, tzinfo=UTC))
    bench.piece(set_by=datetime(2099, 1, 1, tzinfo=UTC) - NOON)

    assert bench.dates() == ["2026-03-02 12:00"] * 4
    day = NOON.replace(hour=0)
    assert len(pieces_between(bench.ledger, day, day + timedelta(days=1))) == 4
    assert pieces_between(bench.ledger, day + timedelta(days=1), None) == []


def test_a_run_that_began_in_1970_counts_by_the_clock_put_right(store: Path) -> None:
    """Where the clock was wrong first, the time after it was set is believed for the pieces before too."""
    begun = datetime(1970, 1, 1, tzinfo=UTC)
    bench = Bench(store, begun)
    bench.piece()
    bench.piece(set_by=NOON - begun)

    assert bench.dates() == ["2026-03-02 12:00"] * 2


def test_a_clock_set_back_between_two_sittings_is_seen(bench: Bench, store: Path) -> None:
    """A new process knows no seconds of the old one, but its clock must not lie before the newest row."""
    bench.piece()
    bench.ledger.close()
    with Ledger.open(store, now=lambda: NOON - timedelta(hours=2), terminal="T1") as ledger:
        ledger.add_piece(brass(), "Ada")
        (row,) = rows_where(ledger, "kind = 'clock'")

    assert row.body["step_s"] == -7210


def test_dates_that_cannot_be_are_told_with_a_report_by_dates(yard_folder: Path, capsys: Capture) -> None:
    """A whole run of 1970 is in no report by dates, and that is said with its number."""
    desk = Desk.open(yard_folder, now=lambda: datetime(1970, 1, 1, 6, tzinfo=UTC))
    desk.tally(desk.consider("12.4 304"))
    desk.close()

    for words in (["tally", "--from", "2026-01-01", "--json"], ["office", "--from", "2026-01-01"]):
        assert main([*words, "--yard", str(yard_folder)]) == 0
        said = capsys.readouterr()
        assert "1 pieces bear a date in 1970" in said.err
        assert json.loads(said.out)


def test_the_handover_tells_that_the_clock_was_set(yard_folder: Path) -> None:
    """Who takes the run over reads that its times are of two clocks."""
    at = [NOON]
    desk = Desk.open(yard_folder, now=lambda: at[0])
    desk.tally(desk.consider("12.4 304"))
    at[0] -= timedelta(hours=1)
    desk.tally(desk.consider("12.4 304"))

    run = desk.run().run_id
    text = as_text(handover_of(desk.ledger, run, desk.yard, NOON, desk.bays.book.sums()))
    desk.close()

    assert "the clock was set back by 1 h 00 min" in " ".join(text.split())
