"""The full-screen console: wires the screens, leaves the terminal as it found it."""

import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from textual import events, on
from textual.binding import Binding, BindingType

from console import terminal
from console.ground.cleaning import told
from console.ground.in_rows import in_rows
from console.outfit import OutfittedApp
from console.panes.said_pane import Said
from console.screens.close_out.run_closed import RunClosed
from console.screens.frames.acting import STILL_OPENING, attempt
from console.screens.frames.console_screen import ConsoleScreen
from console.screens.frames.too_small_screen import LEAST_HEIGHT, LEAST_WIDTH, TooSmallScreen
from console.screens.keys.printed import printed
from console.screens.sorting.sorting_screen import SortingScreen
from console.yard_at_work import YardAtWork

if TYPE_CHECKING:
    from console.desk import Desk, Done
    from console.yard.file.console_settings import ConsoleSettings

EXIT_SOFTWARE = 70
"""Exit status when the program failed by its own fault (sysexits.h, EX_SOFTWARE)."""
STOPPED = 130
"""Exit status after an interrupt from outside: 128 and the number of the signal."""
WANTS_NEW_YARD = -1
"""What `run` returns when a yard shall be made: its questions are asked without the full screen."""
NEXT_RUN = "The next run begins: who works it?"

APP_KEYS: list[BindingType] = [
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
"""Keys on every screen."""


class ConsoleApp(OutfittedApp):
    """One yard on one terminal."""

    CSS_PATH = Path(__file__).with_name("theme.tcss")
    BINDINGS = APP_KEYS

    def __init__(
        self,
        folder: Path,
        *,
        now: Callable[[], datetime],
        person: str | None = None,
        elapsed: Callable[[], float] | None = None,
    ) -> None:
        super().__init__()
        self.failure = ""
        """Why the yard could not be opened; empty when it could."""
        self.wants_new_yard = False
        self.wanted: tuple[str, ...] = ()
        """A command to run once the terminal is back, in words; empty for none."""
        self.fault_told = ""
        """What to say of a fault of the program once the terminal is back; empty while there was none."""
        self._now = now
        self.sorting = SortingScreen()
        self.yard = YardAtWork(self, folder, now=now, person=person, elapsed=elapsed)
        self.practises = False
        """Opened for practice alone: ends with it."""
        self.sorting.tour.when_at = self.yard.work_at

    def on_mount(self) -> None:
        """Show the sorting screen; open the yard once it is painted."""
        self.app_resume_signal.subscribe(self, lambda _: self.action_paint_again())
        self.push_screen(self.sorting)
        self.call_after_refresh(self.yard.begin)

    def on_unmount(self) -> None:
        """Keep what was typed and close the store, however the end came."""
        self.yard.close()

    @property
    def desk(self) -> "Desk | None":
        """The open desk; None while it is opened."""
        return self.yard.desk

    @on(RunClosed)
    def show_handover(self, event: RunClosed) -> None:
        """Show what was handed over; the next run begins when it was read."""
        from console.screens.close_out.handover_page import handover_of_closed_run
        from console.screens.frames.asking import names
        from console.screens.frames.pick_screen import PickScreen

        people = self.yard.end_run()
        self.pop_screen()
        page, begin = handover_of_closed_run(event.file), self.yard.begin_next_run
        who = PickScreen(names(people), title=NEXT_RUN)
        self.push_screen(page, lambda _: self.push_screen(who, begin))

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

        if self.desk is None:
            self.sorting.say(Said(STILL_OPENING, is_refusal=True))
            return
        self.push_screen(screen_named(name, self.desk, self.sorting))
        self.sorting.tour.look(open_screen=name)

    def action_undo(self) -> None:
        """Take back the last act, from whichever screen."""
        self._act(lambda: self.sorting.desk.undo())

    def action_redo(self) -> None:
        """Take back the last undo."""
        self._act(lambda: self.sorting.desk.redo())

    def _act(self, act: "Callable[[], Done[None]]") -> None:
        if isinstance(self.screen, ConsoleScreen):
            self.screen.acted(attempt(act))

    def put_on(self, settings: "ConsoleSettings") -> None:
        """Take on what a yard wants.

        Raises:
            RemapError: A key cannot be given to an action.
        """
        must_repaint = self.outfit.take(settings, type(self).BINDINGS)
        self.set_keymap(self.outfit.keys)
        self.theme = settings.theme
        if must_repaint:
            for widget in self.screen.walk_children(with_self=True):
                widget.refresh()

    @property
    def flashes(self) -> bool:
        """True where a warning is shown by a flash instead of a sound."""
        return self.outfit.bell == "flash"

    def bell(self) -> None:
        """Call for attention the way the yard wants it; a flash is the business of the screen."""
        if self.outfit.bell == "sound":
            super().bell()

    def get_key_display(self, binding: Binding) -> str:
        """Return a key as it is printed on the keyboard: F2, PgUp, Ctrl Q."""
        return printed(self.outfit.keys.get(binding.id or "", binding.key))

    def _handle_exception(self, error: Exception) -> None:
        """Write the report of a fault and end; textual would print what people typed."""
        if not self.fault_told:
            from console.crash_report import tell

            self.fault_told = tell(error, self.yard.folder, size=self.size, at=self._now())
        self._return_code = EXIT_SOFTWARE
        if self._exception is None:
            self._exception = error
            self._exception_event.set()
        self._close_messages_no_wait()


def run(folder: Path, person: str | None = None, *, practises: bool = False) -> "int | tuple[str, ...]":
    """Open the console on a yard; return the exit status, or in words the command that is wanted then.

    WANTS_NEW_YARD when there is none and one is wanted, 0 after a quit, 1 when the yard cannot be opened,
    2 where there is no terminal, 70 after a fault of the program, 129 after a lost line, 143 after being
    told to end.
    """
    obstacle = terminal.why_not_here()
    if obstacle is not None:
        sys.stderr.write(obstacle + "\n")
        return 2
    terminal.outlast_the_line()
    boot_time = getattr(time, "CLOCK_BOOTTIME", None)
    # Seconds of sleep count, where the system counts them: waking up is no setting of the clock.
    elapsed = time.monotonic if boot_time is None else lambda: time.clock_gettime(boot_time)
    with terminal.given_back():
        app = ConsoleApp(folder, now=lambda: datetime.now(UTC), person=person, elapsed=elapsed)
        app.practises = practises
        app.run(mouse=False)
    terminal.let_go()
    if app.fault_told:
        sys.stderr.write(app.fault_told)
        return EXIT_SOFTWARE
    if app.wants_new_yard:
        return WANTS_NEW_YARD
    if app.wanted:
        return app.wanted
    if app.return_code == STOPPED:
        _say_at_the_end("baywright: stopped from outside; the run is as it was, and so is the line")
    if app.failure:
        _say_at_the_end(f"baywright: {told(app.failure)}")
    return EXIT_SOFTWARE if app.return_code is None else app.return_code


def _say_at_the_end(text: str) -> None:
    """Tell the person once the terminal is as it was."""
    sys.stderr.write(f"{in_rows(text, sys.stderr)}\n")
