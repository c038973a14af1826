"""The folder for readings, looked into while ledger and journal stay in step."""

import threading
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.desk.readings.watching import NOTE_AFTER_ROWS, Look
from console.readings.files import WatchedFolder
from console.readings.taken_rows import TakenRows, TakenRowsError
from tests.console.desk.dropping import HEADER, Bench

TWO = HEADER + "A1,18.2,8.1,\nA2,17.1,10.9,\n"


@pytest.fixture
def bench(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Bench]:
    opened = Bench(yard_folder, clock)
    yield opened
    opened.desk.close()


def test_a_kill_between_tally_and_journal_offers_nothing_twice(bench: Bench) -> None:
    """The piece is on disk and its mark is not: the next start marks it before it opens a file."""
    bench.drop(TWO + "A3,16,0.2,\n")
    bench.look()
    bench.tally()
    bench.look()
    before = bench.journal_file.read_bytes()
    bench.tally()
    bench.desk.close()
    bench.journal_file.write_bytes(before)

    bench.start()

    assert bench.waiting() == ["A3"]
    assert bench.journal_file.read_bytes() != before


def test_a_kill_between_undo_and_journal_loses_nothing(bench: Bench) -> None:
    """The void is on disk and the journal still says taken: the next start offers the reading."""
    bench.drop(TWO)
    bench.look()
    bench.tally()
    bench.tally()
    bench.look()
    marked = bench.journal_file.read_bytes()
    bench.desk.undo()
    bench.desk.close()
    bench.journal_file.write_bytes(marked)

    bench.start()

    assert bench.waiting() == ["A2"]


def test_without_its_journal_the_ledger_still_knows(bench: Bench) -> None:
    """With the journal of files gone, a tallied reading is not offered again."""
    bench.drop(TWO)
    bench.look()
    bench.tally()
    bench.look()
    bench.desk.close()
    bench.journal_file.unlink()

    bench.start()

    assert bench.waiting() == ["A2"]


def test_before_the_tally_a_restart_offers_again(bench: Bench) -> None:
    """A reading that was only on the line is offered again after a restart."""
    bench.drop(TWO)
    bench.look()
    bench.desk.readings.follow(bench.put("2"))

    bench.restart()

    assert bench.waiting() == ["A1", "A2"]


@pytest.mark.parametrize("name", ["a.csv", "b.csv"])
def test_the_same_file_again_is_not_offered_twice(bench: Bench, name: str) -> None:
    """Written anew or under another name and grown by one row, tallied or not: only that row is new."""
    bench.drop(TWO)
    bench.look()
    bench.tally()
    bench.drop(TWO + "A3,16,0.2,\n", name)

    assert bench.waiting() == ["A2", "A3"]
    bench.restart()
    assert bench.waiting() == ["A2", "A3"]


def test_what_watch_printed_is_not_offered(bench: Bench) -> None:
    """A reading goes to one place: what the command took in is not the console's any more."""
    bench.drop(TWO)
    bench.desk.close()
    with TakenRows.open(bench.journal_file) as journal:
        watched = WatchedFolder(
            bench.folder, bench.desk.yard.readings_files, journal, clock=lambda: bench.seconds
        )
        watched.poll()
        bench.seconds += 2
        watched.taken(watched.poll()[:1])

    bench.start()

    assert bench.waiting() == ["A2"]


def test_another_process_that_takes_in_readings_is_told(bench: Bench) -> None:
    """Nothing is read meanwhile, and everything once it has ended; the console's own lock ends with it."""
    bench.drop(TWO)
    with TakenRows.open(bench.journal_file):
        assert "Another process takes in readings" in bench.look().trouble
        assert bench.desk.readings.waiting() == []

    assert bench.waiting() == ["A1", "A2"]
    with pytest.raises(TakenRowsError):
        TakenRows.open(bench.journal_file)
    bench.desk.close()
    TakenRows.open(bench.journal_file).close()
    bench.start()


def test_a_folder_that_is_missing_is_taken_up_when_it_comes(bench: Bench) -> None:
    """It is named while it is missing, also the second time; what lies in it then is offered."""
    for _ in range(2):
        away = bench.folder.rename(bench.folder.with_name("away"))
        assert f"There is no folder {bench.folder}" in bench.look().trouble
        away.rename(bench.folder)
        assert bench.look().trouble == ""
    bench.drop(TWO)

    assert bench.waiting() == ["A1", "A2"]


def test_a_folder_that_is_a_file_is_told(bench: Bench) -> None:
    """A file in the place of the folder is told as a missing folder."""
    bench.folder.rmdir()
    bench.folder.write_text("no folder", encoding="utf-8")

    assert "There is no folder" in bench.look().trouble


def test_a_folder_that_cannot_be_read_is_told(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder that refuses is told with its reason, and read once it lets itself be read."""

    def refused(folder: Path) -> None:
        raise PermissionError(13, "Permission denied", str(folder))

    with monkeypatch.context() as patch:
        patch.setattr(Path, "iterdir", refused)
        assert "cannot be read: Permission denied" in bench.look().trouble
    bench.drop(TWO)

    assert bench.waiting() == ["A1", "A2"]


def test_a_mark_that_the_disk_refuses_is_made_later(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """The piece lies in the ledger; trouble is told, and the mark follows once the disk takes it."""
    bench.drop(TWO)
    bench.look()
    bench.tally()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("console.readings.taken_rows._append", full)
        assert "No space left" in bench.look().trouble
    assert bench.look().trouble == ""

    bench.restart()
    assert bench.waiting() == ["A2"]


def test_closed_while_it_looks_it_lets_go_at_the_end(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """Closing never waits for a slow disk, and the lock is free once the look is over."""
    started, goes_on = threading.Event(), threading.Event()
    iterdir = Path.iterdir

    def slow(folder: Path) -> Iterator[Path]:
        started.set()
        goes_on.wait(10)
        return iterdir(folder)

    looks: list[Look] = []
    with monkeypatch.context() as patch:
        patch.setattr(Path, "iterdir", slow)
        thread = threading.Thread(target=lambda: looks.append(bench.watch.look()))
        thread.start()
        started.wait(10)
        bench.watch.close()
        with pytest.raises(TakenRowsError):
            TakenRows.open(bench.journal_file)
        goes_on.set()
        thread.join(10)

    assert len(looks) == 1
    TakenRows.open(bench.journal_file).close()
    assert bench.watch.look() == Look()


def test_a_long_ledger_is_not_read_through_at_every_start(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After many rows without a reading the journal notes how far it has read."""
    with bench.desk.ledger.act():
        for number in range(NOTE_AFTER_ROWS):
            bench.desk.ledger.note(str(number), "Ilse")
    bench.look()
    noted = bench.journal_file.read_bytes()
    assert noted.count(b"\n") == 1

    bench.restart()
    asked: list[int] = []
    monkeypatch.setattr(
        "console.desk.readings.watching.reading_acts",
        lambda _, after, until: asked.append(until - after) or [],
    )
    bench.look()

    assert sum(asked) < 10
    assert bench.journal_file.read_bytes() == noted
