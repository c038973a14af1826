"""Works the real console with real keys, in a terminal that exists only in memory."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from pathlib import Path

from textual import events
from textual.keys import _character_to_key
from textual.pilot import Pilot

from console.app import ConsoleApp
from console.desk import Desk
from console.drawing.plain_marks import plain

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
SIZES = [(80, 24), (110, 30), (160, 45)]
MOST_ROUNDS = 500
"""A program that is not at rest after so many looks at its queues will never be."""


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
        """Type text as fast as the line takes it."""
        for character in text:
            self._send(character if character.isalnum() else _character_to_key(character), character)
        await self.at_rest()

    async def press(self, *keys: str) -> None:
        """Press keys by name, each once the one before has done all that it does."""
        for key in keys:
            self._send(key, key if len(key) == 1 else None)
            await self.at_rest()

    def _send(self, key: str, character: str | None) -> None:
        event = events.Key(key, character)
        event.set_sender(self.app)
        assert self.app._driver is not None
        self.app._driver.send_message(event)

    async def at_rest(self) -> None:
        """Wait until every message is dealt with and everything is painted; threads may still be at work.

        By the state of the queues and not by the clock: Pilot takes a program for idle that has only not had
        its turn on a busy machine, and waits 40 ms a key on an idle one.
        """
        quiet = 0
        for _ in range(MOST_ROUNDS):
            if not await self.pilot._wait_for_screen():
                return  # the program ends
            screen = self.app.screen
            screen._on_timer_update()
            nodes = [self.app, *screen.walk_children(with_self=True)]
            quiet = quiet + 1 if not any(node.message_queue_size for node in nodes) else 0
            if quiet == 3:
                return
        raise AssertionError("the console never comes to rest")

    async def threads_done(self) -> None:
        """Wait until no thread works any more, and what they brought is painted."""
        for _ in range(MOST_ROUNDS):
            if all(worker.is_finished for worker in self.app.workers):
                break
            await self.pilot.pause(0.01)
        await self.at_rest()

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
        await self.at_rest()

    def picture(self) -> str:
        """Return what the screen shows, one line a row."""
        rows = self.app.screen._compositor.render_strips()
        text = "\n".join("".join(segment.text for segment in row) for row in rows)
        return "\n".join(plain(row) for row in text.split("\n")) if self.app.outfit.safe.is_plain else text

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
