"""The yard that the console works in: opened behind the first picture, closed however the end comes."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from console.garbage import Garbage, spare_what_stays
from console.ground.errors import BaywrightError
from console.half_typed import HalfTypedLine
from console.office.beside import gather_beside
from console.panes.said_pane import Said
from console.store_trouble import StoreTrouble

if TYPE_CHECKING:
    from console.app import ConsoleApp
    from console.desk import Desk

YARD_FILE = "yard.toml"


class YardAtWork:
    """From a folder to an open desk, and from one run to the next."""

    def __init__(
        self,
        app: "ConsoleApp",
        folder: Path,
        *,
        now: Callable[[], datetime],
        person: str | None,
        elapsed: Callable[[], float] | None = None,
    ) -> None:
        self.folder = folder
        self.desk: Desk | None = None
        """None while it is opened, and between two runs."""
        self.half_typed = HalfTypedLine(folder, app.set_timer)
        self._app = app
        self._now = now
        self._elapsed = elapsed
        self._person = person
        self._is_demo = False
        self._aside: Desk | None = None
        """The real desk, while practice goes on at another one."""
        self._trouble = StoreTrouble(app, self)

    def begin(self) -> None:
        """Follow the line from the first key on, and open the yard behind it."""
        if (self.folder / YARD_FILE).is_file():
            self._begin_in(self.folder)
            return
        from console.screens.further.no_yard import no_yard_screen

        self._app.push_screen(no_yard_screen(self.folder), self._begin_without_yard)

    def _begin_without_yard(self, wanted: str | None) -> None:
        from console.screens.further.no_yard import DEMO, NEW
        from console.yard.new.demo import open_demo

        if wanted == DEMO:
            with self._told_at_the_end():
                self._begin_in(open_demo())
                self._is_demo = True
        else:
            self._app.wants_new_yard = wanted == NEW
            self._app.exit(return_code=0)

    def _begin_in(self, folder: Path) -> None:
        self.folder = folder
        self.half_typed = HalfTypedLine(folder, self._app.set_timer)
        garbage, line = Garbage(self._app.set_interval), self._app.sorting.line
        self._app.watch(line, "value", self.half_typed.follow)
        self._app.watch(line, "value", garbage.key_pressed)
        self.open_desk()

    def open_desk(self) -> None:
        """Open yard and store in a thread, while the line already takes keys."""
        self._app.run_worker(self._open_desk, thread=True, exclusive=True)

    def _open_desk(self) -> None:
        # Brings numpy and SQLite along: after the first picture.
        from console.desk import Desk, load_yard_and_library
        from console.ledger.rows.errors import StoreDamaged, StoreDoubted

        with self._told_at_the_end():
            try:
                desk = Desk.open(
                    self.folder,
                    now=self._now,
                    person=self._person,
                    go_on=self._trouble.goes_on,
                    elapsed=self._elapsed,
                )
            except (StoreDamaged, StoreDoubted) as error:
                # The yard was read before its store: what it wants of the screen holds for the bad news too.
                yard, _ = load_yard_and_library(self.folder)
                self._app.call_from_thread(self._app.put_on, yard.console)
                self._app.call_from_thread(self._trouble.show, error, self._now())
                return
            desk.piece.warm_up()
            spare_what_stays()
            self._app.call_from_thread(self._take_desk, desk)

    def _take_desk(self, desk: "Desk") -> None:
        from console.ledger.keeping.space import space_warning

        self.desk, sorting = desk, self._app.sorting
        self._app.put_on(desk.yard.console)
        kept, beside = self.half_typed.take_back()
        if not desk.readings.take_back(beside):
            kept = ""  # it was tallied; the process ended before the line was kept anew
        self.half_typed.beside = desk.readings.on_line_as_text
        sorting.take_desk(desk)
        if kept and kept != self.half_typed.typed:
            sorting.entering.put_back(kept)
        self._trouble.watch(desk)
        if warning := space_warning(desk.ledger.path):
            sorting.say(Said(warning))
        if self._app.practises:
            sorting.tour.when_over = lambda: self._app.exit()
            sorting.tour.practise()
        elif desk.left.is_due:
            self._app.action_open("left")
        elif self._is_demo and not desk.sums().entries:
            sorting.tour.begin()

    def work_at(self, desk: "Desk | None") -> None:
        """Let another desk serve for practice; None lets the real one serve again."""
        if desk is not None:
            self._aside, self.desk = self.desk, desk
        else:
            self.desk, self._aside = self._aside, None

    def end_run(self) -> tuple[str, ...]:
        """Close the store after a close-out; return who may work the next run."""
        people: tuple[str, ...] = ()
        if self.desk is not None:
            people = self.desk.yard.people
            self.desk.close()
            gather_beside(self.folder, self.desk.yard.office)
        self.desk = None
        self._app.sorting.wait_for_desk()
        self._app.sorting.run_sums.forget()
        return people

    def begin_next_run(self, person: str | None) -> None:
        """Open the next run for a person; None for the yard's first one."""
        self._person = person
        self.open_desk()

    def close(self) -> None:
        """Keep what was typed and close the store."""
        self.half_typed.keep_now()
        for desk in (self.desk, self._aside):
            if desk is not None:
                desk.close()

    @contextmanager
    def _told_at_the_end(self) -> Iterator[None]:
        """End where the work inside cannot be done, and say why once the terminal is back as it was."""
        try:
            yield
        except BaywrightError as reason:
            self._app.failure = str(reason)
            # From whichever thread it was: ending only leaves a message.
            self._app.exit(return_code=1)
