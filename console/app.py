"""The full-screen console: wires the screens, opens the desk, leaves the terminal as it found it."""

import sys
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import App
from textual.binding import Binding
from textual.filter import LineFilter
from textual.timer import Timer

from console import half_typed, terminal, themes
from console.panes.plain_marks import TerminalSafe
from console.panes.said_pane import Said
from console.screens import words
from console.screens.run_closed import RunClosed
from console.screens.sorting_screen import SortingScreen
from console.screens.too_small_screen import LEAST_HEIGHT, LEAST_WIDTH, TooSmallScreen

if TYPE_CHECKING:
    from console.desk import Desk

EXIT_SOFTWARE = 70
"""Exit status when the program failed by its own fault (sysexits.h, EX_SOFTWARE)."""
KEEP_AFTER_S = 1.0
"""A half-typed line goes to disk when the keys have rested for so long [s]."""

WARM_UP_LINE = "1.2kg 304 sheet m0 cr18.1 ni8.1 / fe71 ; note"
"""Considered once while opening: whatever is loaded on first use is loaded before the first key."""
NAMES_OF_KEYS = {
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "up": "Up",
    "down": "Down",
    "enter": "Enter",
    "escape": "Esc",
    "tab": "Tab",
    "home": "Home",
    "end": "End",
}
"""Key as Textual calls it -> as it is printed on the keyboard."""


class ConsoleApp(App[None]):
    """One yard on one terminal."""

    CSS_PATH = Path(__file__).with_name("theme.tcss")
    ENABLE_COMMAND_PALETTE = False
    BINDINGS = [
        Binding("f1", "open('help')", "Help", id="help", tooltip="all keys and the words of the entry line"),
        Binding("ctrl+q", "quit", "Quit", id="quit", priority=True, tooltip="leave; the run stays open"),
        Binding("ctrl+l", "paint_again", "Repaint", id="repaint", show=False, tooltip="paint the whole screen again"),
    ]

    def __init__(self, folder: Path, *, now: Callable[[], datetime], person: str | None = None) -> None:
        super().__init__()
        self.folder = folder
        self.desk: Desk | None = None
        self.failure = ""
        """Why the yard could not be opened; empty when it could."""
        self.keys_of_yard: dict[str, str] = {}
        """Binding id -> keys, where the yard wants others than the usual ones."""
        self._now = now
        self._person = person
        self._safe = TerminalSafe(is_plain=terminal.is_plain(getattr(sys.__stderr__, "encoding", None)))
        self._keep_timer: Timer | None = None
        self._typed = ""
        """The line as it stands; the widgets are gone by the time it is kept."""
        self.sorting = SortingScreen()
        self.animation_level = "none"
        for theme in themes.THEMES:
            self.register_theme(theme)
        self.theme = themes.NIGHT.name

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Return the colours of our own that every theme has."""
        return themes.VARIABLE_DEFAULTS

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Return the filters each painted line passes; the last keeps control characters from the terminal."""
        return [*super().get_line_filters(), self._safe]

    def on_mount(self) -> None:
        """Show the sorting screen; open the yard once it is painted."""
        terminal.end_on_signals(self.end_with)
        self.app_resume_signal.subscribe(self, lambda _: self.action_paint_again())
        self.push_screen(self.sorting)
        self.call_after_refresh(self.open_desk)

    @work(thread=True, exclusive=True)
    def open_desk(self) -> None:
        """Import what is heavy and open yard and store, while the line already takes keys."""
        from console.desk import Desk
        from console.ledger.errors import StoreError
        from console.yard.errors import YardFileError
        from grade_library.errors import GradeDataError

        try:
            desk = Desk.open(self.folder, now=self._now, person=self._person)
            desk.consider(WARM_UP_LINE)
        except (YardFileError, StoreError, GradeDataError) as error:
            self.call_from_thread(self.give_up, str(error))
        else:
            self.call_from_thread(self.take_desk, desk)

    def take_desk(self, desk: "Desk") -> None:
        """Begin to work with the open desk."""
        from console.screens.bench import Bench

        self.desk = desk
        line = self.sorting.line
        self.sorting.take_bench(Bench(desk, now=self._now))
        kept = half_typed.kept(self.folder)
        if kept and not line.value:
            line.put(kept)
            self.sorting.say(Said(words.PUT_BACK))
        self._typed = line.value
        self.watch(line, "value", self._keep_soon, init=False)

    @on(RunClosed)
    def begin_next_run(self) -> None:
        """Close the store and open it again: the next run begins."""
        if self.desk is not None:
            self.desk.close()
            self.desk = None
        self.sorting.bench = None
        self.open_desk()

    def give_up(self, reason: str) -> None:
        """End with the reason on the terminal, once the terminal is back as it was."""
        self.failure = reason
        self.exit(return_code=1)

    def end_with(self, return_code: int) -> None:
        """End in good order: keep the half-typed line, close the store, give the terminal back."""
        self.exit(return_code=return_code)

    def on_unmount(self) -> None:
        """Keep what was typed and close the store, however the end came."""
        if self.desk is not None:
            half_typed.keep(self.folder, self._typed)
            self.desk.close()

    def on_resize(self) -> None:
        """Cover the screens with a sentence while the terminal is too small for them."""
        is_small = self.size.width < LEAST_WIDTH or self.size.height < LEAST_HEIGHT
        if is_small and not isinstance(self.screen, TooSmallScreen):
            self.push_screen(TooSmallScreen())
        elif not is_small and isinstance(self.screen, TooSmallScreen):
            self.pop_screen()

    def action_paint_again(self) -> None:
        """Paint everything, over whatever another program wrote on the terminal."""
        self.screen.refresh(layout=True)

    def action_open(self, name: str) -> None:
        """Open another screen over the sorting screen."""
        from console.screens.opening import screen_named

        if self.sorting.bench is None:
            self.sorting.say(Said(words.STILL_OPENING, is_refusal=True))
            return
        self.push_screen(screen_named(name, self.sorting))

    def get_key_display(self, binding: Binding) -> str:
        """Return a key as it is printed on the keyboard: F2, PgUp; ^Q is Ctrl held down with Q."""
        return " or ".join(_printed(key) for key in self.key_for(binding).split(","))

    def key_for(self, binding: Binding) -> str:
        """Return the keys of a binding as the yard has them, comma-separated."""
        return self.keys_of_yard.get(binding.id or "", binding.key)

    def _keep_soon(self, line: str) -> None:
        self._typed = line
        if self._keep_timer is not None:
            self._keep_timer.stop()
        self._keep_timer = self.set_timer(KEEP_AFTER_S, partial(half_typed.keep, self.folder, line))


def _printed(key: str) -> str:
    *modifiers, name = key.strip().split("+")
    shown = NAMES_OF_KEYS.get(name, name.upper() if name[1:].isdigit() or modifiers else name)
    return "".join("^" if modifier == "ctrl" else f"{modifier}+" for modifier in modifiers) + shown


def run(folder: Path, person: str | None = None) -> int:
    """Open the console on a yard; return the exit status.

    0 after a quit, 1 when the yard cannot be opened, 2 where there is no terminal, 129 and 143 after a lost line and
    after being told to end, 70 after a fault of the program.
    """
    obstacle = terminal.why_not_here()
    if obstacle is not None:
        sys.stderr.write(obstacle + "\n")
        return 2
    terminal.forgive_broken_bytes()
    app = ConsoleApp(folder, now=lambda: datetime.now(UTC), person=person)
    app.run(mouse=False)
    if app.failure:
        sys.stderr.write(f"baywright: {app.failure}\n")
    return EXIT_SOFTWARE if app.return_code is None else app.return_code
