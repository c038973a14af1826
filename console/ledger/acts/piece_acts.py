"""What may be done to a piece: entering it, and every correction, each as a new row."""

from collections.abc import Mapping
from typing import Any

from console.ledger.acts.journal import Journal
from console.ledger.consignments.standing import why_fixed
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.queries import row_by_id
from console.ledger.rows.reading_rows import READINGS
from console.ledger.rows.row_text import ON_PLATFORM, WEIGHINGS
from console.ledger.rows.rows import PieceEntry, PieceState, Row, RowKind
from console.ledger.rows.runs import run_by_id
from console.ledger.views.piece_state import piece_state, standing_of

_VOIDABLE = (
    RowKind.PIECE,
    RowKind.TICKET,
    RowKind.NOTE,
    RowKind.DRAW_DOWN,
    RowKind.CHECK,
    RowKind.RECHECK,
    RowKind.CONSIGNMENT,
)


class PieceActs:
    """The acts on pieces. Each checks that it makes sense, and is one transaction."""

    def __init__(self, journal: Journal) -> None:
        self._journal = journal

    def add(self, entry: PieceEntry, person: str) -> Row:
        """Add a piece to the open run; on disk when this returns.

        Raises:
            LedgerRefusal: No run is open, or weight or count are not positive.
            StoreError: The disk refused; nothing was written.
        """
        if entry.mass_g <= 0 or entry.pieces < 1:
            raise LedgerRefusal(
                f"A piece weighs more than 0 g and counts 1 or more; this one has {entry.mass_g} g "
                f"and counts {entry.pieces}."
            )
        return self._journal.append(
            RowKind.PIECE,
            person=person,
            bay=entry.bay,
            grade_id=entry.grade_id,
            mass_g=entry.mass_g,
            pieces=entry.pieces,
            tag=entry.tag,
            body=_said_of(entry),
            evidence=entry.evidence,
        )

    def void(self, row_id: str, reason: str, person: str) -> Row:
        """Take a piece, ticket, note or draw-down out of the sums.

        Raises:
            LedgerRefusal: It is void already, no such row, or a consignment holds it fast.
        """
        return self._turn(RowKind.VOID, row_id, reason, person, otherwise="is void already.")

    def unvoid(self, row_id: str, reason: str, person: str) -> Row:
        """Take a void back.

        Raises:
            LedgerRefusal: The row is not void, there is none, or a consignment has been sealed since.
        """
        otherwise = "is not void; there is nothing to take back."
        return self._turn(RowKind.UNVOID, row_id, reason, person, otherwise=otherwise)

    def _turn(self, kind: RowKind, row_id: str, reason: str, person: str, *, otherwise: str) -> Row:
        with self._journal.act():
            row, comes_back = _the_row(self._journal, row_id, *_VOIDABLE), kind is RowKind.UNVOID
            if why := why_fixed(self._journal, row, comes_back=comes_back):
                raise LedgerRefusal(why)
            if standing_of(self._journal, row).is_void is not comes_back:
                raise LedgerRefusal(f"This {row.kind.value} {otherwise}")
            return self._correct(kind, row, reason, person)

    def move(
        self,
        row_id: str,
        bay: str,
        reason: str,
        person: str,
        *,
        tag: str | None = None,
        grade_id: str | None = None,
    ) -> Row:
        """Move a piece to another bay; out of hold too, and onto hold when a tag is given.

        Args:
            row_id: The piece.
            bay: Where it goes.
            reason: Why.
            person: Who did it.
            tag: Number written on it, where it goes onto hold.
            grade_id: What it is named from now on, empty for nothing, where the move takes a resolved hold
                back; None for a move that changes no name.

        Raises:
            LedgerRefusal: The piece is void, or it lies in that bay already.
        """
        with self._journal.act():
            row, state = self._standing_piece(row_id)
            if state.bay == bay and (tag is None or state.is_held):
                raise LedgerRefusal(f"The piece lies in {bay} already.")
            return self._correct(RowKind.MOVE, row, reason, person, bay=bay, tag=tag, grade_id=grade_id)

    def reweigh(
        self, row_id: str, mass_g: int, reason: str, person: str, *, pieces: int | None = None
    ) -> Row:
        """Correct the weight, and the count if given, of a piece.

        Raises:
            LedgerRefusal: The piece is void, nothing would change, or the weight or count are not positive.
        """
        if mass_g <= 0 or (pieces is not None and pieces < 1):
            raise LedgerRefusal("A piece weighs more than 0 g and counts 1 or more.")
        with self._journal.act():
            row, state = self._standing_piece(row_id)
            if state.mass_g == mass_g and pieces in (None, state.pieces):
                raise LedgerRefusal("The piece has this weight and count already.")
            return self._correct(RowKind.REWEIGH, row, reason, person, mass_g=mass_g, pieces=pieces)

    def assign(
        self, row_id: str, supplier: str, load: str, reason: str, person: str, *, together: str = ""
    ) -> Row:
        """Say whose load a piece belongs to; `together` is the same for every row of one act on several.

        Raises:
            LedgerRefusal: The piece is void.
        """
        with self._journal.act():
            row, _ = self._standing_piece(row_id)
            body = {"supplier": supplier, "load": load, "together": together}
            return self._correct(RowKind.LOAD, row, reason, person, body=body)

    def resolve(
        self,
        row_id: str,
        bay: str,
        reason: str,
        person: str,
        *,
        grade_id: str | None,
        line: str = "",
        sureness: str = "",
        evidence: Mapping[str, Any] | None = None,
        twins: tuple[str, ...] = (),
        class_name: str = "",
        readings: tuple[Mapping[str, Any], ...] = (),
    ) -> Row:
        """Name a piece that waits on hold and send it to a bay.

        Args:
            row_id, bay: The piece, and where it goes.
            reason, person: What settled it, and who did it.
            grade_id, class_name: What it is, and the class that it is called by; None and empty for none.
            line: The entry line with the new findings, as typed.
            sureness: How sure the placement is.
            evidence: Facts, candidates and reasons as they are now.
            twins: Grades that the findings cannot tell from `grade_id`.
            readings: Those from files that are among the findings; the row keeps them.

        Raises:
            LedgerRefusal: The piece is void or does not wait on hold.
        """
        with self._journal.act():
            row, state = self._standing_piece(row_id)
            if not state.is_held:
                raise LedgerRefusal(f"The piece is not on hold, it lies in {state.bay}. Move it instead.")
            body: dict[str, Any] = {"line": line, "sureness": sureness, "tag_freed": state.tag}
            body["twins"] = list(twins)
            body |= {"class": class_name} if class_name else {}
            body |= {READINGS: list(readings)} if readings else {}
            return self._correct(
                RowKind.RESOLVE, row, reason, person, bay=bay, grade_id=grade_id, body=body, evidence=evidence
            )

    def _standing_piece(self, row_id: str) -> tuple[Row, PieceState]:
        """Return a piece that may be corrected, as entered and as it stands."""
        row = _the_row(self._journal, row_id, RowKind.PIECE)
        state = piece_state(self._journal, row_id)
        assert state is not None
        if state.is_void:
            raise LedgerRefusal("The piece is void. Take the void back first.")
        return row, state

    def _correct(
        self,
        kind: RowKind,
        row: Row,
        reason: str,
        person: str,
        *,
        body: Mapping[str, Any] | None = None,
        **values: Any,
    ) -> Row:
        """Add a row that corrects another; it belongs to the run of the row that it corrects."""
        if not reason.strip():
            raise LedgerRefusal("Say in a few words why; the reason stands in the handover.")
        run = run_by_id(self._journal, row.run_id)
        body = {**(body or {}), "reason": reason}
        if run is not None and run.is_closed:
            body["after_close"] = True
        return self._journal.append(
            kind, person=person, run_id=row.run_id, refers=row.row_id, body=body, **values
        )


def _said_of(entry: PieceEntry) -> dict[str, Any]:
    """Return the body of a piece's row: what is said only; what is not there is the default."""
    body = {
        "line": entry.line,
        "note": entry.note,
        "sureness": entry.sureness,
        "is_override": entry.is_override,
        "waits_for": entry.waits_for,
        "load": entry.load,
        "supplier": entry.supplier,
        "twins": list(entry.twins),
        "class": entry.class_name,
        "as_before": entry.as_before,
        "recheck": entry.recheck,
        ON_PLATFORM: entry.is_on_platform,
        WEIGHINGS: entry.weighings if entry.weighings > 1 else None,
        READINGS: list(entry.readings),
    }
    return {key: value for key, value in body.items() if value not in (None, "", False, [])}


def _the_row(source: LedgerSource, row_id: str, *kinds: RowKind) -> Row:
    """Return a row that an act is about.

    Raises:
        LedgerRefusal: There is no such row, or it is of another kind.
    """
    row = row_by_id(source, row_id)
    if row is None:
        raise LedgerRefusal(f"There is no row {row_id} in this ledger. Pick one from the review screen.")
    if row.kind not in kinds:
        names = " or ".join(kind.value for kind in kinds)
        raise LedgerRefusal(f"Row {row_id} is a {row.kind.value}; this can be done to a {names} only.")
    return row
