"""The full-screen console: wires the screens, opens the desk, leaves the terminal as it found it."""

import contextlib
import gc
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from textual import events, on, work
from textual.binding import Binding

from console import half_typed, terminal
from console.app_outfit import OutfitApp
from console.ground.cleaning import told
from console.ground.errors import BaywrightError
from console.panes.said_pane import Said
from console.screens import words
from console.screens.run_closed import RunClosed
from console.screens.sorting_screen import SortingScreen
from console.screens.too_small_screen import LEAST_HEIGHT, LEAST_WIDTH, TooSmallScreen

if TYPE_CHECKING:
    from console.desk import Desk

YARD_FILE = "yard.toml"
STORE_FILE = "yard.sqlite3"
SAVED = "saved-rows-%Y%m%d-%H%M%S.jsonl"
"""Name of the file that the rows of a damaged store are saved to."""
EXIT_SOFTWARE = 70
"""Exit status when the program failed by its own fault (sysexits.h, EX_SOFTWARE)."""
STOPPED = 130
"""Exit status after an interrupt from outside: 128 and the number of the signal."""
WANTS_NEW_YARD = -1
"""What `run` returns when a yard shall be made: its questions are asked without the full screen."""
REST_S = 0.5
"""Garbage is collected when the keys have rested for so long [s]: half a piece later nobody notices."""
GARBAGE_THRESHOLDS = (1_000, 100, 1_000)
"""When it is collected between two keys all the same: small portions, and in effect never all of it."""
FULL_EVERY = 20
"""Every so many rests all garbage is looked for, else the new one."""


class ConsoleApp(OutfitApp):
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

    def __init__(
        self,
        folder: Path,
        *,
        now: Callable[[], datetime],
        person: str | None = None,
        elapsed: Callable[[], float] | None = None,
    ) -> None:
        super().__init__(encoding=getattr(sys.__stderr__, "encoding", None))
        self.folder = folder
        self.desk: Desk | None = None
        self.failure = ""
        """Why the yard could not be opened; empty when it could."""
        self.wants_new_yard = False
        self.fault_told = ""
        """What to say of a fault of the program once the terminal is back; empty while there was none."""
        self.wanted: tuple[str, ...] = ()
        """A command to run once the terminal is back, in words; empty for none."""
        self._is_demo = False
        self._goes_on = False
        self._now = now
        self._elapsed = elapsed
        self._person = person
        self._half_typed = half_typed.HalfTypedLine(folder, self.set_timer)
        self._rests = 0
        self.sorting = SortingScreen()

    def on_mount(self) -> None:
        """Show the sorting screen; open the yard once it is painted."""
        terminal.end_on_signals(self.end_with)
        terminal.take_up_after_stop(self._driver)
        self.app_resume_signal.subscribe(self, lambda _: self.action_paint_again())
        self.push_screen(self.sorting)
        self.call_after_refresh(self.begin)

    def begin(self) -> None:
        """Follow the line from the first key on, and open the yard behind it."""
        if (self.folder / YARD_FILE).is_file():
            self._begin_in(self.folder)
            return
        from console.screens.no_yard import no_yard_screen

        self.push_screen(no_yard_screen(self.folder), self._begin_without_yard)

    def _begin_without_yard(self, wanted: str | None) -> None:
        from console.screens.no_yard import DEMO, NEW
        from console.yard.new.demo import open_demo

        if wanted == DEMO:
            with self._told_at_the_end():
                self._begin_in(open_demo())
                self._is_demo = True
        else:
            self.wants_new_yard = wanted == NEW
            self.exit(return_code=0)

    def _begin_in(self, folder: Path) -> None:
        self.folder = folder
        self._half_typed = half_typed.HalfTypedLine(folder, self.set_timer)
        self.watch(self.sorting.line, "value", self._half_typed.follow)
        self._rest = self.set_interval(REST_S, self._tidy_up, pause=True)
        self.watch(self.sorting.line, "value", self._rest.reset)
        self.open_desk()

    def _tidy_up(self) -> None:
        """Collect garbage while the keys rest: never between a key and what it paints."""
        self._rest.pause()
        self._rests += 1
        gc.collect(1 if self._rests % FULL_EVERY else 2)

    @work(thread=True, exclusive=True)
    def open_desk(self) -> None:
        """Import what is heavy and open yard and store, while the line already takes keys."""
        from console.desk import Desk
        from console.ledger.rows.errors import StoreDamaged, StoreDoubted

        try:
            desk = Desk.open(
                self.folder, now=self._now, person=self._person, go_on=self._goes_on, elapsed=self._elapsed
            )
            desk.warm_up()
            # The library lives as long as the program: without this every full collection scans it anew.
            gc.freeze()
            gc.set_threshold(*GARBAGE_THRESHOLDS)
        except (StoreDamaged, StoreDoubted) as error:
            self.call_from_thread(self.show_trouble, str(error), isinstance(error, StoreDoubted))
        except BaywrightError as error:
            self.call_from_thread(self.give_up, str(error))
        else:
            self.call_from_thread(self.take_desk, desk)

    def take_desk(self, desk: "Desk") -> None:
        """Begin to work with the open desk."""
        from console.ledger.keeping.space import space_warning
        from console.screens.bench import Bench

        self.desk = desk
        self.put_on(desk.yard.console)
        kept, beside = self._half_typed.take_back()
        if not desk.readings.take_back(beside):
            kept = ""  # it was tallied; the process ended before the line was kept anew
        self._half_typed.beside = desk.readings.on_line_as_text
        self.sorting.take_bench(Bench(desk, now=self._now))
        if kept and kept != self._half_typed.typed:
            self.sorting.put_back(kept)
        desk.ledger.journal.when_lost = self._stop_writing
        desk.ledger.journal.when_told = lambda said: self.sorting.say(Said(said))
        for sentence in desk.ledger.told_at_start:
            self.sorting.say(Said(sentence))
        if warning := space_warning(desk.ledger.path):
            self.sorting.say(Said(warning))
        self.look_along_chain(desk)
        if self._is_demo and not desk.sums().entries:
            self.sorting.action_tour()

    @work(thread=True, exclusive=True, group="chain")
    def look_along_chain(self, desk: "Desk") -> None:
        """Look along the whole chain while the keys rest; say what is not as it was written."""
        from console.ledger.keeping.chain_look import look_at_rest
        from console.ledger.rows.errors import StoreError

        with contextlib.suppress(StoreError):
            found = look_at_rest(desk.ledger.path, lambda: self.desk is not desk)
            if isinstance(found, str):
                self.call_from_thread(self.sorting.say, Said(found, is_refusal=True))
            else:
                desk.ledger.chain_seen = found

    @on(RunClosed)
    def show_handover(self, event: RunClosed) -> None:
        """Close the store and show what was handed over; the next run begins when it was read."""
        from console.screens.handover_screen import handover_of_closed_run
        from console.screens.next_run import ask_who

        people: tuple[str, ...] = ()
        if self.desk is not None:
            people = self.desk.yard.people
            self.desk.close()
        self.desk = self.sorting.bench = None
        self.pop_screen()
        self.push_screen(
            handover_of_closed_run(event.file), lambda _: ask_who(self, people, self._open_again)
        )

    def _open_again(self, person: str | None) -> None:
        self._person = person
        self.open_desk()

    def show_trouble(self, found: str, is_readable: bool) -> None:
        """Say what is wrong with the store, and offer what can be done about it."""
        from console.screens.store_trouble import copies_beside, trouble_screen

        copies = len(copies_beside(self.folder / STORE_FILE))
        self.failure = found
        self.push_screen(trouble_screen(found, is_readable=is_readable, copies=copies), self._treat)

    def _treat(self, chosen: str | None) -> None:
        from console.screens.store_trouble import (
            GO_ON,
            RESTORE,
            SALVAGE,
            VERIFY,
            copies_beside,
            copies_screen,
        )

        if chosen == GO_ON:
            self._goes_on, self.failure = True, ""
            self.open_desk()
        elif chosen == RESTORE:
            self.push_screen(copies_screen(copies_beside(self.folder / STORE_FILE)), self._restore)
        else:
            wanted = {VERIFY: ("verify",), SALVAGE: ("salvage", str(self.folder / f"{self._now():{SAVED}}"))}
            self.wanted = wanted.get(chosen or "", ())
            self.exit(return_code=1)

    def _restore(self, file: str | None) -> None:
        self.wanted = ("restore", file, "--overwrite") if file else ()
        self.exit(return_code=1)

    def _stop_writing(self, why: str) -> None:
        self.call_later(self.give_up, why)

    def give_up(self, reason: str) -> None:
        """End with the reason on the terminal, once the terminal is back as it was."""
        self.failure = reason
        self.exit(return_code=1)

    @contextmanager
    def _told_at_the_end(self) -> Iterator[None]:
        """End where the work inside cannot be done, and say why once the terminal is back as it was."""
        try:
            yield
        except BaywrightError as reason:
            self.failure = str(reason)
            # From whichever thread it was: ending only leaves a message.
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
        self.sorting.go_on_tour(open_screen=name)

    def _handle_exception(self, error: Exception) -> None:
        """Write the report of a fault and end; textual would print what people typed."""
        if not self.fault_told:
            from console.screens.crash_report import tell

            self.fault_told = tell(error, self.folder, size=self.size, at=self._now())
        self._return_code = EXIT_SOFTWARE
        if self._exception is None:
            self._exception = error
            self._exception_event.set()
        self._close_messages_no_wait()


def run(folder: Path, person: str | None = None) -> "int | tuple[str, ...]":
    """Open the console on a yard; return the exit status, or in words the command that is wanted then.

    WANTS_NEW_YARD when there is none and one is wanted, 0 after a quit, 1 when the yard cannot be opened,
    2 where there is no terminal, 70 after a fault of the program, 129 after a lost line, 143 after being
    told to end.
    """
    obstacle = terminal.why_not_here()
    if obstacle is not None:
        sys.stderr.write(obstacle + "\n")
        return 2
    terminal.forgive_broken_bytes()
    boot_time = getattr(time, "CLOCK_BOOTTIME", None)
    # Seconds of sleep count, where the system counts them: waking up is no setting of the clock.
    elapsed = time.monotonic if boot_time is None else lambda: time.clock_gettime(boot_time)
    with terminal.given_back():
        app = ConsoleApp(folder, now=lambda: datetime.now(UTC), person=person, elapsed=elapsed)
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
        sys.stderr.write("baywright: stopped from outside; the run is as it was, and so is the line\n")
    if app.failure:
        sys.stderr.write(f"baywright: {told(app.failure)}\n")
    return EXIT_SOFTWARE if app.return_code is None else app.return_code
