"""Bays, uniform lots and check samples, key by key."""

from pathlib import Path

import pytest

from console.ledger.views.check_shots import check_shots
from console.ledger.views.downgrades import downgrades
from console.ledger.views.stock import stock
from console.yard.lots.uniform_lot import LotState
from tests.driven.driving import Driver, console

SIZES = [(80, 24), (120, 35)]


async def opened(driver: Driver, number: str) -> None:
    """Open a further screen by its number in the list of Ctrl F."""
    await driver.press("ctrl+f")
    await driver.enter(number)


@pytest.mark.parametrize("size", SIZES)
async def test_bays_show_stock_rules_and_chemistry(yard: Path, size: tuple[int, int]) -> None:
    """Three pages by key; the chemistry is read behind the page and then stands there."""
    async with console(yard, size=size) as driver:
        await driver.enter("100 6063 cu0.02 zn0.02 mg0.5 si0.4 al99 axc")
        await opened(driver, "2")
        assert "100.00 kg" in driver.picture() and "900.00 kg" in driver.picture()

        await driver.press("r")
        assert "grades have a place" in driver.picture()
        await driver.press("c")
        await driver.app.workers.wait_for_complete()
        await driver.pilot.pause()
        assert "kept" in driver.picture() and "Cu <=0.25" in driver.picture()
        assert all(len(row) == size[0] for row in driver.picture().splitlines())


@pytest.mark.parametrize("size", SIZES)
async def test_a_bale_is_drawn_down_with_tag_and_sheet(yard: Path, size: tuple[int, int]) -> None:
    """d, the bay, the weight, where to: a row, two files, the sheet on the screen; F4 takes it back."""
    async with console(yard, size=size) as driver:
        await driver.enter("100 6063 axc")
        await opened(driver, "2")
        await driver.press("d")
        await driver.enter("AXC")
        await driver.enter("60")
        await driver.enter("north buyer")
        assert "BALE T1-AXC-0001" in driver.picture()
        assert (yard / "bale-T1-AXC-0001.txt").is_file() and (yard / "bale-T1-AXC-0001.html").is_file()

        await driver.press("escape")
        assert "40.00 kg" in driver.picture() and "write T1-AXC-0001 on it" in driver.picture()
        await driver.press("f4")
        [axc] = [one for one in stock(driver.desk.ledger) if one.bay == "AXC"]
        assert axc.closing_g == 100_000


async def test_the_sheet_of_a_bale_that_was_taken_back_is_void_on_disk(yard: Path) -> None:
    """In its name and across its page, text and HTML; F5 makes it valid again, a restart changes nothing."""
    stem = "bale-T1-AXC-0001"
    async with console(yard) as driver:
        await driver.enter("100 6063 axc")
        await opened(driver, "2")
        await driver.press("d")
        await driver.enter("AXC")
        await driver.enter("60")
        await driver.enter("north buyer")
        await driver.press("escape")
        valid = {end: (yard / f"{stem}{end}").read_text("utf-8") for end in (".txt", ".html")}
        await driver.press("f4")
        assert "its sheet is marked void" in " ".join(driver.picture().split())
        assert not (yard / f"{stem}.txt").exists() and not (yard / f"{stem}.html").exists()
        text = (yard / f"{stem}.VOID.txt").read_text("utf-8").splitlines()
        at = [number for number, line in enumerate(text) if line.startswith("VOID  VOID")]
        assert max(b - a for a, b in zip(at, [*at[1:], len(text)], strict=True)) <= 7
        page = (yard / f"{stem}.VOID.html").read_text("utf-8")
        assert "position: fixed" in page and "<title>VOID " in page

        await driver.press("escape", "f5")
        assert {end: (yard / f"{stem}{end}").read_text("utf-8") for end in (".txt", ".html")} == valid
        assert not list(yard.glob("*.VOID.*"))
        await driver.press("f4")

    async with console(yard):
        assert sorted(one.name for one in yard.glob("bale-*")) == [f"{stem}.VOID.html", f"{stem}.VOID.txt"]


async def test_a_sheet_left_valid_by_a_killed_undo_is_void_at_the_next_start(yard: Path) -> None:
    """The row stands before the file is marked: a start brings the folder in line with the ledger."""
    async with console(yard) as driver:
        await driver.enter("100 6063 axc")
        sheet = driver.desk.bays.draw_down("AXC", "60", "north buyer").made.files[0]
        kept = sheet.read_text("utf-8")
        driver.desk.undo()
        sheet.with_name("bale-T1-AXC-0001.VOID.txt").unlink()
        sheet.write_text(kept, "utf-8")

    async with console(yard):
        assert not sheet.exists()
        assert (yard / "bale-T1-AXC-0001.VOID.txt").read_text("utf-8").startswith("VOID")


async def test_a_downgrade_is_entered_by_keys(yard: Path) -> None:
    """g, the bale, how much, what was found, what it cost: the handover has it, and F4 takes it back."""
    async with console(yard) as driver:
        await opened(driver, "2")
        await driver.press("g")
        assert "d takes a bale out first: nothing was taken out yet" in driver.picture()
        driver.desk.bays.draw_down("STN", "60", "north buyer")

        await driver.press("g")
        assert "T1-STN-0001" in driver.picture() and "60.00 kg" in driver.picture()
        await driver.enter("1")
        await driver.enter("much")
        assert "much" in driver.picture() and downgrades(driver.desk.ledger) == []

        stn = driver.desk.yard.bay("STN")
        usual = 20 * (stn.price_per_kg - stn.downgrade_per_kg)
        for answers, loss in ((("1",), usual), (("2", "84,50"), 84.5)):
            await driver.press("g")
            for answer in ("1", "20", "Cu 1.4 in the melt", *answers):
                await driver.enter(answer)
            assert downgrades(driver.desk.ledger)[-1].loss == pytest.approx(loss)
        assert "20.00 kg of bale T1-STN-0001 downgraded" in driver.picture()
        assert "Cu 1.4 in the melt" in driver.desk.closing.handover_so_far()

        await driver.press("f4")
        assert [one.mass_g for one in downgrades(driver.desk.ledger)] == [20_000]
        assert "downgrade:g" in driver.picture() and "help:F1" in driver.picture()


async def test_the_usual_loss_is_not_shown_where_money_is_hidden(yard: Path) -> None:
    """A yard with show_money = false sees what the loss is reckoned by, not the sum."""
    file = yard / "yard.toml"
    text = file.read_text(encoding="utf-8").replace("show_money = true", "show_money = false")
    file.write_text(text, encoding="utf-8")
    async with console(yard) as driver:
        driver.desk.bays.draw_down("STN", "60", "north buyer")
        await opened(driver, "2")
        await driver.press("g")
        for answer in ("1", "20", "Cu 1.4 in the melt"):
            await driver.enter(answer)
        assert "selling less downgrade price" in driver.picture()
        assert driver.desk.yard.currency not in driver.picture()


@pytest.mark.parametrize("size", SIZES)
async def test_a_lot_is_led_through_its_draws_and_tallied(yard: Path, size: tuple[int, int]) -> None:
    """n, what and how many; y after y until it passes; w, one weight: one entry of all pieces."""
    async with console(yard, size=size) as driver:
        await opened(driver, "3")
        assert "No lot yet" in driver.picture()
        await driver.press("n")
        await driver.enter("6061")
        await driver.enter("24 rows of 6")
        await driver.press("enter")
        assert "check now" in driver.picture() and "row" in driver.picture()

        for _ in range(24):
            [lot] = driver.desk.lots.all().values()
            if lot.state is not LotState.GO_ON:
                break
            await driver.press("y")
        assert "UNIFORM" in driver.picture()
        await driver.press("w")
        await driver.enter("812kg")
        [piece] = driver.desk.review.pieces()
        assert (piece.pieces, piece.mass_g) == (24, 812_000)


async def test_a_wrong_piece_changes_the_plan_and_can_be_taken_back(yard: Path) -> None:
    """x with what it is: not uniform, no weight is taken; b makes the same piece due again."""
    async with console(yard) as driver:
        await opened(driver, "3")
        await driver.press("n")
        await driver.enter("6061")
        await driver.enter("24")
        await driver.press("enter", "x")
        await driver.enter("7075")
        assert "NOT UNIFORM" in driver.picture() and "WRONG 7075" in driver.picture()
        await driver.press("w")
        await driver.enter("812kg")
        assert "NOT DONE" in driver.picture() and driver.desk.review.pieces() == []

        await driver.press("b")
        assert "check now" in driver.picture()


async def test_a_count_that_is_none_is_refused_in_words(yard: Path) -> None:
    """Nothing is begun."""
    async with console(yard) as driver:
        await opened(driver, "3")
        await driver.press("y")
        assert "n begins a lot first" in driver.picture()
        await driver.press("n")
        await driver.enter("6061")
        await driver.enter("many")
        assert "is no count" in driver.picture()
        assert driver.desk.lots.all() == {}


@pytest.mark.parametrize("size", SIZES)
async def test_a_check_shot_is_entered_and_charted(yard: Path, size: tuple[int, int]) -> None:
    """n and a reading: the state follows, the chart has its point; F4 takes the shot back."""
    async with console(yard, size=size) as driver:
        await opened(driver, "4")
        assert "analyser overdue" in driver.picture()
        await driver.press("n")
        await driver.enter("cr16.8 ni10.2 mo2.1 mn1.5")
        assert "analyser in control" in driver.picture() and "element  known" in driver.picture()
        assert len(check_shots(driver.desk.ledger)) == 1

        await driver.press("f4")
        assert check_shots(driver.desk.ledger) == []
