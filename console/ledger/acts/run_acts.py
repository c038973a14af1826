"""What may be done to a run: opening, notes, tickets, take-over, draw-downs, closing."""

from collections.abc import Mapping, Sequence
from typing import Any

from console.ground.mass import format_mass
from console.ledger.acts.journal import Journal
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.reading_rows import READINGS
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.runs import open_run_id, open_run_of, runs
from console.ledger.views.piece_state import waiting_pieces


class RunActs:
    """The acts on runs. Each checks that it makes sense, and is one transaction."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal
        self.runs_given = 0
        """Runs opened in a history that was left behind: their numbers are not given again."""
        self.tags_given = 0
        """Highest tag number of such a history."""

    def open(self, person: str) -> Row:
        """Open a run.

        Raises:
            LedgerRefusal: One is open already.
        """
        with self._journal.act():
            run = open_run_of(self._journal)
            if run is not None:
                raise LedgerRefusal(
                    f"Run {run.run_id} is open already, worked by {run.person}. Close it first."
                )
            run_id = f"{self._journal.terminal}-{max(len(runs(self._journal)), self.runs_given) + 1:04d}"
            return self._journal.append(RowKind.OPEN, person=person, run_id=run_id)

    def take_over(self, person: str) -> Row:
        """Hand the open run to another person.

        Raises:
            LedgerRefusal: No run is open, or this person works it already.
        """
        with self._journal.act():
            run = open_run_of(self._journal)
            if run is None:
                raise LedgerRefusal("No run is open, so there is none to take over. Open one.")
            if run.person == person:
                raise LedgerRefusal(f"{person} works run {run.run_id} already.")
            return self._journal.append(
                RowKind.TAKE_OVER, person=person, run_id=run.run_id, body={"from": run.person}
            )

    def note(self, text: str, person: str, *, readings: Sequence[Mapping[str, Any]] = ()) -> Row:
        """Add a note for the handover.

        Args:
            text: What the next sorter should know.
            person: Who says so.
            readings: Readings from files that this note sets aside; JSON-ready.

        Raises:
            LedgerRefusal: It is blank, or no run is open.
        """
        if not text.strip():
            raise LedgerRefusal("The note is empty. Type what the next sorter should know.")
        body = {"text": text} | ({READINGS: list(readings)} if readings else {})
        return self._journal.append(RowKind.NOTE, person=person, body=body)

    def ticket(
        self,
        gross_g: int,
        tare_g: int,
        person: str,
        *,
        note: str = "",
        moisture_pct: float = 0.0,
        dirt_g: int = 0,
        load: str = "",
        supplier: str = "",
        unit: str = "kg",
    ) -> Row:
        """Add a scale ticket to the open run.

        Args:
            gross_g: Gross weight [g].
            tare_g: Tare weight [g], 0 <= tare_g < gross_g.
            person: Who entered it.
            note: Ticket number or whatever else is said of it.
            moisture_pct: Water in what is left after the dirt [%], 0 <= moisture_pct < 100.
            dirt_g: Dirt and packing weighed with the load [g], less than the net weight.
            load, supplier: Which load it weighs, and who brought it.
            unit: Unit of weight in which the yard speaks, for the refusal.

        Raises:
            LedgerRefusal: The weights make no sense, or no run is open.
        """
        _check_ticket(gross_g, tare_g, moisture_pct, dirt_g, unit)
        said = {
            "note": note,
            "moisture_pct": moisture_pct,
            "dirt_g": dirt_g,
            "load": load,
            "supplier": supplier,
        }
        body = {"gross_g": gross_g, "tare_g": tare_g} | {key: value for key, value in said.items() if value}
        return self._journal.append(RowKind.TICKET, person=person, mass_g=gross_g - tare_g, body=body)

    def draw_down(
        self,
        bay: str,
        mass_g: int,
        person: str,
        *,
        reason: str = "",
        body: Mapping[str, Any] | None = None,
    ) -> Row:
        """Take metal out of a bay as a bale or a load.

        Args:
            bay: Bay code.
            mass_g: Weight on the scale [g], > 0.
            person: Who took it.
            reason: Where it goes, or why.
            body: Tag, composition and whatever else is kept of the bale; JSON-ready.

        Raises:
            LedgerRefusal: The weight is not positive, or no run is open.
        """
        if mass_g <= 0:
            raise LedgerRefusal("What is taken out of a bay weighs more than 0 g.")
        return self._journal.append(
            RowKind.DRAW_DOWN,
            person=person,
            bay=bay,
            mass_g=mass_g,
            body={**(body or {}), "reason": reason},
        )

    def close(self, person: str, *, explanation: str = "", figures: Mapping[str, Any] | None = None) -> Row:
        """Close the open run; only corrections, which name themselves late, can follow.

        The tags of the pieces that still wait on hold are kept with the row: they are carried over.

        Args:
            person: Who signs.
            explanation: What is said about a difference.
            figures: Sums, difference and tolerance as they were signed; JSON-ready.

        Raises:
            LedgerRefusal: No run is open.
        """
        with self._journal.act():
            run_id = open_run_id(self._journal)
            carried = [piece.tag for piece in waiting_pieces(self._journal, run_id)]
            return self._journal.append(
                RowKind.CLOSE,
                person=person,
                run_id=run_id,
                body={"explanation": explanation, "figures": dict(figures or {}), "carried_holds": carried},
            )

    def next_tag(self) -> str:
        """Return what to write on the next held piece: T1-H1, T1-H2 ... never given twice in a yard.

        The terminal stands before it, since pieces of two terminals wait on one shelf. It counts on from
        every tag of this store, also those of earlier programs (H001) and of another terminal's store.
        """
        with self._journal.looking() as connection:
            last = connection.execute(
                "SELECT max(CAST(substr(tag, length(rtrim(tag, '0123456789')) + 1) AS INTEGER)) FROM ledger "
                "INDEXED BY ledger_by_tag WHERE tag IS NOT NULL"
            ).fetchone()[0]
        return f"{self._journal.terminal}-H{max(last or 0, self.tags_given) + 1}"


def _check_ticket(gross_g: int, tare_g: int, moisture_pct: float, dirt_g: int, unit: str) -> None:
    """Refuse a ticket whose weights make no sense."""
    if not 0 <= tare_g < gross_g:
        raise LedgerRefusal(
            f"Gross {format_mass(gross_g, unit)} must be above tare {format_mass(tare_g, unit)}, and tare "
            "at least 0."
        )
    if not (0.0 <= moisture_pct < 100.0 and 0 <= dirt_g < gross_g - tare_g):
        raise LedgerRefusal(
            f"Moisture {moisture_pct:g} % must be 0 to below 100, and dirt {format_mass(dirt_g, unit)} "
            "at least 0 and below the net."
        )
