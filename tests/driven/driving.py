"""Works the real console with real keys, in a terminal that exists only in memory."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from pathlib import Path

from textual.pilot import Pilot

from console.app import ConsoleApp
from console.desk import Desk
from console.panes.plain_marks import plain

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
SIZES = [(80, 24), (110, 30), (160, 45)]
KEYS = {
    " ": "space",
    ".": "full_stop",
    ",": "comma",
    ";": "semicolon",
    "/": "slash",
    "<": "less_than_sign",
    "?": "question_mark",
    "@": "at",
    "[": "left_square_bracket",
    "]": "right_square_bracket",
    "=": "equals_sign",
}
"""Character -> what Textual calls its key."""


class Driver:
    """The console under test, its keys and its picture."""

    def __init__(self, app: ConsoleApp, pilot: Pilot[None]) -> None:
        self.app = app
        self.pilot = pilot

    @property
    def desk(self) -> Desk:
        """The desk behind the console."""
        assert self.app.desk is not None
        return self.app.desk

    @property
    def line(self) -> str:
        """What stands on the entry line."""
        return self.app.sorting.line.value

    async def type(self, text: str) -> None:
        """Type text, key by key."""
        await self.pilot.press(*[KEYS.get(character, character) for character in text])

    async def press(self, *keys: str) -> None:
        """Press keys by name."""
        await self.pilot.press(*keys)
        await self.pilot.pause()

    async def enter(self, line: str) -> None:
        """Type a line and press Enter."""
        await self.type(line)
        await self.press("enter")

    async def opened(self) -> None:
        """Wait until the desk is open."""
        for _ in range(400):
            if self.app.desk is not None or self.app.failure:
                break
            await self.pilot.pause(0.02)
        else:
            raise AssertionError("the yard did not open")
        await self.pilot.pause()

    def picture(self) -> str:
        """Return what the screen shows, one line a row."""
        rows = self.app.screen._compositor.render_strips()
        text = "\n".join("".join(segment.text for segment in row) for row in rows)
        return "\n".join(plain(row) for row in text.split("\n")) if self.app._safe.is_plain else text

    def bays(self) -> dict[str, tuple[int, int]]:
        """Return bay -> pieces and grams, from the ledger."""
        return {total.bay: (total.pieces, total.mass_g) for total in self.desk.sums().bays}


@asynccontextmanager
async def console(
    yard: Path,
    *,
    size: tuple[int, int] = (80, 24),
    person: str | None = None,
    can_fail: bool = False,
    waits: bool = True,
) -> AsyncIterator[Driver]:
    """Give a console that has opened its yard, or failed to where a test wants to see that.

    Where there is no yard to open, `waits` is False.
    """
    app = ConsoleApp(yard, now=lambda: NOON, person=person)
    async with app.run_test(size=size) as pilot:
        driver = Driver(app, pilot)
        if waits:
            await driver.opened()
        else:
            await pilot.pause(0.1)
        assert can_fail or not app.failure, app.failure
        yield driver
