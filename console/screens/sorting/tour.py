"""A walk round the sorting screen in nine steps; what is really typed takes it from one to the next."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from console.desk import Consideration


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
    """Where the sorter is on the walk."""

    def __init__(self, moment: Moment) -> None:
        self._at = 0
        self._began = moment

    @property
    def line(self) -> str:
        """What to try now; empty once the walk is over."""
        if self._at >= len(STEPS):
            return ""
        return f"{self._at + 1} of {len(STEPS)}: {STEPS[self._at].say}"

    def look(self, moment: Moment) -> bool:
        """Go on where the step at hand was done; tell whether it was."""
        if self._at >= len(STEPS) or not STEPS[self._at].is_done(self._began, moment):
            return False
        self._at += 1
        self._began = moment
        return True
