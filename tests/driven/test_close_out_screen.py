"""The close-out step by step: tickets with deductions, loads, holds, words, signature."""

from pathlib import Path

import pytest

from console.ledger.rows.queries import LedgerReader, rows_where
from console.screens.review.review_screen import ReviewScreen
from tests.driven.driving import Driver, console

SIZES = [(80, 24), (120, 35)]


def close_row(yard: Path) -> dict[str, object]:
    """Return person and body of the newest close row."""
    with LedgerReader.open(yard / "yard.sqlite3") as reader:
        row = rows_where(reader, "kind = 'close'")[-1]
    return {"person": row.person, **row.body}


async def one_piece_and_two_holds(driver: Driver) -> None:
    """Enter what the tests close."""
    for line in ("100 304", "2 ?", "3 ?"):
        await driver.enter(line)


@pytest.mark.parametrize("size", SIZES)
async def test_tickets_with_deductions_and_loads_are_shown(yard: Path, size: tuple[int, int]) -> None:
    """Two loads: each against its own ticket, the deduction said beside the ticket."""
    async with console(yard, size=size) as driver:
        driver.desk.piece.begin_load("Mill", "7")
        await driver.enter("100 304")
        await driver.press("f8")
        await driver.enter("210 100 wet0% dirt10 from Mill load 7; blue truck")
        await driver.enter("50 20 from Dock")

        tickets = driver.desk.sums().tickets
        assert [(one.supplier, one.load, one.clean_g) for one in tickets] == [
            ("Mill", "7", 100_000),
            ("Dock", "", 30_000),
        ]
        picture = driver.picture()
        assert "Mill 7" in picture and "10.00 kg dirt" in picture
        assert "OUTSIDE" in picture and "inside" in picture

        await driver.press("f7")
        assert "tolerance" in driver.picture() and "ticket 1, gross" in driver.picture()


@pytest.mark.parametrize("size", SIZES)
async def test_holds_carried_over_words_and_signature(yard: Path, size: tuple[int, int]) -> None:
    """F8: carry all, give the words that are missing, sign as somebody else: closed, all of it in the row."""
    async with console(yard, size=size) as driver:
        await one_piece_and_two_holds(driver)
        await driver.press("f8", "f8")
        assert "2 pieces still on hold" in driver.picture()
        await driver.enter("1")
        assert "Enter gross and tare, or say" in driver.picture()
        await driver.enter("scale is being mended")
        assert "Who signs" in driver.picture()
        await driver.enter("Marit")

        assert "HANDOVER" in driver.picture()
        row = close_row(yard)
        assert row["person"] == "Marit" and row["explanation"] == "scale is being mended"
        assert row["carried_holds"] == ["T1-H1", "T1-H2"]


async def test_holds_one_by_one_are_signed_for_in_words(yard: Path) -> None:
    """The first is signed for, the second carried; the handover names the first with its words."""
    async with console(yard) as driver:
        await one_piece_and_two_holds(driver)
        await driver.press("f8")
        await driver.enter("205 100")
        await driver.press("f8")
        await driver.enter("2")
        await driver.enter("2")
        await driver.enter("too rusty to read")
        await driver.enter("1")
        await driver.press("enter")

        assert close_row(yard)["figures"]["signed_for"] == {"T1-H1": "too rusty to read"}
        [file] = yard.glob("handover-*.txt")
        assert "too rusty to read" in file.read_text(encoding="utf-8")


async def test_holds_can_be_resolved_from_the_close_out(yard: Path) -> None:
    """The review opens with the holds first; a resolved one no longer asks."""
    async with console(yard) as driver:
        await one_piece_and_two_holds(driver)
        await driver.press("f8", "f8")
        await driver.enter("3")
        assert isinstance(driver.app.screen, ReviewScreen) and "holds first" in driver.picture()
        await driver.press("r")
        await driver.enter("cr18.2 ni8.1 fe71.5 mn1.5 si0.4")
        await driver.press("enter", "f6", "f8")
        assert "1 piece still on hold" in driver.picture()


async def test_escape_at_any_step_leaves_the_run_open(yard: Path) -> None:
    """Nothing is closed until a name has signed."""
    async with console(yard) as driver:
        await one_piece_and_two_holds(driver)
        await driver.press("f8", "f8", "escape")
        await driver.press("f8")
        await driver.enter("1")
        await driver.press("escape")

        assert not driver.desk.run().is_closed
        assert not list(yard.glob("handover-*.txt"))


async def test_totals_of_many_bays_fit_the_smallest_screen(yard: Path) -> None:
    """F2 in the close-out: every bay of the run with its weight, the worth and the total, whole at 80x24."""
    async with console(yard) as driver:
        for bay in driver.desk.yard.bays:
            await driver.enter(f"1.25 lead {bay.code.lower()}")
        await driver.press("f8", "f2")
        picture = driver.picture()
        assert all(f"{bay.code}  " in picture for bay in driver.desk.yard.bays)
        assert "worth EUR" in picture and "compared with nothing" in picture
        assert f"{1.25 * len(driver.desk.yard.bays):.2f} kg" in picture
