"""A watched folder: what is dropped there is offered once, and nothing is lost."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from console.readings.csv_rows import PieceReadings
from console.readings.files import UNFINISHED_STILL_S, WatchedFolder, WatchError
from console.readings.mapping import ReadingsMapping
from console.readings.taken_rows import TakenRows, TakenRowsError

HEADER = "piece,Cr,Ni\n"
TWO = HEADER + "A1,18.2,8.1\nA2,17.1,10.9\n"


class Clock:
    """Seconds that pass when the test says so; starts at the time of the files."""

    def __init__(self) -> None:
        self.now = 2_000_000_000.0

    def __call__(self) -> float:
        return self.now


class Drop:
    """A folder, its clock, its journal, and a watch that can be started anew."""

    def __init__(self, home: Path) -> None:
        self.folder, self.clock = home / "drop", Clock()
        self.folder.mkdir()
        self.journal_file = home / "readings-taken.jsonl"
        self.journal = TakenRows.open(self.journal_file)
        self.mapping = ReadingsMapping()
        self.watch = self.start()

    def start(self) -> WatchedFolder:
        return WatchedFolder(self.folder, self.mapping, self.journal, clock=self.clock)

    def restart(self) -> None:
        """As after a kill: what was not on disk is forgotten."""
        self.journal.close()
        self.journal = TakenRows.open(self.journal_file)
        self.watch = self.start()

    def put(self, name: str, content: str | bytes) -> None:
        path = self.folder / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        os.utime(path, (self.clock.now, self.clock.now))

    def settled(self) -> list[PieceReadings]:
        """Look, wait until files count as written, and look again."""
        early = self.watch.poll()
        self.clock.now += 2
        return early + self.watch.poll()

    def names(self) -> list[str]:
        return [piece.piece for piece in self.settled()]

    def take(self) -> list[str]:
        pieces = self.settled()
        self.watch.taken(pieces)
        return [piece.piece for piece in pieces]


@pytest.fixture
def drop(tmp_path: Path) -> Iterator[Drop]:
    opened = Drop(tmp_path)
    yield opened
    opened.journal.close()


def test_a_file_is_offered_once(drop: Drop) -> None:
    """Its pieces come with file, line, rows and readings, and never again in this process."""
    drop.put("a.csv", TWO)

    first, second = drop.settled()

    assert (first.piece, first.file, first.line, len(first.row_ids)) == ("A1", "a.csv", 2, 1)
    assert first.facts.shots[0].reading.values == {"Cr": 18.2, "Ni": 8.1}
    assert second.piece == "A2"
    assert drop.names() == []


def test_rows_of_one_piece_are_shots_on_it(drop: Drop) -> None:
    """Rows with one piece number are its shots, each with its place in the file."""
    drop.put("a.csv", "piece,Cr,ground\nA1,3,no\nA2,9,\nA1,17,yes\n")

    first = drop.settled()[0]

    assert [shot.is_ground for shot in first.facts.shots] == [False, True]
    assert [line for line, _ in first.shots_at] == [2, 4]


def test_taken_rows_stay_taken_and_others_are_offered_again_after_a_kill(drop: Drop) -> None:
    """Of two pieces one is taken; the process dies; the next one offers the other, once."""
    drop.put("a.csv", TWO)
    first, _ = drop.settled()
    drop.watch.taken([first])

    drop.restart()

    assert drop.take() == ["A2"]
    drop.restart()
    assert drop.take() == []


def test_a_file_that_grows_is_left_until_it_is_still(drop: Drop) -> None:
    """While the size changes between two looks nothing is read; then everything."""
    drop.put("a.csv", HEADER)
    assert drop.watch.poll() == []
    drop.clock.now += 2
    drop.put("a.csv", HEADER + "A1,18.2,8.1\n")
    assert drop.watch.poll() == []
    assert drop.watch.waiting == {"a.csv": "just written"}

    drop.clock.now += 2
    assert [piece.piece for piece in drop.watch.poll()] == ["A1"]


def test_a_half_written_last_line_waits_for_its_end(drop: Drop) -> None:
    """ "17" may become "17.1": the whole rows are offered, the last one when its line ends."""
    drop.put("a.csv", HEADER + "A1,18.2,8.1\nA2,17")

    assert drop.take() == ["A1"]
    assert drop.watch.waiting == {"a.csv": "its last line has no end yet"}
    drop.put("a.csv", TWO)
    (second,) = drop.settled()

    assert second.facts.shots[0].reading.values == {"Cr": 17.1, "Ni": 10.9}


def test_a_last_line_that_never_ends_is_taken_when_it_stays_as_it_is(drop: Drop) -> None:
    """Some writers leave out the last line end: after half a minute the row counts, and that is told."""
    drop.put("a.csv", TWO.rstrip("\n"))
    assert drop.take() == ["A1"]

    drop.clock.now += UNFINISHED_STILL_S

    assert drop.take() == ["A2"]
    assert drop.watch.waiting == {}
    drop.restart()
    assert drop.take() == []


def test_a_last_line_without_end_and_with_cells_missing_waits_for_ever(drop: Drop) -> None:
    """A torn last line is never taken for a reading, however long it rests."""
    drop.put("a.csv", HEADER + "A1,18.2,8.1\nA2,1")

    drop.clock.now += 10 * UNFINISHED_STILL_S

    assert drop.names() == ["A1"]
    assert "a.csv" in drop.watch.waiting


def test_rows_added_to_a_file_are_offered_alone(drop: Drop) -> None:
    """Rows added to a file are offered without those that were taken."""
    drop.put("a.csv", TWO)
    drop.take()
    drop.put("a.csv", TWO + "A3,0.1,0.2\n")

    assert drop.take() == ["A3"]


def test_the_same_rows_under_another_name_or_delimiter_are_not_offered_again(drop: Drop) -> None:
    """A second export of the same shots brings only what is new, and what was left out is told."""
    drop.put("a.csv", TWO)
    drop.take()
    drop.put("b.csv", TWO.replace(",", ";") + "A3;0.1;0.2\n")

    assert drop.take() == ["A3"]
    assert [(f.file, f.text, f.is_problem) for f in drop.watch.findings] == [
        ("b.csv", "2 of its rows came in a.csv before; not offered again", False)
    ]


def test_two_equal_rows_of_one_file_are_two_shots(drop: Drop) -> None:
    """Two shots that read alike to the last digit both count; the file written anew brings neither again."""
    double = HEADER + "A1,18.2,8.1\nA1,18.2,8.1\n"
    drop.put("a.csv", double)
    (piece,) = drop.settled()
    drop.watch.taken([piece])
    drop.put("a.csv", double)

    assert len(piece.facts.shots) == 2
    assert drop.names() == []


def test_a_touched_file_is_not_read_again(drop: Drop) -> None:
    """A file with a new date and the same rows offers nothing."""
    drop.put("a.csv", TWO)
    drop.take()
    drop.clock.now += 100
    drop.put("a.csv", TWO)

    assert drop.names() == []


def test_files_taken_to_their_end_are_not_even_opened(drop: Drop, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder of old files costs a look at the folder only, also after a restart."""
    drop.put("a.csv", TWO)
    drop.take()
    drop.restart()
    monkeypatch.setattr(
        "console.readings.files.content_of", lambda path, stamp: pytest.fail(f"{path} was opened")
    )

    assert drop.names() == []


def test_a_bad_row_is_told_and_the_others_are_offered(drop: Drop) -> None:
    """It is told once by this process, offered once it was mended, and told again by the next one."""
    drop.put("a.csv", HEADER + "A1,60,61\nA2,17.1,10.9\nA3,x,1\n")

    assert drop.take() == ["A2"]
    told = [finding.text for finding in drop.watch.findings]
    assert told[0].startswith("line 2: Ni 61: typed twice") and "Readings sum to 121.0 wt %" in told[0]
    assert told[1].startswith('line 4: Cr "x": needs a number')
    drop.restart()
    drop.settled()
    drop.put("a.csv", HEADER + "A1,16,10\nA2,17.1,10.9\nA3,1,1\n")

    assert drop.take() == ["A1", "A3"]


def test_a_column_that_is_not_known_is_told_and_nothing_is_read(drop: Drop) -> None:
    """A strange column is told, and the file is read once it is gone."""
    drop.put("a.csv", "piece,Cr,Operator\nA1,18.2,Tavi\n")

    assert drop.take() == []
    (finding,) = drop.watch.findings
    assert finding.is_problem
    assert finding.text.startswith('line 1: column "Operator" is neither')
    drop.put("a.csv", "piece,Cr,Ni\nA1,18.2,8.1\n")
    assert drop.take() == ["A1"]


def test_two_watches_on_one_yard_are_refused(drop: Drop) -> None:
    """A reading goes to one place: the second process is told so."""
    with pytest.raises(TakenRowsError, match="Another process"):
        TakenRows.open(drop.journal_file)


def test_a_missing_folder_is_told(drop: Drop, tmp_path: Path) -> None:
    """A folder that is not there is refused in words."""
    with pytest.raises(WatchError, match="There is no folder"):
        WatchedFolder(tmp_path / "nowhere", ReadingsMapping(), drop.journal)


def test_a_folder_that_goes_away_and_comes_back(drop: Drop) -> None:
    """A lost network drive is told once, and what lies there afterwards is read."""
    drop.put("a.csv", TWO)
    away = drop.folder.rename(drop.folder.with_name("away"))

    assert drop.watch.poll() == []
    assert "cannot be looked into" in drop.watch.findings[0].text
    assert drop.watch.poll() == [] and drop.watch.findings == []
    away.rename(drop.folder)

    assert drop.names() == ["A1", "A2"]


def test_other_files_are_left_alone(drop: Drop) -> None:
    """Pictures, hidden files and folders are no readings and no problem."""
    drop.put("picture.png", b"\x89PNG")
    drop.put(".hidden.csv", TWO)
    (drop.folder / "folder.csv").mkdir()

    assert drop.names() == []
    assert drop.watch.findings == []


def test_a_torn_journal_line_is_dropped_and_its_rows_are_offered_again(drop: Drop) -> None:
    """A power cut in the middle of a mark leaves the row as not taken, and the journal goes on."""
    drop.put("a.csv", TWO)
    drop.take()
    content = drop.journal_file.read_bytes()
    drop.journal_file.write_bytes(content[:-7])

    drop.restart()

    assert drop.take() == ["A2"]
    drop.restart()
    assert drop.take() == []


def test_a_damaged_journal_is_told_with_its_line(drop: Drop) -> None:
    """A damaged line of the journal is named by its number."""
    drop.put("a.csv", TWO)
    drop.take()
    drop.journal.close()
    lines = drop.journal_file.read_bytes().splitlines(keepends=True)
    drop.journal_file.write_bytes(b"".join([b"??\n", *lines[1:]]))

    with pytest.raises(TakenRowsError, match="line 1 is damaged"):
        TakenRows.open(drop.journal_file)


def test_a_full_disk_marks_nothing(drop: Drop, monkeypatch: pytest.MonkeyPatch) -> None:
    """A mark that does not reach the disk whole leaves the journal as it was, and the rows open."""
    drop.put("a.csv", TWO)
    first, second = drop.settled()
    drop.watch.taken([first])
    before = drop.journal_file.read_bytes()
    write = os.write

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", lambda descriptor, line: write(descriptor, line[:5]))
        with pytest.raises(TakenRowsError, match="No space left"):
            drop.watch.taken([second])

    assert drop.journal_file.read_bytes() == before
    drop.restart()
    assert drop.take() == ["A2"]


def test_what_nobody_mends_is_news_once(drop: Drop) -> None:
    """A row that cannot be read, and a file as it is, are told by the first process; the next ones find them.

    What changes is told again, and so is another such row.
    """
    drop.put("a.csv", "piece,Cr\nA1,x\n")
    drop.put("b.csv", "piece,Cr,Operator\nB1,18,Tavi\n")
    drop.settled()
    assert [one.was_told for one in drop.watch.findings] == [False, False]

    drop.restart()
    drop.settled()
    assert [(one.file, one.was_told) for one in drop.watch.findings] == [("a.csv", True), ("b.csv", True)]

    drop.restart()
    drop.put("a.csv", "piece,Cr\nA1,x\nA2,y\n")
    drop.clock.now += 1
    drop.put("b.csv", "piece,Cr,Operator\nB1,18,Tavi\n")
    drop.settled()
    told = {(one.file, one.text[:6]): one.was_told for one in drop.watch.findings}
    assert told == {("a.csv", "line 2"): True, ("a.csv", "line 3"): False, ("b.csv", "line 1"): False}
