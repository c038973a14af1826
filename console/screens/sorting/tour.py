"""A walk round the sorting screen in nine steps; what is really typed takes it from one to the next."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from console.panes.said_pane import Said
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.desk import Consideration
    from console.ledger.rows.rows import Tally
    from console.screens.sorting.sorting_screen import SortingScreen


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """What the screen holds when the tour looks."""

    considered: "Consideration | None"
    entries: int
    """Tallied in this run."""
    holds: int
    selected: int
    """Index of the selected candidate."""
    open_screen: str = ""
    """Name of the screen that was just opened; empty while sorting."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to try."""

    say: str
    """{key[undo]} stands for the key of the action "undo"."""
    is_done: Callable[[Moment, Moment], bool]
    """Whether it was done, from how things stood when the step began and how they stand now."""


def _has_claim(_: Moment, now: Moment) -> bool:
    return (
        now.considered is not None
        and now.considered.parsed.can_be_tallied
        and (now.considered.parsed.facts.claim is not None)
    )


def _has_reading(_: Moment, now: Moment) -> bool:
    return now.considered is not None and any(
        len(shot.reading.values) >= 3 for shot in now.considered.parsed.facts.shots
    )


def _tallied(before: Moment, now: Moment) -> bool:
    return now.entries > before.entries


STEPS = (
    Step(say="type a piece: 12.4 304 (its weight, and what you take it for)", is_done=_has_claim),
    Step(say="the arrow names the bay and how sure that is; Enter tallies", is_done=_tallied),
    Step(say="the same metal again takes a weight alone: 7.5 and Enter", is_done=_tallied),
    Step(say="now a reading: 8.05 cr17.1 ni10.4 mo2.1 m0 (m0: no magnet)", is_done=_has_reading),
    Step(
        say="Down selects a grade; why it is one stands below the list",
        is_done=lambda before, now: now.selected > 0,
    ),
    Step(say="Enter tallies it too; {key[other-bay]} would ask you for another bay", is_done=_tallied),
    Step(
        say="{key[undo]} takes the last act back, {key[redo]} does it again: press {key[undo]}",
        is_done=lambda before, now: now.entries < before.entries,
    ),
    Step(
        say="nobody can name it? 2 ? and Enter: it waits on hold with a tag",
        is_done=lambda before, now: now.holds > before.holds,
    ),
    Step(
        say="{key[help]} lists every key and word; press {key[help]}, Esc leads back",
        is_done=lambda before, now: now.open_screen == "help",
    ),
)
DONE = "The tour is over. {key[quit]} leaves, and the next start goes on where you were. Good shift."


class Tour:
    """Where the sorter is on the walk; off until it is begun."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._at = len(STEPS)
        self._began: Moment | None = None
        """How things stood when the step at hand began; None while no tour is on."""

    @property
    def is_on(self) -> bool:
        """Whether a walk is on."""
        return self._began is not None

    def begin(self) -> None:
        """Begin with the first step."""
        self._at, self._began = 0, self._moment(self._screen.desk.sums())
        self._show()

    def look(self, sums: "Tally | None" = None, *, open_screen: str = "") -> None:
        """Go on where the step at hand was done.

        Args:
            sums: The tally as it stands, where it is at hand.
            open_screen: Name of the screen that was just opened; empty while sorting.
        """
        if self._began is None:
            return
        moment = self._moment(sums or self._screen.desk.sums(), open_screen)
        if not STEPS[self._at].is_done(self._began, moment):
            return
        self._at, self._began = self._at + 1, moment
        if self._at < len(STEPS):
            self._show()
        else:
            self._end(DONE)

    def leave(self) -> None:
        """End the walk before its end, where one is on."""
        if self._began is not None:
            self._end(words.TOUR_LEFT)

    def _show(self) -> None:
        step = f"{self._at + 1} of {len(STEPS)}: {STEPS[self._at].say}  {words.TOUR_SKIP}"
        self._screen.panes.tour.step = step.format(key=self._screen.key_names)

    def _end(self, said: str) -> None:
        self._began = None
        self._screen.panes.tour.step = ""
        self._screen.say(Said(said.format(key=self._screen.key_names)))

    def _moment(self, sums: "Tally", open_screen: str = "") -> Moment:
        return Moment(
            considered=self._screen.considered,
            entries=sums.entries,
            holds=len(sums.holds),
            selected=self._screen.panes.candidates.selected,
            open_screen=open_screen,
        )
