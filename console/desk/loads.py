"""Whose load the pieces belong to: those from now on, and those tallied already."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from console.desk.done import Done, done
from console.desk.refusals import DeskRefusal
from console.desk.sentences import NO_SUPPLIER
from console.desk.undo.replacing import REPLACED_REASON
from console.entry.load_words import LoadTyped, load_words, read_load_answer
from console.ground.cleaning import clean
from console.ground.figures import many
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.rows import RowKind
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.piece_state import piece_state

if TYPE_CHECKING:
    from console.desk.desk import Desk

WHY = "whose load it is was said later"


def of_the_line(source: LedgerSource, run_id: str) -> tuple[str, str]:
    """Return supplier and load that the line of a run stands at: by what was said last, or its newest piece.

    What was said later of a piece says nothing of the line, nor does one typed anew in the place of another.
    """
    with told_plainly(source.path):
        found = source.connection.execute(
            "SELECT json_extract(body, '$.supplier'), json_extract(body, '$.load') FROM ledger AS new "
            "NOT INDEXED WHERE run_id = ? AND kind IN ('piece', 'from-here') AND NOT EXISTS (SELECT 1 "
            "FROM ledger AS old WHERE old.seq = new.seq - 1 AND old.kind = 'void' "
            "AND json_extract(old.body, '$.reason') = ?) ORDER BY seq DESC LIMIT 1",
            (run_id, REPLACED_REASON),
        ).fetchone()
    supplier, load = found or ("", "")
    return supplier or "", load or ""


class Loads:
    """Supplier and load of the line, and of pieces of the run."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk

    @property
    def words(self) -> str:
        """Whose load the pieces from now on belong to: "from Old Mill load 7"; empty for none."""
        return load_words(self._desk.supplier, self._desk.load)

    @property
    def from_here(self) -> str:
        """Whose load the pieces from now on belong to, as a sentence."""
        return f"pieces from here on {f'are {self.words}' if self.words else 'name no supplier'}"

    def begin(self, typed: LoadTyped) -> Done[None]:
        """Say whose load the pieces from now on belong to, by a row where it is news; undo takes it back."""
        desk, before = self._desk, self.words
        was = {"was_supplier": desk.supplier, "was_load": desk.load}
        supplier, load = map(clean, self.after(typed, desk.supplier, desk.load))
        rows = []
        if (supplier, load) != (desk.supplier, desk.load):
            body = {"supplier": supplier, "load": load, **was}
            rows = [desk.ledger.append(RowKind.FROM_HERE, person=desk.person, body=body)]
            desk.history.record(rows[0])
        desk.piece.begin_load(supplier, load)
        ended = f"; those before were {before}" if before and not self.words else ""
        return done(f"{self.from_here}{ended}", *rows)

    def look_again(self) -> None:
        """Take whose load it is from the rows, after one that says so was taken back or done once more."""
        desk = self._desk
        desk.supplier, desk.load = of_the_line(desk.ledger, desk.run().run_id)

    def after(self, typed: LoadTyped, supplier: str, load: str) -> tuple[str, str]:
        """Return supplier and load after those at hand; without a supplier, a load known of one alone is its.

        Args:
            typed: What was said.
            supplier: The one at hand; it is kept where only a load was said.
            load: The one at hand.
        """
        supplier, load = typed.after(supplier, load)
        if supplier or not load or typed.supplier is not None:
            return supplier, load
        known = {
            name.casefold(): name for name, of in self.known() if name and of.casefold() == load.casefold()
        }
        return (next(iter(known.values())) if len(known) == 1 else ""), load

    def known(self) -> list[tuple[str, str]]:
        """Return supplier and load of every ticket and piece of the run, the newest first."""
        ledger, run_id = self._desk.ledger, self._desk.run().run_id
        kinds = (RowKind.PIECE, RowKind.TICKET, RowKind.LOAD, RowKind.FROM_HERE)
        with told_plainly(ledger.path):
            rows = ledger.connection.execute(
                "SELECT json_extract(body, '$.supplier'), json_extract(body, '$.load'), max(seq) FROM ledger "
                "WHERE run_id = ? AND kind IN (?, ?, ?, ?) GROUP BY 1, 2 ORDER BY 3 DESC",
                (run_id, *map(str, kinds)),
            ).fetchall()
        return [(supplier or "", load or "") for supplier, load, _ in rows if supplier or load]

    def assign(self, row_ids: Sequence[str], answer: str) -> Done[None]:
        """Say of pieces whose load they belong to, all or none; one undo takes all of it back.

        Args:
            row_ids: The pieces.
            answer: As typed: "Old Mill load 7", "load 7", or "none".

        Raises:
            DeskRefusal: Every one of them says so already, or none stands.
        """
        desk, typed, rows = self._desk, read_load_answer(clean(answer)), []
        states = [state for row_id in row_ids if (state := piece_state(desk.ledger, row_id))]
        wanted = [
            (state, self.after(typed, state.supplier, state.load)) for state in states if not state.is_void
        ]
        if not wanted:
            raise DeskRefusal("What is void belongs to no load: pick a piece that stands.")
        changed = [(state, new) for state, new in wanted if new != (state.supplier, state.load)]
        if not changed:
            raise DeskRefusal("Nothing to change: every piece that stands says so already.")
        together = changed[0][0].row_id if len(changed) > 1 else ""
        with desk.ledger.act():
            for state, (supplier, load) in changed:
                row = desk.ledger.assign(state.row_id, supplier, load, WHY, desk.person, together=together)
                rows.append(row)
        for row in rows:
            desk.history.record(row)
        whose = {load_words(*new) for _, new in changed}
        said = next(iter(whose)) if len(whose) == 1 else "of loads that differ"
        return done(f"{many(len(rows), 'piece', 'pieces')}: {said or NO_SUPPLIER}", *rows)
