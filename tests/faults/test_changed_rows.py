"""A row that was changed behind the program's back is believed by no start, no report and no copy."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from console.desk.bays.kept_bays import file_of
from console.ledger.keeping.chain_look import look_at_rest
from console.ledger.keeping.store import Ledger
from console.ledger.rows.errors import StoreDoubted
from tests.console.ledger.clock import SteppingClock, brass, open_ledger

Capture = pytest.CaptureFixture[str]
SECOND_PIECE = 3


@pytest.fixture
def worked(yard_folder: Path, clock: SteppingClock) -> Path:
    """A yard with a closed run of two pieces, and an open one of two."""
    desk = Desk.open(yard_folder, now=clock)
    for _ in range(2):
        desk.tally(desk.consider("20 304"))
    desk.closing.close_run("no scale")
    desk.close()
    desk = Desk.open(yard_folder, now=clock)
    for _ in range(2):
        desk.tally(desk.consider("20 304"))
    desk.close()
    return yard_folder


def flip(folder: Path, seq: int) -> None:
    """Change the weight of a row as a flipped bit would: 20.000 kg become 28.192 kg; guards stay."""
    change(folder, f"mass_g = mass_g | 8192 WHERE seq = {seq}")


def change(folder: Path, what: str) -> None:
    with closing(sqlite3.connect(folder / "yard.sqlite3")) as plain, plain:
        (guard,) = plain.execute(
            "SELECT sql FROM sqlite_master WHERE name = 'ledger_never_changes'"
        ).fetchone()
        plain.execute("DROP TRIGGER ledger_never_changes")
        plain.execute(f"UPDATE ledger SET {what}")
        plain.execute(guard)


def newest(folder: Path) -> int:
    with closing(sqlite3.connect(folder / "yard.sqlite3")) as plain:
        return int(plain.execute("SELECT max(seq) FROM ledger").fetchone()[0])


def test_a_changed_row_of_the_open_run_is_told_at_the_start(worked: Path, clock: SteppingClock) -> None:
    """The open run's rows are looked at before anything is added to them."""
    seq = newest(worked)
    flip(worked, seq)

    with pytest.raises(StoreDoubted, match=f"Row {seq}: this row was changed"):
        Desk.open(worked, now=clock)


@pytest.mark.parametrize("words", [["tally"], ["tally", "--by", "bay"], ["handover"], ["handover", "--html"]])
def test_reports_say_how_far_they_are_verified(worked: Path, words: list[str], capsys: Capture) -> None:
    """A report says up to which row it is verified, or that a row, of an earlier run too, was changed."""
    on = ["--yard", str(worked)]
    assert main([*words, *on]) == 0
    assert f"verified to row {newest(worked)}" in " ".join(capsys.readouterr().out.split())

    flip(worked, SECOND_PIECE)

    assert main([*words, *on]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert f"NOT VERIFIED: row {SECOND_PIECE}: this row was changed" in said


@pytest.mark.parametrize("form", ["json", "html", "csv"])
def test_the_office_hears_of_a_changed_row(worked: Path, form: str, capsys: Capture) -> None:
    """Whatever form the office's report has, it comes with the word of the chain."""
    flip(worked, SECOND_PIECE)

    assert main(["office", "--form", form, "--yard", str(worked)]) == 0

    said = capsys.readouterr()
    assert f"NOT VERIFIED: row {SECOND_PIECE}" in (said.err if form == "csv" else said.out)


def test_a_backup_of_a_changed_ledger_says_so(worked: Path, tmp_path: Path, capsys: Capture) -> None:
    """The copy is made, since it may be the last one, and its status is 1."""
    flip(worked, SECOND_PIECE)

    assert main(["backup", str(tmp_path / "copy"), "--yard", str(worked)]) == 1

    assert f"NOT VERIFIED: row {SECOND_PIECE}" in capsys.readouterr().out


def test_the_paper_of_a_close_out_tells_it(worked: Path, clock: SteppingClock) -> None:
    """A handover signed over a changed row of an earlier run says NOT VERIFIED."""
    flip(worked, SECOND_PIECE)
    desk = Desk.open(worked, now=clock)

    paper = desk.closing.close_run("no scale").made.read_text(encoding="utf-8")
    desk.close()

    assert f"NOT VERIFIED: row {SECOND_PIECE}" in paper


def test_the_look_at_rest_finds_it(worked: Path) -> None:
    """While the keys rest the whole chain is looked along; what is found is a sentence."""
    assert look_at_rest(worked / "yard.sqlite3", lambda: False)[0] == newest(worked)
    flip(worked, SECOND_PIECE)
    assert f"Row {SECOND_PIECE} of the ledger" in str(look_at_rest(worked / "yard.sqlite3", lambda: False))


@pytest.mark.parametrize(
    "change",
    [
        "DROP TRIGGER ledger_never_changes",
        "CREATE TRIGGER strange AFTER INSERT ON ledger BEGIN SELECT 1; END",
    ],
)
def test_dropped_and_added_guards_are_found_at_the_start(store: Path, change: str) -> None:
    """A store without a guard, or with a trigger that does not belong there, is not worked on in silence."""
    with open_ledger(store) as ledger:
        ledger.open_run("Ada")
    with closing(sqlite3.connect(store)) as plain, plain:
        plain.execute(change)

    with pytest.raises(StoreDoubted, match="Trigger"):
        open_ledger(store)
    with Ledger.open(store, now=SteppingClock(), terminal="T1", go_on=True) as ledger:
        ledger.consent("Ada")
        ledger.add_piece(brass(), "Ada")
    open_ledger(store).close()


def test_kept_sums_of_the_bays_are_not_believed_when_changed(worked: Path, clock: SteppingClock) -> None:
    """The file beside the store only spares time: one changed figure in it, and the bays are read anew."""
    file = file_of(worked / "yard.sqlite3")
    text = file.read_text(encoding="utf-8")
    assert json.loads(text)["checksum"]
    desk = Desk.open(worked, now=clock)
    right = desk.bays.book.read()["STN"].mass_g
    desk.close()

    file.write_text(file.read_text(encoding="utf-8").replace("80000", "90000"), encoding="utf-8")
    desk = Desk.open(worked, now=clock)

    assert "90000" in file.read_text(encoding="utf-8")
    assert desk.bays.book.read()["STN"].mass_g == right == pytest.approx(80_000)
    desk.close()


def test_a_changed_row_is_asked_about_once(worked: Path, clock: SteppingClock, capsys: Capture) -> None:
    """Consent over a changed row holds for what it holds; changed again it is asked about again."""
    seq = newest(worked)
    flip(worked, seq)

    desk = Desk.open(worked, now=clock, go_on=True)
    desk.tally(desk.consider("20 304"))
    desk.close()

    Desk.open(worked, now=clock).close()
    assert main(["tally", "--yard", str(worked)]) == 0
    assert f"NOT VERIFIED: row {seq}" in " ".join(capsys.readouterr().out.split())
    change(worked, f"mass_g = mass_g + 1 WHERE seq = {seq}")
    with pytest.raises(StoreDoubted, match=f"Row {seq}: this row was changed"):
        Desk.open(worked, now=clock)


def test_the_only_backup_may_have_a_changed_row(worked: Path, tmp_path: Path, capsys: Capture) -> None:
    """A copy with a changed row is put back only when the number of such rows is said; reports tell it."""
    flip(worked, SECOND_PIECE)
    copy, on = tmp_path / "copy.sqlite3", ["--yard", str(worked)]
    assert main(["backup", str(copy), *on]) == 1
    (worked / "yard.sqlite3").unlink()
    capsys.readouterr()

    assert main(["restore", str(copy), *on]) == 2
    said = capsys.readouterr().err
    assert f"row {SECOND_PIECE}: this row was changed" in said
    assert "--unverified 1" in said
    assert not (worked / "yard.sqlite3").exists()
    assert main(["restore", str(copy), "--unverified", "2", *on]) == 2
    assert main(["restore", str(copy), "--unverified", "1", *on]) == 0
    assert main(["tally", *on]) == 0
    assert f"NOT VERIFIED: row {SECOND_PIECE}" in " ".join(capsys.readouterr().out.split())
