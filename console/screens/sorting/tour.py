"""A walk round the sorting screen in nine steps, then practice pieces; what is typed takes it on."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content

from console.panes.said_pane import Said
from console.panes.tour_pane import PRACTICE, TOUR
from console.screens.frames.acting import STILL_OPENING, OpeningDesk, StillOpening
from console.screens.frames.text_screen import TextScreen
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.desk import Consideration, Desk
    from console.desk.shifts.practice import Practice
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
DONE = "The tour is over: nothing of it was kept. {key[quit]} leaves, and the next start goes on. Good shift."
PIECE = (
    "{number} of {count}: {seen}. Enter it, or ? for hold  ({key[tour]} passes over, {key[leave-off]} ends)"
)
STEP = "{number} of {count}, practice: {say}  ({key[tour]} next step, {key[leave-off]} skips)"
REPORT_TITLE = "Practice: what was taken for what. Nothing of it is in the ledger"


class Tour:
    """A walk round the screen, then practice pieces, at a desk over a store that is thrown away."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._at = len(STEPS)
        self._began: Moment | None = None
        """How things stood when the step at hand began; None while no tour is on."""
        self._practice: Practice | None = None
        self._real: Desk | None = None
        self.when_at: Callable[[Desk | None], object] = lambda _: None
        """Hears which desk serves in the place of the real one; None for the real one again."""
        self.when_over: Callable[[], None] = lambda: None
        """Called once what came of it was read."""
        self._line = ""
        """What stood on the line before."""

    @property
    def is_on(self) -> bool:
        """Whether a walk or practice is on."""
        return self._practice is not None

    def begin(self, *, at: int = 0) -> None:
        """Begin with a step; while a walk or practice is on, go on to the next step or piece."""
        if self._practice is not None:
            self._pass_over(self._practice)
            return
        desk = self._screen.desk
        if isinstance(desk, OpeningDesk):
            raise StillOpening(STILL_OPENING)
        from console.desk.shifts.practice import Practice

        self._real, self._line = desk, self._screen.line.value
        self._practice = Practice(desk)
        self.when_at(self._practice.desk)
        self._screen.run_sums.forget()
        self._screen.take_desk(self._practice.desk)
        self._at, self._began = at, self._moment(self._practice.desk.sums())
        self._show()

    def practise(self) -> None:
        """Begin with the practice pieces; while they are on, pass one over."""
        self.begin(at=len(STEPS))

    def look(self, sums: "Tally | None" = None, *, open_screen: str = "") -> None:
        """Go on where the step at hand was done.

        Args:
            sums: The tally as it stands, where it is at hand.
            open_screen: Name of the screen that was just opened; empty while sorting.
        """
        if self._began is None or self._practice is None:
            return
        if self._at >= len(STEPS):
            if sums is not None:
                self._practice.look(self._screen.line.pressed)
                self._show_piece(self._practice)
            return
        moment = self._moment(sums or self._practice.desk.sums(), open_screen)
        if STEPS[self._at].is_done(self._began, moment):
            self._go_on(moment)

    def leave(self) -> None:
        """End the walk or the practice before its end, where one is on."""
        if self._practice is not None:
            self._end(words.TOUR_LEFT)

    def _pass_over(self, practice: "Practice") -> None:
        if self._at < len(STEPS):
            self._go_on(self._moment(practice.desk.sums()))
        else:
            practice.pass_over(self._screen.line.pressed)
            self._show_piece(practice)

    def _go_on(self, moment: Moment) -> None:
        self._at, self._began = self._at + 1, moment
        self._show()

    def _show(self) -> None:
        assert self._practice is not None
        if self._at >= len(STEPS):
            self._practice.begin(self._screen.line.pressed)
            self._show_piece(self._practice)
            return
        step = STEP.replace("{say}", STEPS[self._at].say)
        said = step.format(number=self._at + 1, count=len(STEPS), key=self._screen.key_names)
        self._screen.panes.tour.head, self._screen.panes.tour.step = TOUR, said

    def _show_piece(self, practice: "Practice") -> None:
        piece = practice.at_hand
        if piece is None:
            self._end(DONE)
            return
        self._screen.panes.tour.head = PRACTICE
        self._screen.panes.tour.step = PIECE.format(
            number=practice.number, count=practice.count, seen=piece.seen, key=self._screen.key_names
        )

    def _end(self, said: str) -> None:
        """Go back to the real desk as it was, and say what was taken for what."""
        practice, self._practice, self._began = self._practice, None, None
        assert practice is not None and self._real is not None
        screen, text = self._screen, practice.text(max(60, self._screen.app.size.width - 2))
        has_answers = bool(practice.answers())
        screen.panes.tour.step = ""
        practice.close()
        self.when_at(None)
        screen.run_sums.forget()
        screen.take_desk(self._real)
        if not screen.line.value:
            screen.line.put(self._line)
        screen.say(Said(said.format(key=screen.key_names)))
        if has_answers:
            screen.app.push_screen(TextScreen(REPORT_TITLE, Content(text)), lambda _: self.when_over())
        else:
            self.when_over()

    def _moment(self, sums: "Tally", open_screen: str = "") -> Moment:
        return Moment(
            considered=self._screen.considered,
            entries=sums.entries,
            holds=len(sums.holds),
            selected=self._screen.panes.candidates.selected,
            open_screen=open_screen,
        )
