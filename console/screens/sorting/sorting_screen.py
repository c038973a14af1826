"""The screen a shift is worked on: one line in, candidates, placement and bays out."""

from operator import attrgetter
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult

from console.panes.said_pane import Said
from console.screens.frames.acting import STILL_OPENING, OpeningDesk, StillOpening, refused
from console.screens.frames.console_screen import ConsoleScreen
from console.screens.frames.kept_answers import answers_of
from console.screens.keys.sorting import CHANGE_THE_LINE, SORTING_KEYS
from console.screens.sorting.advice import Advice
from console.screens.sorting.completion import Completion
from console.screens.sorting.correction import Correction
from console.screens.sorting.entering import Entering
from console.screens.sorting.marks import Marks
from console.screens.sorting.panes import SortingPanes
from console.screens.sorting.questions import Questions
from console.screens.sorting.readings import OfferedReadings
from console.screens.sorting.run_sums import RunSums
from console.screens.sorting.showing import Showing
from console.screens.sorting.tour import Tour

if TYPE_CHECKING:
    from console.desk import Consideration, Desk


class SortingScreen(ConsoleScreen):
    """Holds desk, line and piece at hand; what keys do and what is shown is the business of its parts."""

    CSS_PATH = "sorting_screen.tcss"
    AUTO_FOCUS = "#line"
    BINDINGS = SORTING_KEYS
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide"), (150, "-broad")]
    VERTICAL_BREAKPOINTS = [(0, "-short"), (29, "-tall"), (40, "-lofty")]

    def __init__(self) -> None:
        super().__init__()
        self.desk: Desk | OpeningDesk = OpeningDesk()
        self.considered: Consideration | None = None
        """None until the desk is open."""
        self.panes = SortingPanes()
        self.line = self.panes.entry.line
        self.showing = Showing(self)
        self.run_sums = RunSums(self)
        self.entering = Entering(self)
        self.correction = Correction(self)
        self.completion = Completion(self)
        self.marks = Marks(self.line)
        self.readings = OfferedReadings(self)
        self.questions = Questions(self)
        self.advice = Advice(self)
        self.tour = Tour(self)

    def compose(self) -> ComposeResult:
        """Every pane in its place."""
        yield from self.panes.laid_out()

    def on_mount(self) -> None:
        """Follow the line as it is typed; watching its value repaints in the same frame as the key."""
        self.screen_layout_refresh_signal.subscribe(self, lambda _: self.showing.draw_above_warnings())
        self.watch(self.line, "value", self.consider, init=False)
        self.line.when_entered = self.entering.enter
        self.line.when_completing = self.completion.finish
        self.line.when_shortened = self.entering.tell_of_lines_left
        self.watch(self.panes.candidates, "selected", self.showing.explain, init=False)
        self.show_keys()

    def show_keys(self) -> None:
        """Name the keys where they are spoken of; let those that change the line act in their turn."""
        super().show_keys()
        bound = {key: active.binding for key, active in self.active_bindings.items()}
        changing = {key: one.action for key, one in bound.items() if one.id in CHANGE_THE_LINE}
        self.line.at_once = {key: f"screen.{action}" for key, action in changing.items()}
        self.panes.warnings.key = self.key_names["cautions"]

    @property
    def is_open(self) -> bool:
        """Whether there is a desk to work at."""
        return not isinstance(self.desk, OpeningDesk)

    def take_desk(self, desk: "Desk") -> None:
        """Begin to consider, now that the desk is open."""
        self.desk = desk
        self.show_keys()
        self.run_sums.begin(desk.yard)
        self.show_sums()
        self.entering.enter_waiting()
        self.consider(self.line.value)
        self.readings.watch()

    def wait_for_desk(self) -> None:
        """The run is closed; keys are refused until the next one is open."""
        self.desk, self.considered = OpeningDesk(), None

    def at_hand(self) -> "Consideration":
        """Return the piece at hand.

        Raises:
            StillOpening: The desk is not open yet.
        """
        if self.considered is None:
            raise StillOpening(STILL_OPENING)
        return self.considered

    def consider(self, line: str) -> None:
        """Show what the line says, what the piece can be and where it goes."""
        considered = self.desk.consider(self.entering.in_full(line))
        if considered is not None:
            self.considered = considered
            self.readings.follow(line)
            self.showing.show(considered)
            self.advice.follow(considered)
            self.panes.said.forget_refusal()
            self.tour.look()

    def action_do(self, act: str, *arguments: Any) -> None:
        """Do what a key of the tables stands for: "part.act", a method of one of the parts."""
        try:
            attrgetter(act)(self)(*arguments)
        except StillOpening as why:
            self.say(refused(why))

    def say(self, said: Said) -> None:
        """Show one sentence until the next; a refusal only until the line changes, and news after it."""
        answers_of(self).hear(said)
        self.panes.said.say(said)

    def acted(self, said: Said) -> None:
        """Say what an act came to, and show the sums that it changed."""
        self.say(said)
        self.show_sums()

    def show_sums(self) -> None:
        """Show the tally as it stands in the ledger."""
        if self.is_open:
            sums = self.run_sums.show()
            self.readings.show()
            self.tour.look(sums)

    def on_screen_resume(self) -> None:
        """Another screen may have voided or moved a piece."""
        self.show_sums()

    def on_resize(self) -> None:
        """Fill what the new size has room for, once it is laid out."""
        self.call_after_refresh(self.showing.fill_room)
