"""Which element a reading is asked for next, of a line as far as it was typed."""

from typing import TYPE_CHECKING

from console.desk.piece.considering import Considering
from console.desk.piece.known import Known
from console.entry.editing.spelling_out import Habit
from console.readings.element_readings import SYMBOLS
from console.yard.next_check.grades_at_hand import Matching
from console.yard.next_check.next_element import next_element

if TYPE_CHECKING:
    from console.desk.desk import Desk

MOST_KEPT = 64
"""Lines whose answer is remembered: a line is read again at every key."""


class AskedElement:
    """Answers the same for the same line while nothing else is known; writes nothing."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self._considering = Considering()
        self._known: Known | None = None
        self._answers: dict[tuple[str, frozenset[str], Habit], str] = {}

    def of(self, line: str, skipped: frozenset[str]) -> str:
        """Return the symbol of the element that decides next; empty where none is left.

        The first value of the first reading of a run needs its symbol: who types without looking takes it for
        the first on the analyser.

        Args:
            line: As typed so far, every value with its symbol.
            skipped: Symbols, lower case, of elements that the analyser does not show.
        """
        known = self._desk.known
        if known is not self._known:
            self._known = known
            self._answers.clear()
        asked = line, skipped, self._desk.piece.habit.now()
        if asked not in self._answers:
            if len(self._answers) == MOST_KEPT:
                del self._answers[next(iter(self._answers))]
            self._answers[asked] = self._worked_out(*asked, known)
        return self._answers[asked]

    def _worked_out(self, line: str, skipped: frozenset[str], habit: Habit, known: Known) -> str:
        considered = self._considering.line(line, known)
        shots = considered.parsed.facts.shots
        # Behind / another shot begins, of which nothing was typed.
        typed = [] if line.rstrip().endswith("/") else [shot.reading for shot in shots[-1:]]
        if not typed and not habit.elements:
            return ""
        return next_element(
            considered.parsed.facts,
            considered.verdict,
            known.library,
            Matching(prior=known.prior, techniques=known.techniques),
            technique=typed[-1].technique if typed else habit.technique,
            begins=next(iter(habit.elements), ""),
            done={
                *(symbol for one in typed for symbol in (*one.values, *one.below)),
                *(SYMBOLS[symbol] for symbol in skipped if symbol in SYMBOLS),
            },
        )
