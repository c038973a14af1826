"""A missing, empty, older, copied or other ledger is noticed at the start; work goes on only by consent."""

import shutil
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from console.ledger.keeping.store import Ledger
from console.ledger.keeping.verify import verify
from console.ledger.rows.errors import StoreDoubted
from console.ledger.rows.queries import LedgerReader, rows_where
from tests.console.ledger.clock import SteppingClock, brass, open_ledger
from tests.driven.pty_session import PtySession

Capture = pytest.CaptureFixture[str]


def filled(store: Path, pieces: int, *, tagged: bool = False) -> None:
    """Add a sitting of pieces to a store."""
    with open_ledger(store) as ledger:
        if not ledger.connection.execute("SELECT 1 FROM ledger").fetchone():
            ledger.open_run("Ada")
        for _ in range(pieces):
            ledger.add_piece(brass(bay="HO", tag=ledger.next_tag()) if tagged else brass(), "Ada")


def doubt(store: Path) -> str:
    """Return what the start says of a store; empty where it begins to work."""
    try:
        open_ledger(store).close()
    except StoreDoubted as doubted:
        return str(doubted)
    return ""


def test_a_missing_or_empty_store_is_told_and_no_new_one_begun(store: Path) -> None:
    """Where a ledger was known none is begun in silence; the row known last is named."""
    filled(store, 3)
    store.unlink()

    assert "missing or empty; one was known here up to row 4" in doubt(store)
    assert not store.exists()
    store.touch()
    assert "missing or empty" in doubt(store)
    assert store.stat().st_size == 0


def test_it_is_told_also_where_the_whole_folder_went(store: Path) -> None:
    """The state folder of the user remembers a yard whose folder holds nothing any more."""
    filled(store, 3)
    for file in store.parent.iterdir():
        file.unlink()

    assert "up to row 4" in doubt(store)


def test_an_older_copy_is_told_with_the_last_common_row(store: Path, tmp_path: Path) -> None:
    """A copy put back is told, with what was known and what is common."""
    filled(store, 2)
    shutil.copy(store, tmp_path / "older")
    filled(store, 5)
    shutil.copy(tmp_path / "older", store)

    said = doubt(store)

    assert "It is older than it was: it has 3 rows, and the history known went up to row 8" in said
    assert "last common row that is known is row 3" in said


def test_two_copies_that_both_went_on_are_told(store: Path, tmp_path: Path) -> None:
    """A copied yard and its original cannot both go on unnoticed; the last common row is told."""
    filled(store, 2)
    other = tmp_path / "copy" / store.name
    shutil.copytree(store.parent, other.parent, ignore=shutil.ignore_patterns("copy"))
    filled(store, 4)

    said = doubt(other)

    assert "row 7" in said
    assert str(store) in said
    with Ledger.open(other, now=SteppingClock(), terminal="T1", go_on=True) as ledger:
        ledger.consent("Ben")
        for _ in range(9):
            ledger.add_piece(brass(), "Ben")
    assert "last common row that is known is row 3" in doubt(store)


def test_consent_is_a_row_and_no_number_comes_again(store: Path, tmp_path: Path) -> None:
    """After a word of consent work goes on; runs and tags of the lost history are not given again."""
    filled(store, 1)
    shutil.copy(store, tmp_path / "older")
    with open_ledger(store) as ledger:
        ledger.close_run("Ada", explanation="no scale")
        ledger.open_run("Ada")
        for _ in range(3):
            ledger.add_piece(brass(bay="HO", tag=ledger.next_tag()), "Ada")
    shutil.copy(tmp_path / "older", store)

    with Ledger.open(store, now=SteppingClock(), terminal="T1", go_on=True) as ledger:
        row = ledger.consent("Ben")
        assert ledger.next_tag() == "T1-H4"
        ledger.close_run("Ben", explanation="no scale")
        assert ledger.open_run("Ben").run_id == "T1-0003"

    assert (row.kind.value, row.person) == ("consent", "Ben")
    assert "row 7" in row.body["doubts"][0]
    with open_ledger(store) as ledger:
        assert ledger.next_tag() == "T1-H4"
        assert verify(ledger).is_whole


def test_a_ledger_cut_off_by_a_kill_is_no_doubt(store: Path) -> None:
    """Rows that were written after the last anchor are nothing to ask about."""
    ledger = open_ledger(store)
    ledger.open_run("Ada")
    for _ in range(60):
        ledger.add_piece(brass(), "Ada")
    ledger.connection.close()
    ledger.journal._writer_lock.release()

    assert doubt(store) == ""


def test_no_handover_is_written_over_another(yard_folder: Path, clock: SteppingClock) -> None:
    """A run of the same number in another history gets a paper of its own; the first stays as it is."""
    desk = Desk.open(yard_folder, now=clock)
    desk.tally(desk.consider("12.4 304"))
    first = desk.closing.close_run("no scale").made
    desk.close()
    kept = first.read_bytes()
    (yard_folder / "yard.sqlite3").unlink()
    shutil.rmtree(yard_folder / "nothing", ignore_errors=True)
    desk = Desk.open(yard_folder, now=clock, go_on=True)
    desk.run()

    first.rename(yard_folder / f"handover-{desk.run().run_id}.txt")
    second = desk.closing.close_run("no scale").made
    desk.close()

    assert second.name == f"handover-{desk.ledger.terminal}-0002-2.txt"
    assert (yard_folder / "handover-T1-0002.txt").read_bytes() == kept


def test_commands_refuse_until_the_word_is_said(yard_folder: Path, capsys: Capture) -> None:
    """`enter` begins nothing on a lost ledger; `verify --go-on` keeps the word as a row, then it does."""
    lines = yard_folder / "lines.txt"
    lines.write_text("12.4 304\n", encoding="utf-8")
    on = ["--yard", str(yard_folder)]
    assert main(["enter", str(lines), *on]) == 0
    shutil.copy(yard_folder / "yard.sqlite3", yard_folder / "older.sqlite3")
    assert main(["enter", str(lines), *on]) == 0
    shutil.copy(yard_folder / "older.sqlite3", yard_folder / "yard.sqlite3")
    capsys.readouterr()

    assert main(["enter", str(lines), *on]) == 2
    assert "verify --go-on" in capsys.readouterr().err
    assert main(["verify", *on]) == 1
    assert main(["verify", "--go-on", *on]) == 0
    assert main(["enter", str(lines), *on]) == 0
    with LedgerReader.open(yard_folder / "yard.sqlite3") as reader:
        (row,) = rows_where(reader, "kind = 'consent'")
    assert row.person


def test_the_console_asks_by_number_and_keeps_the_word(yard_folder: Path) -> None:
    """On a real terminal: the doubt is told, 5 goes on, and a row keeps it."""
    (yard_folder / "lines.txt").write_text("12.4 304\n", encoding="utf-8")
    assert main(["enter", str(yard_folder / "lines.txt"), "--yard", str(yard_folder)]) == 0
    (yard_folder / "yard.sqlite3").unlink()
    session = PtySession(["-m", "console.cli", "--yard", str(yard_folder)], size=(100, 30))
    try:
        session.wait_for("Work on with it as it is")
        session.wait_for("The ledger is not as it was left")  # the title: a sentence may break anywhere
        session.send("5\r")
        session.wait_for("since")
        session.send("\x11")
        assert session.end() == 0
    finally:
        session.close()
    with LedgerReader.open(yard_folder / "yard.sqlite3") as reader:
        assert [row.kind.value for row in rows_where(reader, "kind = 'consent'")] == ["consent"]
