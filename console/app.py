"""The full-screen console: wires the screens, opens the desk, leaves the terminal as it found it."""

import gc
import sys
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from textual import events, on, work
from textual.app import App
from textual.binding import Binding
from textual.filter import LineFilter

from console import half_typed, terminal, themes
from console.panes.plain_marks import TerminalSafe
from console.panes.said_pane import Said
from console.screens import words
from console.screens.key_names import printed
from console.screens.run_closed import RunClosed
from console.screens.sorting_screen import SortingScreen
from console.screens.too_small_screen import LEAST_HEIGHT, LEAST_WIDTH, TooSmallScreen

if TYPE_CHECKING:
    from console.desk import Desk

EXIT_SOFTWARE = 70
"""Exit status when the program failed by its own fault (sysexits.h, EX_SOFTWARE)."""
WARM_UP_LINE = "1.2kg 304 sheet m0 cr18.1 ni8.1 / fe71 ; note"
"""Considered once while opening: whatever is loaded on first use is loaded before the first key."""


class ConsoleApp(App[None]):
    """One yard on one terminal."""

    CSS_PATH = Path(__file__).with_name("theme.tcss")
    ENABLE_COMMAND_PALETTE = False
    BINDINGS = [
        Binding("f1", "open('help')", "Help", id="help", tooltip="all keys and the words of the entry line"),
        Binding("ctrl+q", "quit", "Quit", id="quit", priority=True, tooltip="leave; the run stays open"),
        Binding(
            "ctrl+l",
            "paint_again",
            "Repaint",
            id="repaint",
            show=False,
            tooltip="paint the whole screen again",
        ),
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
        self._half_typed = half_typed.HalfTypedLine(folder, self.set_timer)
        self.sorting = SortingScreen()
        self.animation_level = "none"
        for theme in themes.THEMES:
            self.register_theme(theme)
        self.theme = themes.NIGHT.name

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Return the colours of our own that every theme has."""
        return themes.VARIABLE_DEFAULTS

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Return the filters each painted line passes; the last one is the terminal's guard."""
        return [*super().get_line_filters(), self._safe]

    def on_mount(self) -> None:
        """Show the sorting screen; open the yard once it is painted."""
        terminal.end_on_signals(self.end_with)
        self.app_resume_signal.subscribe(self, lambda _: self.action_paint_again())
        self.push_screen(self.sorting)
        self.call_after_refresh(self.begin)

    def begin(self) -> None:
        """Follow the line from the first key on, and open the yard behind it."""
        self.watch(self.sorting.line, "value", self._half_typed.follow)
        self.open_desk()

    @work(thread=True, exclusive=True)
    def open_desk(self) -> None:
        """Import what is heavy and open yard and store, while the line already takes keys."""
        from console.desk import Desk, DeskRefusal
        from console.ledger.errors import StoreError
        from console.yard.errors import YardFileError
        from grade_library.errors import GradeDataError

        try:
            desk = Desk.open(self.folder, now=self._now, person=self._person)
            desk.consider(WARM_UP_LINE)
            # The library lives as long as the program: without this every full collection scans it anew.
            gc.freeze()
        except (YardFileError, StoreError, GradeDataError, DeskRefusal) as error:
            self.call_from_thread(self.give_up, str(error))
        else:
            self.call_from_thread(self.take_desk, desk)

    def take_desk(self, desk: "Desk") -> None:
        """Begin to work with the open desk."""
        from console.screens.bench import Bench

        self.desk = desk
        kept = self._half_typed.take_back()
        self.sorting.take_bench(Bench(desk, now=self._now))
        if kept and kept != self._half_typed.typed:
            self.sorting.put_back(kept)

    @on(RunClosed)
    def show_handover(self, event: RunClosed) -> None:
        """Close the store and show what was handed over; the next run begins when it was read."""
        from console.screens.handover_screen import handover_of_closed_run

        if self.desk is not None:
            self.desk.close()
        self.desk = self.sorting.bench = None
        self.pop_screen()
        self.push_screen(handover_of_closed_run(event.file), self._open_again)

    def _open_again(self, _: None) -> None:
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
        self._half_typed.keep_now()
        if self.desk is not None:
            self.desk.close()

    def on_resize(self, event: events.Resize) -> None:
        """Cover the screens with a sentence while the terminal is too small for them."""
        is_small = event.size.width < LEAST_WIDTH or event.size.height < LEAST_HEIGHT
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
        return printed(self.key_for(binding))

    def key_for(self, binding: Binding) -> str:
        """Return the keys of a binding as the yard has them, comma-separated."""
        return self.keys_of_yard.get(binding.id or "", binding.key)


def run(folder: Path, person: str | None = None) -> int:
    """Open the console on a yard; return the exit status.

    0 after a quit, 1 when the yard cannot be opened, 2 where there is no terminal, 70 after a fault of the
    program, 129 after a lost line, 143 after being told to end.
    """
    obstacle = terminal.why_not_here()
    if obstacle is not None:
        sys.stderr.write(obstacle + "\n")
        return 2
    terminal.forgive_broken_bytes()
    app = ConsoleApp(folder, now=lambda: datetime.now(UTC), person=person)
    app.run(mouse=False)
    terminal.let_go()
    if app.failure:
        sys.stderr.write(f"baywright: {app.failure}\n")
    return EXIT_SOFTWARE if app.return_code is None else app.return_code
