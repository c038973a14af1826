"""Supplier and load belong to the line: begun, shown, changed, ended there, or said later in the review."""

from pathlib import Path

import pytest

from console.desk.ticket_line import read_ticket_line
from console.reports.paperwork.purchase_sheet import purchase_sheet
from tests.driven.driving import NOON, SIZES, Driver, console


def loads(driver: Driver) -> list[tuple[str, str]]:
    """Return supplier and load of every piece, oldest first."""
    return [(one.supplier, one.load) for one in reversed(driver.desk.review.pieces())]


@pytest.mark.parametrize("size", SIZES)
async def test_the_line_begins_changes_and_ends_a_load(yard: Path, size: tuple[int, int]) -> None:
    """A line of its own says whose the pieces are; the header shows it."""
    async with console(yard, size=size) as driver:
        await driver.enter("12 304")
        await driver.type("from Old Mill load 7")
        assert "pieces from here on: from Old Mill load 7" in driver.picture()
        assert "weight still missing" not in driver.picture() and "nothing known yet" not in driver.picture()
        await driver.press("enter")
        assert "from Old Mill load 7" in driver.picture().splitlines()[0]
        await driver.enter("3 304")
        await driver.enter("load 8")
        await driver.enter("4 304")
        await driver.enter("from")
        assert "from Old" not in driver.picture().splitlines()[0]
        await driver.enter("5 304")

        assert loads(driver) == [("", ""), ("Old Mill", "7"), ("Old Mill", "8"), ("", "")]


@pytest.mark.parametrize("typed", ["load end", "End Load", "load ended", "from"])
async def test_a_load_ends_by_saying_so(yard: Path, typed: str) -> None:
    """No load is called "end": supplier and load end with it."""
    async with console(yard) as driver:
        await driver.enter("from Old Mill load 7")
        await driver.enter("3 304")
        await driver.enter(typed)
        assert "those before were from Old Mill load 7" in " ".join(driver.picture().split())
        await driver.enter("4 304")

        assert loads(driver) == [("Old Mill", "7"), ("", "")]


async def test_one_key_begins_changes_and_ends_a_load(yard: Path) -> None:
    """Ctrl L asks where none is known, and offers the end and the loads that are known after that."""
    async with console(yard) as driver:
        await driver.press("ctrl+l")
        await driver.enter("Old Mill load 7")
        await driver.enter("3 304")
        await driver.press("ctrl+l")
        await driver.enter("1")
        await driver.enter("4 304")
        await driver.press("ctrl+l")
        assert "from Old Mill load 7" in driver.picture()
        await driver.enter("1")
        await driver.enter("5 304")

        assert loads(driver) == [("Old Mill", "7"), ("", ""), ("Old Mill", "7")]


async def test_a_load_of_before_the_start_is_said_at_the_start(yard: Path) -> None:
    """A console that goes on with a load of earlier says so, in a sentence and in its header."""
    async with console(yard) as driver:
        await driver.enter("from Old Mill load 7")
        await driver.enter("3 304")
    async with console(yard) as driver:
        assert "go on from Old Mill load 7" in driver.picture()
        assert "from Old Mill load 7" in driver.picture().splitlines()[0]


@pytest.mark.parametrize(
    ("said", "goes_on"),
    [(("load 8",), "from Old Mill load 8"), (("load end",), ""), (("load end", "from Dock"), "from Dock")],
)
async def test_what_the_line_was_told_last_holds_after_the_start(
    yard: Path, said: tuple[str, ...], goes_on: str
) -> None:
    """A load begun, changed or ended is kept when the screen says so, with no piece after it."""
    async with console(yard) as driver:
        await driver.enter("from Old Mill load 7")
        await driver.enter("3 304")
        for line in said:
            await driver.enter(line)
    async with console(yard) as driver:
        assert driver.desk.loads.words == goes_on
        assert ("go on" in driver.picture()) == bool(goes_on)
        assert goes_on in driver.picture().splitlines()[0]


async def test_undo_takes_a_load_back_and_not_the_piece_before_it(yard: Path) -> None:
    """F4 behind a begun, changed or ended load: the load before counts again; F5 does it once more."""
    async with console(yard) as driver:
        await driver.enter("from Old Mill load 7")
        await driver.enter("3 304")
        await driver.enter("load end")
        await driver.press("f4")
        said = " ".join(driver.picture().split())
        assert "taken back: no supplier from here on; pieces from here on are from Old Mill load 7" in said
        assert "from Old Mill load 7" in driver.picture().splitlines()[0]
        await driver.press("f5")
        assert "from Old Mill" not in driver.picture().splitlines()[0]
        await driver.press("f4", "f4")
        assert [one.is_void for one in driver.desk.review.pieces()] == [True], "then the piece"
        await driver.press("f4")
        assert driver.desk.loads.words == ""
        await driver.press("f5", "f5")
        await driver.enter("4 304")

        assert loads(driver) == [("Old Mill", "7"), ("Old Mill", "7")]


async def test_a_load_said_again_is_no_act(yard: Path) -> None:
    """What counts already writes nothing: undo takes back the piece before it."""
    async with console(yard) as driver:
        await driver.enter("from Old Mill load 7")
        await driver.enter("3 304")
        await driver.enter("load 7")
        await driver.press("f4")

        assert [one.is_void for one in driver.desk.review.pieces()] == [True]


async def test_what_is_said_later_of_a_piece_begins_no_load(yard: Path) -> None:
    """A load said in the review, or a piece typed anew, marks nothing after the next start."""
    async with console(yard) as driver:
        await driver.enter("from Old Mill load 7")
        await driver.enter("3 304")
        await driver.enter("from")
        await driver.enter("4 304")
        await driver.press("f6", "down", "c", "end")
        await driver.enter(" x2")
        await driver.press("f6", "down", "l")
        await driver.enter("Dock load 9")
        assert loads(driver) == [("Old Mill", "7"), ("Dock", "9"), ("Old Mill", "7")]
    async with console(yard) as driver:
        assert "go on from" not in driver.picture()
        await driver.enter("5 304")

        assert loads(driver)[-1] == ("", "")


async def test_a_corrected_first_piece_keeps_the_load_going(yard: Path) -> None:
    """The line goes on with what it stood at, whatever became of the piece."""
    async with console(yard) as driver:
        await driver.enter("3 304")
        await driver.enter("from Old Mill load 7")
        await driver.enter("4 304")
        await driver.press("ctrl+p", "end")
        await driver.enter(" x2")
    async with console(yard) as driver:
        assert "go on from Old Mill load 7" in driver.picture()


async def test_a_corrected_piece_stays_with_its_load(yard: Path) -> None:
    """Ctrl P after the load has changed: the piece stays in the load that it came with."""
    async with console(yard) as driver:
        await driver.enter("from Old Mill load 7")
        await driver.enter("3 304")
        await driver.enter("from Dock")
        await driver.press("ctrl+p", "home", "delete", "4", "enter")

        [new] = [one for one in driver.desk.review.pieces() if not one.is_void]
        assert (new.mass_g, new.supplier, new.load) == (4_000, "Old Mill", "7")


async def test_the_review_says_whose_marked_and_filtered_pieces_are(yard: Path) -> None:
    """Marked pieces, filtered pieces, one piece: each gets its load; one undo takes the last of it back."""
    async with console(yard) as driver:
        for line in ("1 304", "2 304", "3 yellow brass", "4 yellow brass"):
            await driver.enter(line)
        await driver.press("f6", "space", "down", "space", "l")
        await driver.enter("Dock")
        assert loads(driver) == [("", ""), ("Dock", ""), ("", ""), ("Dock", "")]
        await driver.press("slash")
        await driver.enter("304")
        await driver.press("l")
        assert "2 pieces: whose load?" in driver.picture()
        await driver.enter("Old Mill load 7")
        both = [("Old Mill", "7"), ("Old Mill", "7"), ("", ""), ("Dock", "")]
        assert loads(driver) == both
        await driver.press("f4")
        assert loads(driver) == [("", ""), ("Dock", ""), ("", ""), ("Dock", "")]
        await driver.press("f5")
        assert loads(driver) == both


async def test_a_void_piece_gets_no_load(yard: Path) -> None:
    """l on it says why not; of several marked ones those that stand get it."""
    async with console(yard) as driver:
        for line in ("1 304", "2 304"):
            await driver.enter(line)
        await driver.press("f6", "v", "enter", "l")
        await driver.enter("Dock")
        assert "What is void belongs to no load" in driver.picture()
        await driver.press("space", "space", "l")
        await driver.enter("Dock")
        assert "1 piece: from Dock" in driver.picture()
        assert loads(driver) == [("Dock", ""), ("", "")]


async def test_loads_said_later_reach_close_out_and_purchase_sheet(yard: Path) -> None:
    """The difference of a load and its sheet count the pieces that were given to it, and who sorted them."""
    async with console(yard) as driver:
        await driver.enter("60 304")
        await driver.enter("40 304")
        await driver.press("f6", "space", "space", "l")
        await driver.enter("Old Mill load 7")
        await driver.press("escape", "f8")
        await driver.enter("150 50 from Old Mill load 7")
        [load] = driver.desk.closing.loads()
        sheet = purchase_sheet(driver.desk.ledger, driver.desk.yard, NOON, supplier="old mill", load="7")

        assert (load.supplier, load.load, load.difference.difference_g) == ("Old Mill", "7", 0)
        assert sum(line.mass_g for line in sheet.lines) == 100_000
        assert sheet.sorters == (driver.desk.person,)


async def test_a_load_known_of_one_supplier_alone_is_found_by_its_number(yard: Path) -> None:
    """Holt's ticket is there, so `load 7` is Holt's; once two have a load 7 the number names nobody."""
    async with console(yard) as driver:
        await driver.enter("2 304")
        await driver.press("f8")
        await driver.enter("60 20 scrap from gate")
        await driver.enter("60 20 from Holt load 7")
        await driver.enter("90 30 load 7")
        await driver.press("escape", "f6", "l")
        await driver.enter("load 7")
        await driver.press("escape")
        await driver.enter("from load 7")
        assert "from" not in driver.picture().splitlines()[0]
        await driver.enter("load 7")
        assert "from Holt load 7" in driver.picture().splitlines()[0]
        await driver.enter("3 304")
        await driver.enter("from Dock load 7")
        await driver.enter("4 304")
        await driver.enter("from")
        await driver.enter("load 7")
        await driver.enter("5 304")

        assert loads(driver) == [("Holt", "7"), ("Holt", "7"), ("Dock", "7"), ("", "7")]
        nets = {one.supplier: one.difference.net_g for one in driver.desk.closing.loads()}
        assert nets["Holt"] == 100_000
        tickets = driver.desk.ledger.connection.execute("SELECT body FROM ledger WHERE kind = 'ticket'")
        assert '"note":"scrap from gate"' in tickets.fetchone()[0]


def test_a_ticket_takes_a_load_only_from_words_that_name_one() -> None:
    """Words for a load count first behind the weights and never within a note; names need no marks."""
    plain = read_ticket_line("1240 360 blue truck, second load")
    named = read_ticket_line("1240 360 wet2% proveedor Old Mill carga 7; blue truck")

    assert (plain.supplier, plain.load, plain.note) == ("", "", "blue truck, second load")
    later = read_ticket_line("1240 360 blue truck from Holt load 7")
    assert (later.supplier, later.load, later.note) == ("", "", "blue truck from Holt load 7")
    assert (named.supplier, named.load, named.note, named.moisture) == ("Old Mill", "7", "blue truck", "2")
