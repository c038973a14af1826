"""One yard, one run, one person: opening, notes, take-over, sums and close-out."""

from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path

from console.desk import advising, closing
from console.desk.baling import DrawnDown, draw_down, mark_sheets_without_bale
from console.desk.checking import CheckDone, shoot_check
from console.desk.considering import Consideration
from console.desk.known import Known, load_yard_and_library
from console.desk.reading_queue import Together
from console.desk.refusal import DeskRefusal
from console.desk.review import Review
from console.desk.sheets import mark_sheets_without_row
from console.ground.cleaning import clean
from console.ledger.acts.closeout import LoadDifference
from console.ledger.keeping.chain_look import chain_verdict
from console.ledger.keeping.store import Ledger
from console.ledger.rows.errors import StoreDamaged
from console.ledger.rows.rows import Tally
from console.ledger.rows.runs import open_run_of
from console.ledger.views.tally import tally
from console.yard.yard import Yard
from grade_library.naming.names import NameIndex

STORE_FILE = "yard.sqlite3"


class Desk(Review):
    """The one door to the ledger."""

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
            folder: Holds yard.toml and the store.
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
        if person is not None:
            person = _known_person(person, yard)
        ledger = Ledger.open(
            folder / STORE_FILE, now=now, terminal=yard.terminal, go_on=go_on, elapsed=elapsed
        )
        try:
            run = open_run_of(ledger)
            who = person or (run.person if run else yard.people[0])
            if run:
                mark_sheets_without_row(folder, "handover", run.run_id)
            mark_sheets_without_bale(ledger, folder)
            if ledger.doubts:
                ledger.consent(who)
            known = Known(library=library, names=NameIndex(library), yard=yard)
            return cls(known=known, yard=yard, ledger=ledger, now=now, person=who)
        except (ValueError, KeyError, TypeError, AttributeError) as error:
            verdict = chain_verdict(ledger)
            ledger.close()
            if not verdict.startswith("NOT"):
                raise  # the ledger is not to blame
            raise StoreDamaged(f"{ledger.path} is damaged ({verdict}).") from error
        except BaseException:
            ledger.close()
            raise

    def note(self, text: str) -> None:
        """Add a note for the handover."""
        self.history.record(self.ledger.note(clean(text), self.person))

    def set_aside(self, readings: Together, reason: str) -> str:
        """Take readings that wait out of the queue by a note for the handover; undo lets them wait again.

        Raises:
            DeskRefusal: No reason was given.
        """
        told, about = clean(reason).strip(), readings[0]
        if not told:
            raise DeskRefusal("Say in a few words why the reading goes to no piece.")
        text = f"reading of {about.piece} ({about.file}, line {about.line}) set aside: {told}"
        row = self.ledger.note(clean(text), self.person, readings=self.readings.kept_form(readings))
        self.history.record(row)
        return clean(text)

    def shoot_check(self, sample: str, line: str) -> tuple[CheckDone, ...]:
        """Write the shots on a check sample; from now on readings count as it says.

        Raises:
            DeskRefusal: No such sample, or the line is no reading of it.
        """
        done = shoot_check(self.ledger, self.yard, self.person, sample, line, self._now())
        for one in done:
            self.history.record(one.row)
        self.learn()
        return done

    def advice(self, considered: Consideration) -> str:
        """Return which check pays for a piece, in one line; empty where there is no piece. For a thread."""
        found = advising.advice(self, considered)
        return found.line if found else ""

    def wants_advice(self, considered: Consideration) -> bool:
        """Tell whether there is a check to look for: something is known of the piece, and the yard asks."""
        return self.yard.console.show_next_check and advising.can_be_advised(considered)

    def analyser_state(self) -> tuple[str, bool]:
        """Return how the analyser stands, for the header, and whether that is as it should be."""
        return advising.analyser_state(self, self._now())

    def draw_down(self, bay_code: str, weight: str, reason: str) -> DrawnDown:
        """Take a bale, box or load out of a bay; see baling.draw_down."""
        return draw_down(self, bay_code, weight, reason)

    def take_over(self, person: str) -> None:
        """Hand the open run to another person of the yard by a new row."""
        self.ledger.take_over(_known_person(person, self.yard))

    def sums(self) -> Tally:
        """Return the tally of the open run."""
        return tally(self.ledger, self.run().run_id)

    def loads(self) -> list[LoadDifference]:
        """Return every load of the open run against its own tickets."""
        return closing.loads_of(self.ledger, self.run().run_id, self.yard)

    def words_wanted(self) -> str:
        """Return what must be explained before the run may close, a sentence; empty where nothing must."""
        return closing.words_wanted(self.ledger, self.run().run_id, self.yard)

    def add_ticket(self, gross_text: str, tare_text: str, note: str = "", **more: str) -> None:
        """Add a scale ticket; weights as typed, in the yard's unit unless they name one.

        Args:
            gross_text: Gross weight.
            tare_text: Tare; empty for none.
            note: Number of the ticket or whatever else is said of it.
            more: moisture, dirt, supplier and load as TicketTyped has them.
        """
        typed = closing.TicketTyped(gross=gross_text, tare=tare_text, note=note, **more)
        self.history.record(closing.add_ticket(self.ledger, self.yard, self.person, typed))

    def close_out(
        self,
        explanation: str = "",
        *,
        signed_by: str | None = None,
        signed_for: Mapping[str, str] | None = None,
    ) -> Path:
        """Close the run and write the handover into the yard's folder; return the file.

        Args:
            explanation: What is said about a difference outside its tolerance, or a missing ticket.
            signed_by: Who signs, a person of the yard; None for who works the run.
            signed_for: Tag -> why a piece may stay on hold as it is; the others are carried over.

        Raises:
            DeskRefusal: No ticket, or a difference outside the tolerance, and no explanation; a signer that
                nobody knows; a tag that does not wait.
        """
        run = self.run()
        sign_off = closing.SignOff(
            person=_known_person(signed_by, self.yard) if signed_by else run.person,
            explanation=explanation,
            signed_for=signed_for or {},
        )
        return closing.close_run(
            self.ledger, self.yard, run.run_id, sign_off, self._now(), self.bay_book.sums()
        )


def _known_person(person: str, yard: Yard) -> str:
    """Return a person of the yard by name, case-blind.

    Raises:
        DeskRefusal: Nobody of that name works there.
    """
    for name in yard.people:
        if name.casefold() == person.strip().casefold():
            return name
    raise DeskRefusal(f'"{clean(person)}" is not in yard.toml. People there: {", ".join(yard.people)}.')
