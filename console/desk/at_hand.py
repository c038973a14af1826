"""The piece at hand: considering it, and tallying it."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime

from console.desk import sentences
from console.desk.bay_book import BayBook
from console.desk.checking import controls_of
from console.desk.considering import Consideration, Considering
from console.desk.evidence import evidence_of, likely_twins
from console.desk.history import History
from console.desk.known import Known
from console.desk.learning import learned_of
from console.desk.reading_queue import Together
from console.desk.refusal import DeskRefusal
from console.desk.skin_guard import why_guarded
from console.desk.waiting import WaitingReadings
from console.desk.watching import FolderWatch
from console.entry.parsed import TokenKind
from console.ground.cleaning import clean
from console.ground.mass import MassError, parse_mass_g
from console.ledger.keeping.store import Ledger
from console.ledger.rows.errors import StoreError
from console.ledger.rows.rows import PieceEntry, Row, RowKind, Run
from console.ledger.rows.runs import open_run_of
from console.ledger.views.tally import piece_state
from console.yard.coupons.check_state import ControlState, doubts, unchecked, widened_profiles
from console.yard.metals import metals_of
from console.yard.placing.placement import Placement, Sureness
from console.yard.yard import Bay, Yard
from grade_library.matcher.matching import warm

WARM_UP_LINE = "1.2kg 304 yellow sheet m0 cr18.1 ni8.1 / fe71 ; note"
"""Considered once while opening: whatever is loaded on first use is loaded before the first key."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tallied:
    """A piece that lies on disk."""

    row: Row
    sentence: str
    """What it became, in one line."""


class PieceAtHand:
    """A yard, an open run and the ledger behind them; the acts on the piece that lies there now."""

    def __init__(
        self, *, known: Known, yard: Yard, ledger: Ledger, now: Callable[[], datetime], person: str
    ) -> None:
        self.known = known
        self.yard = yard
        self.library = known.library
        self.names = known.names
        self.ledger = ledger
        self._considering = Considering()
        self._trusted_until: datetime | None = None
        self.bay_book = BayBook(ledger, yard, known.library)
        self.readings = WaitingReadings(ledger, yard)
        self.watch: FolderWatch | None = None
        self._now = now
        run = open_run_of(ledger)
        if run is None:
            ledger.open_run(person)
        elif run.person != person:
            ledger.take_over(person)
        self.history = History.of_run(ledger, self.run().run_id)
        self.supplier, self.load = _load_at_hand(self.history)
        self.learn()

    def learn(self) -> None:
        """Take in the yard's own frequencies and how far the analyser can be trusted now."""
        self.known = replace(self.known, prior=learned_of(self.ledger, self.yard, self.library).prior)
        self._ask_the_coupons()

    def _ask_the_coupons(self) -> None:
        """Take in how far the analyser can be trusted now, and until when that holds."""
        controls = controls_of(self.ledger, self.yard, self._now())
        in_control = [one.due_at for one in controls if one.state is ControlState.IN_CONTROL and one.due_at]
        self._trusted_until = min(in_control, default=None)
        self.known = replace(
            self.known,
            profiles=widened_profiles(controls, self.yard.techniques),
            doubts=doubts(controls),
            unchecked=unchecked(controls),
        )

    def begin_load(self, supplier: str, load: str = "") -> None:
        """Say whose load the pieces from now on belong to; empty for none. Each piece carries it."""
        self.supplier, self.load = clean(supplier).strip(), clean(load).strip()

    def watch_folder(self) -> FolderWatch | None:
        """Begin to look for readings from files; None where the yard names no folder. What comes goes to
        `readings`; the looking is meant for a thread."""
        if self.watch is None and self.yard.readings_files.folder:
            self.watch = FolderWatch(self.yard, self.ledger.path)
        return self.watch

    def close(self) -> None:
        """Close the store; the run stays open and is resumed at the next start."""
        # Sums that cannot be kept are reckoned anew next time; the store is closed all the same.
        with suppress(StoreError):
            self.bay_book.keep()
        if self.watch is not None:
            self.watch.close()
        self.ledger.close()

    @property
    def person(self) -> str:
        """Who works the run now."""
        return self.run().person

    def run(self) -> Run:
        """Return the open run.

        Raises:
            DeskRefusal: It was closed.
        """
        run = open_run_of(self.ledger)
        if run is None:
            raise DeskRefusal("The run is closed. Start the console again to open the next one.")
        return run

    def warm_up(self) -> None:
        """Have whatever is worked out on first use worked out before the first key; meant for a thread."""
        warm(self.known.library, technique_profiles=self.known.techniques)
        self.consider(WARM_UP_LINE)
        metals_of(self.known.library)

    def consider(self, line: str) -> Consideration:
        """Return what the line says, what it can be and where it should go; takes a few ms."""
        if self._trusted_until is not None and self._now() >= self._trusted_until:
            self._ask_the_coupons()
        return self._considering.line(line, self.known)

    def tally(
        self, considered: Consideration, *, bay_code: str | None = None, despite_skin: str = ""
    ) -> Tallied:
        """Write the piece and return once it is on disk.

        Goes to `bay_code` if given, else to the bay on the line, else to the suggested one; to hold, with the
        next free tag, where that is the hold bay.

        Args:
            considered: The piece.
            bay_code: Where it goes; None for the bay on the line or the suggested one.
            despite_skin: Why it may go into a dear bay though its skin was read; the row keeps it.

        Raises:
            DeskRefusal: The line has problems or no weight, the bay is unknown, or it is a dear one and the
                reading is of a skin.
            StoreError: The disk refused; nothing was written.
        """
        used = self.readings.used_by(considered.parsed.line)
        return self._tally(considered, self.bay_for(considered, bay_code), used, despite_skin)

    def _tally(
        self, considered: Consideration, bay: Bay, readings: Together, despite_skin: str = ""
    ) -> Tallied:
        """Write the piece with the readings from files that went into it."""
        entry = replace(self._entry(considered, bay), readings=self.readings.kept_form(readings))
        if guarded := why_guarded(considered, bay, self.yard):
            entry = _despite_skin(entry, guarded, clean(despite_skin).strip())
        row = self.ledger.add_piece(entry, self.person)
        self.history.record(row)
        return Tallied(row=row, sentence=sentences.tallied(entry, considered.verdict, self.yard))

    def bay_for(self, considered: Consideration, bay_code: str | None) -> Bay:
        """Return where the piece goes."""
        parsed = considered.parsed
        if parsed.problems:
            raise DeskRefusal(parsed.problems[0])
        if parsed.mass_g is None:
            raise DeskRefusal("No weight: type it anywhere on the line, such as 12.4 or 820g.")
        try:
            if chosen := bay_code or parsed.bay_code:
                return self.yard.bay(chosen)
        except KeyError as error:
            raise DeskRefusal(str(error.args[0])) from error
        if parsed.is_hold or considered.placement is None:
            return self.yard.hold_bay
        return considered.placement.bay

    def _entry(self, considered: Consideration, bay: Bay) -> PieceEntry:
        """Return the piece as the ledger takes it."""
        parsed, placement, verdict = considered.parsed, considered.placement, considered.verdict
        assert parsed.mass_g is not None
        best = verdict.best
        is_named = best is not None and best.probability >= verdict.unlisted
        # Where nothing is known nothing was advised; a hazard is advice whatever is known.
        is_advised = bool(verdict.candidates) or considered.held_for is not None
        suggested = placement.bay if placement and is_advised else bay
        return PieceEntry(
            bay=bay.code,
            grade_id=best.grade.grade_id if best and is_named else None,
            mass_g=parsed.mass_g,
            pieces=parsed.count,
            line=parsed.line,
            tag=self.ledger.next_tag() if bay.is_hold else None,
            note=parsed.note,
            supplier=self.supplier,
            load=self.load,
            waits_for=_waits_for(considered) if bay.is_hold else "",
            sureness=_sureness(placement, bay) if is_named else "",
            is_override=not bay.is_hold and bay.code != suggested.code,
            evidence=evidence_of(considered, self.known.doubts),
            twins=likely_twins(verdict) if is_named else (),
        )

    def same_again(self, mass_text: str) -> Tallied:
        """Tally the last piece of the run once more with a new weight ("12.4", "820g").

        Raises:
            DeskRefusal: There is no piece yet, or the weight cannot be read.
        """
        try:
            parse_mass_g(mass_text, self.yard.weight_unit)
        except MassError as error:
            raise DeskRefusal(str(error)) from error
        last = next((row for row in reversed(self.history.done) if row.kind is RowKind.PIECE), None)
        state = piece_state(self.ledger, last.row_id) if last else None
        if state is None:
            raise DeskRefusal("No piece in this run yet to do again.")
        parsed = self.consider(state.line).parsed
        dropped = (TokenKind.WEIGHT, TokenKind.COUNT, TokenKind.NOTE, TokenKind.BAY, TokenKind.HOLD)
        rest = " ".join(token.text for token in parsed.tokens if token.kind not in dropped)
        considered = self.consider(f"{mass_text.strip()} {rest}".strip())
        # A reading was taken of one piece; the piece that is alike was not read.
        return self._tally(considered, self.bay_for(considered, state.bay), ())


def _despite_skin(entry: PieceEntry, guarded: str, reason: str) -> PieceEntry:
    """Return the entry of a piece that goes into a dear bay on a skin reading, with the reason on it.

    Raises:
        DeskRefusal: No reason was given.
    """
    if not reason:
        raise DeskRefusal(
            f'{guarded} ? sends it to hold; the action "despite the skin" tallies it, with a reason.'
        )
    said = f"despite the skin: {reason}"
    return replace(
        entry,
        note=f"{entry.note}; {said}" if entry.note else said,
        is_override=True,
        evidence={**entry.evidence, "despite_skin": {"reason": reason, "warning": guarded}},
    )


def _load_at_hand(history: History) -> tuple[str, str]:
    """Return supplier and load of the last piece, so that a restart goes on with the same load."""
    last = next((row for row in reversed(history.done) if row.kind is RowKind.PIECE), None)
    return (str(last.body.get("supplier", "")), str(last.body.get("load", ""))) if last else ("", "")


def _sureness(placement: Placement | None, bay: Bay) -> str:
    """Return how sure the placement is in a word; a piece that waits is open, however likely its grade is."""
    if placement is None:
        return ""
    return Sureness.OPEN.value if bay.is_hold else placement.sureness.value


def _waits_for(considered: Consideration) -> str:
    """Return what a held piece waits for, in the words of the placement."""
    is_asked = considered.parsed.is_hold and considered.held_for is None
    if considered.placement is None or is_asked:
        return considered.parsed.note
    return considered.placement.reason.removeprefix("hold: ")
