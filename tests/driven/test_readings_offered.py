"""Files dropped into the folder for readings, offered on the sorting screen."""

import asyncio
import contextlib
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from console.ledger.rows.queries import rows_where
from console.ledger.rows.reading_rows import READINGS
from console.ledger.rows.rows import RowKind
from console.panes.piece.entry_pane import EntryPane
from console.readings.taken_rows import TakenRows, TakenRowsError
from tests.driven.driving import SIZES, Driver, console

HEADER = "piece,Cr,Ni\n"
TWO = HEADER + "A1,18.2,8.1\nA2,17.1,10.9\n"


@pytest.fixture(autouse=True)
def quick_looks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Look often, and take a file for written when two looks found it the same; else tests would wait."""
    monkeypatch.setattr("console.screens.sorting.readings.LOOK_AGAIN_S", 0.15)
    monkeypatch.setattr("console.readings.files.STILL_S", 0.0)


@pytest.fixture
def folder(yard: Path) -> Path:
    return yard / "readings"


async def until(driver: Driver, holds: Callable[[], bool]) -> None:
    """Wait until something holds, for five seconds at most."""
    for _ in range(250):
        if holds():
            await driver.pilot.pause()
            return
        await driver.pilot.pause(0.02)
    raise AssertionError(f"it did not come about:\n{driver.picture()}")


async def looks(driver: Driver, number: int = 3) -> None:
    """Wait until the folder was looked into a few times more."""
    assert driver.desk.readings.watch is not None
    watch, seen = driver.desk.readings.watch, 0
    last = watch.last

    def is_over() -> bool:
        nonlocal seen, last
        if watch.last is not last:
            seen, last = seen + 1, watch.last
        return seen >= number

    await until(driver, is_over)


def sign(driver: Driver) -> str:
    return driver.app.sorting.query_one(EntryPane).waiting


def held(driver: Driver) -> list[list[str]]:
    """Return what the ledger keeps of readings with each piece, as the file calls the pieces."""
    rows = rows_where(driver.desk.ledger, "kind = ?", (RowKind.PIECE.value,))
    return [[reading["piece"] for reading in row.body.get(READINGS, [])] for row in rows]


@pytest.mark.parametrize("size", SIZES)
async def test_a_dropped_file_is_offered_and_goes_with_its_piece(
    yard: Path, folder: Path, size: tuple[int, int]
) -> None:
    """The border says so; the key puts the shots behind the weight; Enter tallies; the next one waits."""
    async with console(yard, size=size) as driver:
        assert sign(driver) == ""
        await driver.type("12.4")
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver) == "2 readings waiting, next A1: Ins")
        assert "2 readings waiting, next A1: Ins" in driver.picture()
        assert driver.line == "12.4"

        await driver.press("insert")
        assert driver.line == "12.4 cr=18.2 ni=8.1 "
        assert sign(driver) == "A1 on the line, 1 more: Ins"
        assert "A1 (a.csv, line 2): 1 shot put on the line" in driver.picture()
        await driver.press("enter")

        assert sign(driver) == "1 reading waiting, next A2: Ins"
        assert driver.line == ""
        assert held(driver) == [["A1"]]
        assert [*driver.bays().values()] == [(1, 12_400)]


async def test_a_half_written_line_waits(yard: Path, folder: Path) -> None:
    """ "17" may become "17.1": what has an end is offered, the rest when it has one."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO[:-4], encoding="utf-8")
        await until(driver, lambda: sign(driver) == "1 reading waiting, next A1: Ins")
        await looks(driver)
        assert sign(driver) == "1 reading waiting, next A1: Ins"

        (folder / "a.csv").write_text(TWO, encoding="utf-8")

        await until(driver, lambda: sign(driver) == "2 readings waiting, next A1: Ins")


async def test_nothing_comes_twice(yard: Path, folder: Path) -> None:
    """The same file again, grown, under another name, and after a restart: only what is new is offered."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver).startswith("2 readings"))
        await driver.press("insert")
        await driver.enter("3")
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        (folder / "b.csv").write_text(TWO + "A3,16,0.3\n", encoding="utf-8")
        await until(driver, lambda: sign(driver) == "2 readings waiting, next A2: Ins")
        await looks(driver)
        assert sign(driver) == "2 readings waiting, next A2: Ins"
        assert "2 of its rows came in a.csv before" in driver.picture()
    async with console(yard) as driver:
        await until(driver, lambda: sign(driver) == "2 readings waiting, next A2: Ins")
        await looks(driver)
        assert sign(driver) == "2 readings waiting, next A2: Ins"


async def test_a_kill_right_after_the_tally(yard: Path, folder: Path) -> None:
    """The piece was on disk when the process died, the journal not: the reading is not offered again."""
    journal = yard / "readings-taken.jsonl"
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver).startswith("2 readings"))
        await driver.type("2 ")
        await driver.press("insert", "enter")
        await until(driver, journal.exists)
    journal.unlink()
    async with console(yard) as driver:
        await until(driver, lambda: sign(driver) == "1 reading waiting, next A2: Ins")


async def test_a_half_typed_line_keeps_its_reading_over_a_restart(yard: Path, folder: Path) -> None:
    """Not tallied: it stands on the line again, and is not offered beside it."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver).startswith("2 readings"))
        await driver.type("2")
        await driver.press("insert")
    async with console(yard) as driver:
        assert driver.line == "2 cr=18.2 ni=8.1 "
        await until(driver, lambda: sign(driver) == "A1 on the line, 1 more: Ins")
        await driver.press("enter")

        assert held(driver) == [["A1"]]
        assert sign(driver) == "1 reading waiting, next A2: Ins"


async def test_a_half_typed_line_is_tallied_before_the_folder_is_there(yard: Path, folder: Path) -> None:
    """The drive is away at the start: the line of last time takes its reading with it all the same."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver).startswith("2 readings"))
        await driver.type("2")
        await driver.press("insert")
    away = folder.rename(yard / "away")
    async with console(yard) as driver:
        assert sign(driver) == "A1 on the line"
        await driver.press("enter")
        away.rename(folder)

        await until(driver, lambda: sign(driver) == "1 reading waiting, next A2: Ins")
        await looks(driver)
        assert sign(driver) == "1 reading waiting, next A2: Ins"


async def test_a_line_that_was_tallied_before_the_kill_is_not_put_back(yard: Path, folder: Path) -> None:
    """Killed within a second of Enter, the half-typed line is still on disk; the ledger knows better."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver).startswith("2 readings"))
        await driver.type("2")
        await driver.press("insert")
        driver.app.yard.half_typed.keep_now()
        kept = (yard / "yard.half-typed").read_bytes()
        await driver.press("enter")
    (yard / "yard.half-typed").write_bytes(kept)
    async with console(yard) as driver:
        assert driver.line == ""
        await until(driver, lambda: sign(driver) == "1 reading waiting, next A2: Ins")


async def test_undo_and_redo(yard: Path, folder: Path) -> None:
    """F4 lets the reading wait again, F5 takes it again."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver).startswith("2 readings"))
        await driver.press("insert")
        await driver.enter("2")
        await driver.press("f4")
        assert sign(driver) == "2 readings waiting, next A1: Ins"
        await driver.press("f5")
        assert sign(driver) == "1 reading waiting, next A2: Ins"


async def test_a_void_in_the_review_is_seen_on_the_way_back(yard: Path, folder: Path) -> None:
    """A reading given back in the review is offered again on the sorting screen."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver).startswith("2 readings"))
        await driver.press("insert")
        await driver.enter("2")
        await driver.press("f6", "v")
        await driver.enter("twice")
        await driver.press("f6")

        assert sign(driver) == "2 readings waiting, next A1: Ins"


async def test_a_missing_folder_is_said_once_and_taken_up(yard: Path, folder: Path) -> None:
    """The sentence names the folder and what to do; a later sentence stays; the border keeps the state."""
    folder.rmdir()
    async with console(yard, size=(110, 30)) as driver:
        await until(driver, lambda: "news There is no folder" in driver.picture())
        assert sign(driver) == "readings from files: stopped, F9 says why"
        await driver.enter("12.4 304")
        await looks(driver)
        assert "There is no folder" not in driver.picture()
        folder.mkdir()
        await until(driver, lambda: "can be read again" in driver.picture())
        assert "done 12.40 kg -> STN" in driver.picture(), "news leave the last act in sight"
        (folder / "a.csv").write_text(TWO, encoding="utf-8")

        await until(driver, lambda: sign(driver) == "2 readings waiting, next A1: Ins")


async def test_a_bad_file_is_said_and_stops_no_other(yard: Path, folder: Path) -> None:
    """Name, line and what would be right; the good rows and files are offered; the page keeps it."""
    (folder / "bad.csv").write_text("piece,Cr\nB1,x\nB2,17\n", encoding="utf-8")
    (folder / "good.csv").write_text(TWO, encoding="utf-8")
    async with console(yard, size=(110, 30)) as driver:
        await until(driver, lambda: sign(driver).startswith("3 readings"))
        assert 'news bad.csv: line 2: Cr "x": needs a number' in driver.picture()
        await driver.enter("12.4 304")
        await driver.press("f9")
        await driver.enter("could not be read")

        page = driver.picture()
        assert 'bad.csv: line 2: Cr "x": needs a number' in page
        assert "A1  cr=18.2 ni=8.1  (good.csv, line 2)" in page


async def test_news_does_not_cover_why_a_key_did_nothing(yard: Path, folder: Path) -> None:
    """A refusal stays until the line changes; then the news stands there."""
    async with console(yard) as driver:
        await driver.enter("304")
        assert "NOT DONE" in driver.picture()
        (folder / "bad.csv").write_text("piece,Cr\nB1,x\n", encoding="utf-8")
        await until(driver, lambda: bool(driver.desk.readings.watch and driver.desk.readings.watch.findings))
        await looks(driver)
        assert "NOT DONE" in driver.picture()
        await driver.type(" ")

        assert "news bad.csv: line 2" in driver.picture()


async def test_a_row_that_nobody_mends_is_news_at_the_first_start_only(yard: Path, folder: Path) -> None:
    """The next start is quiet about it, and the page of the readings still has it."""
    (folder / "bad.csv").write_text("piece,Cr\nB1,x\nB2,17\n", encoding="utf-8")
    for is_first in (True, False):
        async with console(yard) as driver:
            await until(driver, lambda: sign(driver) == "1 reading waiting, next B2: Ins")
            await looks(driver)
            assert ("news bad.csv: line 2" in driver.picture()) is is_first
            await driver.press("f9")
            await driver.enter("could not be read")
            assert 'bad.csv: line 2: Cr "x": needs a number' in driver.picture()


async def test_two_shots_one_ground_from_a_file_with_semicolons_and_commas(yard: Path, folder: Path) -> None:
    """Decimal commas, headings of the yard's own, columns to ignore; the ground shot comes as one."""
    (folder / "b.csv").write_text(
        "Piece No;Operator;Spot ground;Ni;Cr;Cu;Zn\n"
        "T 7;Tavi;no;77,2;13,8;6,1;2,7\nT 7;Tavi;yes;0,1;;58,4;38,6\n",
        encoding="utf-8",
    )
    async with console(yard) as driver:
        await until(driver, lambda: sign(driver) == "1 reading waiting, next T 7: Ins")
        await driver.type("3,1")
        await driver.press("insert")

        assert driver.line == "3,1 ni=77.2 cr=13.8 cu=6.1 zn=2.7 // cu=58.4 zn=38.6 ni=0.1 "
        assert driver.app.sorting.considered is not None
        shots = driver.app.sorting.considered.parsed.facts.shots
        assert [shot.is_ground for shot in shots] == [False, True]


async def test_a_named_technique_comes_through(yard: Path, folder: Path) -> None:
    """A technique that the file names stands on the line with its reading."""
    (folder / "c.csv").write_text("piece,technique,Cr,Ni\nC,lab,18.2,8.1\n", encoding="utf-8")
    async with console(yard) as driver:
        await until(driver, lambda: sign(driver).startswith("1 reading"))
        await driver.press("insert")

        assert driver.line == "cr=18.2 ni=8.1 lab "


async def test_what_files_say_is_text(yard: Path, folder: Path) -> None:
    """Marks, escape sequences and file names of any kind are shown as they are, on every place they show."""
    name = "[red]x[_red] [@click=app.quit]\x1b[31m.csv"
    safe = name.replace("\x1b", "\ufffd")
    (folder / name).write_text("piece,Cr,Ni\n[b]\x1b[31mP[/b,18.2,8.1\nQ[/],x,1\n", encoding="utf-8")
    async with console(yard, size=(110, 30)) as driver:
        await until(driver, lambda: sign(driver).startswith("1 reading"))
        assert "next [b]\ufffd[31mP[/b: Ins" in driver.picture()
        assert f"news {safe}: line 3" in driver.picture()
        for keys in (["insert"], ["f9"]):
            await driver.press(*keys)
        await driver.enter("set aside")
        assert "[b]\ufffd[31mP[/b  cr=18.2" in driver.picture()
        await driver.press("enter")
        assert "reading of [b]\ufffd[31mP[/b go to no piece?" in driver.picture()
        await driver.enter("[/red]")
        assert "set aside: [/red]" in driver.picture()
        await driver.press("f9")
        await driver.enter("could not be read")
        assert f"{safe}: line 3" in driver.picture()
        assert "\x1b" not in driver.picture()


async def test_a_reading_on_the_line_is_set_aside_with_a_reason(yard: Path, folder: Path) -> None:
    """It leaves the line and the queue, the weight stays; F4 lets it wait again."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver).startswith("2 readings"))
        await driver.type("2")
        await driver.press("insert", "f9")
        await driver.enter("set aside")
        await driver.press("enter")
        await driver.enter("shot on the table")
        assert driver.line == "2"
        assert sign(driver) == "1 reading waiting, next A2: Ins"
        assert "set aside: shot on the table" in driver.picture()
        await driver.press("f4")

        assert sign(driver) == "2 readings waiting, next A1: Ins"


async def test_a_reading_of_ones_choice(yard: Path, folder: Path) -> None:
    """Any reading that waits can be put on the line by its name."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver).startswith("2 readings"))
        await driver.press("f9")
        await driver.enter("choose reading")
        await driver.enter("A2")

        assert driver.line == "cr=17.1 ni=10.9 "


async def test_a_correction_keeps_its_reading(yard: Path, folder: Path) -> None:
    """The weight of the last piece is mended; its reading stays with it."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver).startswith("2 readings"))
        await driver.type("2")
        await driver.press("insert", "enter", "ctrl+p", "home", "delete", "3", "enter")

        assert held(driver) == [["A1"], ["A1"]]
        assert [*driver.bays().values()] == [(1, 3_000)]
        assert sign(driver) == "1 reading waiting, next A2: Ins"


async def test_a_key_of_the_yards_own(yard: Path, folder: Path) -> None:
    """The remapped key acts and is the one that the border names."""
    file = yard / "yard.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(f'{text}\n[console]\nkeys = {{ next-reading = "f11" }}\n', encoding="utf-8")
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver) == "2 readings waiting, next A1: F11")
        await driver.press("f11")

        assert driver.line == "cr=18.2 ni=8.1 "


async def test_without_a_folder_nothing_runs(yard: Path) -> None:
    """No thread, no journal, no sign; the key says how to set one."""
    file = yard / "yard.toml"
    lines = file.read_text(encoding="utf-8").splitlines(keepends=True)
    file.write_text("".join(line for line in lines if not line.startswith('folder = "')), encoding="utf-8")
    async with console(yard, size=(110, 30)) as driver:
        await driver.press("insert")

        assert "Write folder under [readings_files]" in driver.picture()
        assert driver.desk.readings.watch is None
        assert not [one for one in driver.app.workers if one.group == "readings"]
        assert not list(yard.glob("readings-taken*"))


async def test_nothing_waits_is_said(yard: Path) -> None:
    """The key for a reading says so where none waits."""
    async with console(yard) as driver:
        await driver.press("insert")

        assert "No reading waits" in driver.picture()


async def test_a_slow_folder_holds_up_no_key_and_no_end(
    yard: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While a look hangs, lines are tallied, and the console can end; its lock is free afterwards."""
    goes_on, hangs = threading.Event(), threading.Event()

    def slow(_: object) -> list[object]:
        hangs.set()
        goes_on.wait(10)
        return []

    monkeypatch.setattr("console.readings.files.WatchedFolder.poll", slow)
    async with console(yard) as driver:
        await until(driver, hangs.is_set)
        await driver.enter("12.4 304")
        assert [*driver.bays().values()] == [(1, 12_400)]
    with pytest.raises(TakenRowsError):
        TakenRows.open(yard / "readings-taken.jsonl")
    goes_on.set()
    for _ in range(250):
        await asyncio.sleep(0.02)
        with contextlib.suppress(TakenRowsError):
            TakenRows.open(yard / "readings-taken.jsonl").close()
            return
    raise AssertionError("the look did not let go of its lock")


async def test_the_next_run_goes_on_with_what_waits(yard: Path, folder: Path) -> None:
    """The run is closed with a reading waiting; the next one offers it, and only it."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text(TWO, encoding="utf-8")
        await until(driver, lambda: sign(driver).startswith("2 readings"))
        await driver.type("12.4")
        await driver.press("insert", "enter", "f8")
        await driver.enter("112.4 100")
        await driver.press("f8", "enter", "escape")
        await driver.enter("Jory")
        await driver.opened()
        await driver.enter("seen")
        assert "0 pieces" in driver.picture()

        await until(driver, lambda: sign(driver) == "1 reading waiting, next A2: Ins")
        await looks(driver)
        assert sign(driver) == "1 reading waiting, next A2: Ins"


async def test_rows_that_cannot_be_read_are_told_where_a_reading_was_looked_for(
    yard: Path, folder: Path
) -> None:
    """ "No reading waits" says that there would be some, and where it stands why not."""
    async with console(yard) as driver:
        (folder / "a.csv").write_text("Piece No,magnet,Cr\nK9,m7,18\n", encoding="utf-8")
        readings = driver.desk.readings
        await until(driver, lambda: readings.watch is not None and bool(readings.watch.findings))
        await driver.press("insert")

        said = " ".join(driver.picture().split())
        assert "No reading waits. 1 thing in the files could not be read: F9, then readings" in said
