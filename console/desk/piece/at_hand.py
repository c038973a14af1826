"""The piece at hand before it is tallied: where Enter would put it, what it is worth, which check pays."""

from typing import TYPE_CHECKING

from console.desk import sentences
from console.desk.piece import advising
from console.desk.piece.again import is_bare
from console.desk.piece.considering import Consideration
from console.desk.piece.running_tare import RunningTare
from console.desk.piece.skin_guard import why_guarded
from console.desk.piece.typed_before import ReadingHabit, SaidNames
from console.desk.run_pages import newest_seq
from console.ground.cleaning import clean
from console.ledger.rows.rows import PieceState
from console.ledger.views.latest import newest_standing
from console.yard.metals import metals_of
from console.yard.money import placement_money, room_money
from console.yard.yard import Bay
from grade_library.matcher.matching import warm
from grade_library.reading import Averaged, average, metal_shots

if TYPE_CHECKING:
    from console.desk.desk import Desk

WARM_UP_LINE = "1.2kg 304 yellow sheet m0 cr18.1 ni8.1 / fe71 ; note"
"""Considered once while opening: whatever is loaded on first use is loaded before the first key."""


class PieceAtHand:
    """What is known of a considered line at this desk; writes nothing."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self._last: tuple[int, PieceState | None] = (-1, None)
        """Number of the newest row, and the last piece as that row leaves it."""
        self.habit = ReadingHabit(desk)
        self.said = SaidNames(desk)
        self.tare = RunningTare(desk)

    def begin_load(self, supplier: str, load: str = "") -> None:
        """Say whose load the pieces from now on belong to; empty for none. Each piece carries it."""
        self._desk.supplier, self._desk.load = clean(supplier).strip(), clean(load).strip()

    def warm_up(self) -> None:
        """Have whatever is worked out on first use worked out before the first key; meant for a thread."""
        known = self._desk.known
        warm(known.matched, technique_profiles=known.techniques)
        self._desk.consider(WARM_UP_LINE)
        self.habit.next_element(WARM_UP_LINE.partition("/")[0])
        metals_of(known.library)

    @property
    def last(self) -> PieceState | None:
        """The newest piece of this run that stands; read again only after a new row."""
        newest = newest_seq(self._desk.ledger)
        if newest != self._last[0]:
            self._last = newest, newest_standing(self._desk.ledger, self._desk.run().run_id)
        return self._last[1]

    @property
    def last_label(self) -> str:
        """Which piece is the last one: "12.40 kg 304 in STN"; empty while there is none."""
        return sentences.which(self.last, self._desk.yard) if self.last else ""

    def is_same_again(self, considered: Consideration) -> bool:
        """Tell whether Enter tallies the last piece once more: the line is a weight, or weight and count."""
        return is_bare(considered) and self.last is not None

    def bay(self, considered: Consideration) -> Bay | None:
        """Return the bay that Enter would tally into; None when there is none."""
        parsed, yard = considered.parsed, self._desk.yard
        if parsed.is_blank:
            return None
        if parsed.is_hold:
            return yard.hold_bay
        code = parsed.bay_code
        if not code and self.is_same_again(considered):
            code = self.last.bay if self.last else None
        if code:
            return yard.bay_if_known(code)
        return considered.placement.bay if considered.placement else None

    def headroom_warning(self, considered: Consideration) -> str:
        """Return what the piece would do to the bay that it goes to; empty when nothing is at risk."""
        bay = self.bay(considered)
        return self._desk.bays.book.warning(considered, bay) if bay is not None else ""

    def guarded_bay(self, considered: Consideration) -> Bay | None:
        """Return the bay that the piece is kept out of because its skin was read; None for none."""
        return self.bay(considered) if self.why_guarded(considered, None) else None

    def why_guarded(self, considered: Consideration, bay_code: str | None) -> str:
        """Return why Enter keeps a piece out of its bay, or out of the one given; empty where it does not."""
        yard = self._desk.yard
        given = yard.bay_if_known(bay_code) if bay_code else None
        bay = given or self.bay(considered)
        return why_guarded(considered, bay, yard) if bay and considered.parsed.can_be_tallied else ""

    def money(self, considered: Consideration) -> tuple[str, ...]:
        """Return what the piece uses up of its bay's room where that matters, then what it is worth there.

        Empty where the yard hides money.
        """
        placement, yard = considered.placement, self._desk.yard
        if placement is None or not yard.show_money:
            return ()
        cost = self._desk.bays.book.room_cost(considered, placement.bay)
        return (*room_money(cost, placement, yard), *placement_money(placement, yard))

    def readings(self, considered: Consideration) -> tuple[Averaged, ...]:
        """Return what was read of the metal, one averaged reading per technique."""
        return average(metal_shots(considered.parsed.facts.shots), self._desk.known.techniques)

    def wants_advice(self, considered: Consideration) -> bool:
        """Tell whether there is a check to look for: something is known of the piece, and the yard asks."""
        return self._desk.yard.console.show_next_check and advising.can_be_advised(considered)

    def advice(self, considered: Consideration) -> str:
        """Return which check pays for a piece, in one line; empty where there is no piece. For a thread."""
        advised = advising.advice(self._desk.known, considered)
        return advised.line if advised else ""
