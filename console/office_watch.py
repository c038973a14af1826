"""All yards on the full screen: read only, drawn anew when rows come to the office."""

import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Static
from textual.worker import get_current_worker

from console import terminal
from console.ground.dates import local, local_day_and_time, local_time, midnight
from console.office.address import Address
from console.office.errors import OfficeError
from console.office.picture import Picture
from console.office.watching import watched
from console.outfit import OutfittedApp
from console.reports.paperwork.picture_report import picture_sections

TITLE = "all yards"
KEYS = "up down page: scroll   ctrl+q: quit   (nothing can be changed here)"
EMPTY = "No rows yet: they come when a terminal gathers (baywright gather)."
AWAY = "The office is away since {since}; tried again by itself. {why}"
AWAITED = "asking the office ..."
AHEAD = timedelta(days=365)


class OfficeWatch(OutfittedApp):
    """The picture of all yards, followed."""

    CSS = """
    Screen { background: $background; color: $foreground; }
    #title, #keys { height: 1; padding: 0 1; background: $panel; }
    #away { height: auto; padding: 0 1; text-style: reverse; display: none; }
    #page { height: 1fr; padding: 0 1; scrollbar-size-vertical: 0; }
    #picture { height: auto; width: 100%; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+q,q", "quit", "Quit", priority=True)]

    @dataclass
    class Seen(Message):
        """Posted when the office was asked: its picture, or why there is none."""

        picture: Picture | None
        why: str = ""

    def __init__(self, address: Address, *, now: Callable[[], datetime] = lambda: datetime.now(UTC)) -> None:
        super().__init__()
        self._address, self._now = address, now
        self._away_since = ""

    def compose(self) -> ComposeResult:
        """Give the title, what is wrong with the office if anything, the picture and the keys."""
        yield Static(TITLE, id="title", markup=False)
        yield Static("", id="away", markup=False)
        with VerticalScroll(id="page"):
            yield Static(AWAITED, id="picture", markup=False)
        yield Static(KEYS, id="keys", markup=False)

    def on_mount(self) -> None:
        """Begin to follow the office."""
        self.query_one("#page").focus()
        self._follow()

    @work(thread=True)
    def _follow(self) -> None:
        worker = get_current_worker()
        start = midnight(local(self._now()).date() - timedelta(days=1))
        for seen in watched(self._address, lambda: worker.is_cancelled, start=start, end=self._now() + AHEAD):
            if isinstance(seen, OfficeError):
                self.post_message(self.Seen(None, str(seen)))
            else:
                self.post_message(self.Seen(seen))

    @on(Seen)
    def show(self, event: "OfficeWatch.Seen") -> None:
        """Draw what the office answered; where it is away the last picture stays, and that is said."""
        away = self.query_one("#away", Static)
        away.display = event.picture is None
        if event.picture is None:
            self._away_since = self._away_since or local_time(self._now())
            away.update(Content(AWAY.format(since=self._away_since, why=event.why)))
            return
        self._away_since = ""
        width = max(60, self.query_one("#page").size.width - 2)
        text = picture_sections(event.picture, width) if event.picture.terminals else EMPTY
        self.query_one("#picture", Static).update(Content(text))
        self.query_one("#title", Static).update(
            Content(f"{TITLE}   as of {local_day_and_time(event.picture.at)}")
        )


def watch(address: Address) -> int:
    """Show all yards until the person leaves; return the exit status, 2 where there is no terminal."""
    obstacle = terminal.why_not_here()
    if obstacle is not None:
        sys.stderr.write(obstacle + "\n")
        return 2
    terminal.outlast_the_line()
    with terminal.given_back():
        app = OfficeWatch(address)
        app.run(mouse=False)
    terminal.let_go()
    return app.return_code or 0
