"""Sorting line by line and sorting on the screen are one thing said in two ways."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

from console.commands.shift.by_line.session import LineByLine
from console.desk import Desk
from console.desk.piece.next_question import Asks, Questions
from tests.console.desk.test_next_question import LINES
from tests.driven.driving import console


async def test_the_console_and_the_lines_answer_alike(yard: Path, tmp_path: Path) -> None:
    """Each line is tallied by both or by neither, into the same bay, and asks for the same words."""
    desk = Desk.open(Path(shutil.copytree(yard, tmp_path / "lines")), now=lambda: datetime.now(UTC))
    session = LineByLine(desk)
    async with console(yard) as driver:
        for line, wanted in LINES:
            before = desk.sums().entries, driver.desk.sums().entries
            said = session.answer(line)
            await driver.type(line)
            await driver.press("enter")
            more = desk.sums().entries - before[0], driver.desk.sums().entries - before[1]
            assert more[0] == more[1], (line, said)
            if wanted in (Asks.WORD, Asks.WEIGHT):
                asked = Questions().next(desk, desk.consider(line)).say
                assert asked in said
                assert asked[:60] in driver.picture().replace("\n", " ")
            driver.app.sorting.line.clear()
            session.answer("leave")
        assert desk.sums().bays == driver.desk.sums().bays
    desk.close()
