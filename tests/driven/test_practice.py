"""Practice: the tour and invented pieces with known answers, and nothing in the ledger."""

from pathlib import Path

from console.desk.shifts.practice_pieces import PIECES
from console.ledger.rows.queries import rows_where
from console.screens.frames.text_screen import TextScreen
from console.screens.sorting.tour import STEPS
from tests.driven.driving import Driver, console
from tests.driven.pty_session import PtySession


def rows_of(driver: Driver) -> int:
    return len(rows_where(driver.desk.ledger, "seq > 0"))


def report(driver: Driver) -> str:
    """Return the page that ends practice."""
    assert isinstance(driver.app.screen, TextScreen)
    return " ".join(driver.app.screen._text.plain.split())


async def begin_pieces(driver: Driver) -> None:
    """Begin with the practice pieces, by the list of further acts."""
    await driver.press("ctrl+f")
    await driver.enter("practice")


async def test_practice_asks_known_pieces_and_says_what_was_taken_for_what(yard: Path) -> None:
    """Right and wrong, keys and seconds; one passed over; afterwards the real run is as it was."""
    async with console(yard) as driver:
        await driver.enter("7 cub")
        rows, folder = rows_of(driver), driver.desk.yard.folder
        await begin_pieces(driver)
        assert "PRACTICE 1 of 10: 12.4 kg of bright sheet" in " ".join(driver.picture().split())
        assert "7.00" not in driver.picture() and driver.desk.yard.folder != folder
        await driver.enter("12.4 304")
        await driver.press("f10")
        assert "PRACTICE  3 of 10" in driver.picture()
        await driver.enter("2 316")
        for piece in PIECES[3:]:
            await driver.enter(piece.answer)

        text = report(driver)
        assert "8 of 9 pieces in the right bay. Keys per piece" in text
        assert "Right: it is stainless 304; taken for 304" in text
        assert 'typed "12.4 304". 9 keys, 0.0 s. 2.' in text
        assert 'typed "25 c11000 bus". 14 keys, 0.0 s. Shorter, and the same: "25c11000.b", 11 keys.' in text
        assert "Passed over. It is aluminium 6063: AXC." in text
        assert "WRONG, it belongs in FER: it is plated steel; taken for 316" in text
        await driver.press("escape")
        assert (rows_of(driver), driver.bays()) == (rows, {"CUB": (1, 7_000)})
        assert "PRACTICE" not in driver.picture() and "1 piece" in driver.picture()


async def test_a_practice_piece_that_is_taken_back_is_asked_again(yard: Path) -> None:
    """F4 works as at the bench, and so does the correction of the last piece."""
    async with console(yard) as driver:
        await begin_pieces(driver)
        await driver.enter("12.4 cub")
        assert "PRACTICE  2 of 10" in driver.picture()
        await driver.press("f4")
        assert "PRACTICE  1 of 10" in driver.picture()
        await driver.enter("12.4 304")
        assert "PRACTICE  2 of 10" in driver.picture()


async def test_no_step_of_the_tour_can_stall(yard: Path) -> None:
    """The key of the tour passes every step whatever was done, and then the pieces follow."""
    async with console(yard) as driver:
        rows = rows_of(driver)
        await driver.press("f10")
        for number in range(1, len(STEPS) + 1):
            assert f"{number} of {len(STEPS)}, practice:" in driver.picture()
            await driver.press("f10")
        assert "PRACTICE  1 of 10" in driver.picture()
        for _ in PIECES:
            await driver.press("f10")
        assert "Passed over" in report(driver)
        await driver.press("escape")
        assert rows_of(driver) == rows


async def test_the_pieces_of_the_tour_are_practice_pieces(yard: Path) -> None:
    """What is tallied in the walk is nowhere afterwards, and the line at hand is still there."""
    async with console(yard) as driver:
        rows = rows_of(driver)
        await driver.type("3.3 lead")
        await driver.press("f10")
        await driver.press("ctrl+u")
        await driver.enter("12.4 304")
        await driver.press("f8", "f8")
        await driver.enter("no scale today")
        await driver.enter("Ilse")
        assert "Leave the practice first" in driver.picture()
        await driver.press("escape", "escape")

        assert (rows_of(driver), driver.bays(), driver.line) == (rows, {}, "3.3 lead")
        assert "nothing of it is kept" in driver.picture()


async def test_every_known_answer_has_a_bay_of_the_demo_yard(yard: Path) -> None:
    """The answers are placed without doubt about the line, all but one off hold."""
    async with console(yard) as driver:
        considered = [driver.desk.consider(piece.answer) for piece in PIECES]

        assert [one.parsed.problems for one in considered] == [()] * len(PIECES)
        bays = [one.placement.bay.code for one in considered if one.placement]
        assert bays == ["STN", "AXC", "FER", "CUB", "STM", "LDS", "HLD", "YBR", "ACM", "FER"]


def test_the_command_practises_on_a_terminal_and_leaves_the_yard_alone(yard: Path) -> None:
    """The pieces come at once; Esc ends them with the page, and then the program; no store is made."""
    before = sorted(yard.iterdir())
    session = PtySession(["-m", "console.cli", "practice", "--yard", str(yard)])
    try:
        session.wait_for("PRACTICE  1 of 10")
        session.send("12.4 304\r")
        session.wait_for("PRACTICE  2 of 10")
        session.send("\x1b")
        session.wait_for("1 of 1 piece in the right bay")
        session.send("\r")
        assert session.end() == 0
    finally:
        session.close()

    assert sorted(yard.iterdir()) == before
