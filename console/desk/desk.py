"""One yard, one run, one person: what is at hand, and the parts that act on it."""

from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from console.desk.bays.baling import mark_sheets_without_bale
from console.desk.bays.bays import Bays
from console.desk.bays.void_sheets import match_sheets
from console.desk.checking import Checks
from console.desk.closing import Closing
from console.desk.consigning.consigning import Consigning
from console.desk.consigning.planning import Planning
from console.desk.done import Done, done
from console.desk.loads import Loads, of_the_line
from console.desk.lot_checks import Lots
from console.desk.pace import Pace
from console.desk.piece import again, tallying
from console.desk.piece.at_hand import PieceAtHand
from console.desk.piece.considering import Consideration, Considering
from console.desk.piece.known import STORE_FILE, Known, load_yard_and_library
from console.desk.piece.learning import taught_by_settled
from console.desk.readings.offered import kept_form
from console.desk.readings.queue import Together
from console.desk.readings.waiting import WaitingReadings
from console.desk.rechecking import Rechecks
from console.desk.refusals import DeskRefusal, known_person
from console.desk.review import Review
from console.desk.sheets import mark_sheets_without_row
from console.desk.shifts.left import Left
from console.desk.tags import Tags
from console.desk.undo import taking_back
from console.desk.undo.history import History
from console.ground.cleaning import clean
from console.ledger.consignments.settled import with_settled
from console.ledger.keeping.chain_look import chain_verdict
from console.ledger.keeping.store import Ledger
from console.ledger.prices.price_rows import write_changed_prices
from console.ledger.rows.errors import StoreDamaged, StoreError
from console.ledger.rows.rows import Run, Tally
from console.ledger.rows.runs import open_run_of
from console.ledger.views.tally import tally, tally_since
from console.office.words.taking import take_words
from console.yard.yard import Yard
from grade_library.library import GradeLibrary
from grade_library.naming.names import NameIndex


class Desk:
    """The one door to the ledger: an act comes back as a Done, or raises why it cannot be done."""

    def __init__(
        self, *, known: Known, yard: Yard, ledger: Ledger, now: Callable[[], datetime], person: str
    ) -> None:
        self.known = known
        self.yard = yard
        self.library = known.library
        self.names = known.names
        self.ledger = ledger
        self.now = now
        write_changed_prices(ledger, yard, person)
        self.history = History.of_run(ledger, self.run().run_id)
        self.supplier, self.load = of_the_line(ledger, self.run().run_id)
        """Whose load the pieces from now on belong to; each carries it. A restart goes on with the same."""
        self._considering = Considering()
        self._sums: Tally | None = None
        """As last told."""
        self.readings = WaitingReadings(ledger, yard)
        self.bays = Bays(self)
        self.piece = PieceAtHand(self)
        self.review = Review(self)
        self.closing = Closing(self)
        self.checks = Checks(self)
        self.lots = Lots(self)
        self.loads = Loads(self)
        self.rechecks = Rechecks(self)
        self.consignments = Consigning(self)
        self.planning = Planning(self)
        self.tags = Tags(self)
        self.left = Left(self)
        self.pace = Pace(self)
        self.checks.learn()
        match_sheets(self)

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        now: Callable[[], datetime],
        person: str | None = None,
        go_on: bool = False,
        elapsed: Callable[[], float] | None = None,
    ) -> "Desk":
        """Open yard and store; resume the open run, or open a new one.

        Args:
            folder: Holds both.
            now: Gives the time of every row, aware.
            person: Who sorts; None for whoever works the open run, else the first person of yard.toml.
            go_on: Work on though the ledger is not as it was left; a row keeps that this was said.
            elapsed: Seconds that pass whatever is done to the clock; None sees only that it was set back.

        Raises:
            YardFileError: yard.toml is missing or wrong.
            StoreError: The store is locked, newer, damaged or read-only.
            DeskRefusal: The person is not in yard.toml.
        """
        yard, library = load_yard_and_library(folder)
        person = known_person(person, yard) if person is not None else None
        store, terminal = folder / STORE_FILE, yard.terminal
        ledger = Ledger.open(store, now=now, terminal=terminal, go_on=go_on, elapsed=elapsed)
        try:
            who, yard, library = _taken_up(ledger, yard, library, person)
            taught = taught_by_settled(yard, library)
            known = Known(library=library, names=NameIndex(library), yard=yard, taught=taught)
            return cls(known=known, yard=yard, ledger=ledger, now=now, person=who)
        except (ValueError, KeyError, TypeError, AttributeError) as error:
            verdict = chain_verdict(ledger)
            ledger.close()
            if verdict.startswith("NOT"):
                raise StoreDamaged(f"{ledger.path} is damaged ({verdict}).") from error
            raise  # the ledger is not to blame
        except BaseException:
            ledger.close()
            raise

    def close(self) -> None:
        """Close the store; the run stays open and is resumed at the next start."""
        # Sums that cannot be kept are reckoned anew next time; the store is closed all the same.
        with suppress(StoreError):
            self.bays.book.keep()
        if self.readings.watch is not None:
            self.readings.watch.close()
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

    def sums(self) -> Tally:
        """Return the tally of the open run."""
        run, kept = self.run(), self._sums
        if kept is None or kept.run != run:
            kept = tally(self.ledger, run.run_id)
        self._sums = tally_since(self.ledger, kept)
        return self._sums

    def consider(self, line: str) -> Consideration:
        """Return what the line says, what it can be and where it should go. Pure; takes a few ms."""
        self.checks.look_at_the_clock()
        return self._considering.line(line, self.known)

    def tally(
        self, considered: Consideration, *, bay_code: str | None = None, despite_skin: str = ""
    ) -> Done[None]:
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
        bay = tallying.bay_for(considered, bay_code, self.yard)
        return tallying.tally(self, considered, bay, used, despite_skin)

    def same_again(self, considered: Consideration, *, bay_code: str | None = None) -> Done[None]:
        """Tally the newest piece that stands once more, with the weight and count of a line ("12.4 x2").

        Name, form and claim are repeated, and the bay unless another is given. What was read or seen stays
        with the piece it was read of.

        Raises:
            DeskRefusal: There is no piece yet, or the line says more than weight and count.
        """
        return again.same_again(self, considered, bay_code)

    def correct(
        self, considered: Consideration, *, bay_code: str | None = None, row_id: str = ""
    ) -> Done[None]:
        """Void the last piece and tally what its line should have said, both or neither.

        Args:
            considered: The line as it should have been.
            bay_code: Where it goes; None for the bay on the line or the suggested one.
            row_id: The piece that was shown to be corrected; empty for the newest that stands.

        Raises:
            DeskRefusal: There is no last piece, it does not stand any more, or the line cannot be tallied.
            StoreError: The disk refused; nothing was written.
        """
        return tallying.correct(self, considered, bay_code, row_id)

    def undo(self) -> Done[None]:
        """Take back the last act of this run by a new row; say what."""
        return taking_back.undo(self)

    def redo(self) -> Done[None]:
        """Take back the last undo; say what."""
        return taking_back.redo(self)

    def note(self, text: str) -> Done[None]:
        """Add a note for the handover."""
        row = self.ledger.note(clean(text), self.person)
        self.history.record(row)
        return done(f'noted for the handover: "{text}"', row)

    def set_aside(self, readings: Together, reason: str) -> Done[None]:
        """Take readings that wait out of the queue by a note for the handover; undo lets them wait again.

        Raises:
            DeskRefusal: No reason was given.
        """
        told, about = clean(reason).strip(), readings[0]
        if not told:
            raise DeskRefusal("Say in a few words why the reading goes to no piece.")
        text = clean(f"reading of {about.piece} ({about.file}, line {about.line}) set aside: {told}")
        row = self.ledger.note(text, self.person, readings=kept_form(readings, self.yard))
        self.history.record(row)
        return done(text, row)

    def take_over(self, person: str) -> Done[None]:
        """Hand the open run to another person of the yard by a new row."""
        row = self.ledger.take_over(known_person(person, self.yard))
        return done(f"{person} works this run from here on", row)


def _taken_up(
    ledger: Ledger, yard: Yard, library: GradeLibrary, person: str | None
) -> tuple[str, Yard, GradeLibrary]:
    """Put in order what the sitting before left, take up its run or open one, and take what the office said.

    Returns who works the run, and the yard and its grades as they stand then.
    """
    run = open_run_of(ledger)
    who = person or (run.person if run else yard.people[0])
    if run:
        mark_sheets_without_row(yard.folder, "handover", run.run_id)
    mark_sheets_without_bale(ledger, yard.folder)
    if ledger.doubts:
        ledger.consent(who)
    if (now := open_run_of(ledger)) is None:
        ledger.open_run(who)
    elif now.person != who:
        ledger.take_over(who)
    if take_words(ledger, yard, library, who):
        yard, library = load_yard_and_library(yard.folder)
    return who, with_settled(ledger, yard), library
