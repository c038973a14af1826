"""The best sale: what goes to which order, why something stays, and consignments made of it by a key."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.ground.errors import BaywrightError
from console.panes.said_pane import Said
from console.screens.frames.acting import attempt, refused
from console.screens.frames.acts_page import ActsPage, ActsScreen
from console.screens.keys.further import PLAN_KEYS

if TYPE_CHECKING:
    from console.desk import Desk
    from console.yard.selling.apart import Search
    from console.yard.selling.plan import SalePlan

TITLE = "Best sale, each limit kept at {confidence:.0%}"
LOOKING = "Looking for the best sale, {seconds:g} s at most; the keys go on, {key[plan-leave]} leaves."
NO_PLAN = "There is no plan yet to make consignments of."
CONFIDENCES = (0.8, 0.9, 0.95, 0.99)
USUAL = 0.95
SECONDS = (2.0, 10.0, 60.0)
"""For the search, one after the other by a key [s]."""


class PlanScreen(ActsScreen):
    """A plan is a page; the search runs beside the keys."""

    BINDINGS = PLAN_KEYS

    def __init__(self, desk: "Desk") -> None:
        super().__init__(desk)
        self._confidence = USUAL
        self._seconds = SECONDS[0]
        self._search: Search | None = None
        self._plan: SalePlan | None = None

    def on_mount(self) -> None:
        """Begin to look."""
        self.action_look()

    def on_unmount(self) -> None:
        """Nobody waits for the answer any more."""
        self._end()

    def on_resize(self) -> None:
        """Write the page anew in its width."""
        self.show_page()

    def show_page(self) -> None:
        """Write the plan, or that it is looked for."""
        text = ""
        if self._search is not None:
            text = LOOKING.format(seconds=self._seconds, key=self.key_names)
        elif self._plan is not None:
            text = self._desk.planning.page(self._plan, max(60, self.app.size.width - 2))
        self.query_one(ActsPage).write(TITLE.format(confidence=self._confidence), Content(text))

    def acted(self, said: Said) -> None:
        """Say what an act came to, and plan what is left of it; where nothing was done the plan stands."""
        self.say(said)
        if not said.is_refusal:
            self.action_look()

    def action_look(self) -> None:
        """Look for the best sale of what lies there now."""
        self._end()
        try:
            search = self._desk.planning.search(self._confidence, self._seconds)
        except BaywrightError as why:
            self.say(refused(why))
            self.show_page()
            return
        self._search, self._plan = search, None
        self.show_page()
        self.query_one(ActsPage).turn_back()
        self.run_worker(lambda: self._wait(search), thread=True, group="plan")

    def _wait(self, search: "Search") -> None:
        """Wait in a thread for one search; what was ended meanwhile says nothing any more."""
        try:
            found: SalePlan | BaywrightError = search.found()
        except BaywrightError as why:
            found = why
        if self._search is search:
            self.app.call_from_thread(self._show, search, found)

    def _show(self, search: "Search", found: "SalePlan | BaywrightError") -> None:
        if self._search is not search:
            return
        self._search = None
        if isinstance(found, BaywrightError):
            self.say(refused(found))
        else:
            self._plan = found
        self.show_page()

    def _end(self) -> None:
        search, self._search = self._search, None
        if search is not None:
            search.end()

    def action_confidence(self) -> None:
        """Plan at the next confidence."""
        self._confidence = CONFIDENCES[(CONFIDENCES.index(self._confidence) + 1) % len(CONFIDENCES)]
        self.action_look()

    def action_longer(self) -> None:
        """Look longer; after the longest as long as at first."""
        self._seconds = SECONDS[(SECONDS.index(self._seconds) + 1) % len(SECONDS)]
        self.action_look()

    def action_draft(self) -> None:
        """Make consignments of the plan, one for every order in it."""
        plan, draft = self._plan, self._desk.planning.draft
        if plan is None:
            self.say(Said(NO_PLAN, is_refusal=True))
        else:
            self.acted(attempt(lambda: draft(plan)))
