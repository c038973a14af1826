"""What further rows of the ledger do to the sums of the bays, without reading the bays anew."""

from collections.abc import Callable, Mapping, Sequence

from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.queries import row_by_id
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.bay_metal import DRAWN_DOWN, after_draw_down, content_in
from console.ledger.views.piece_state import corrections_of
from console.ledger.views.replay import CORRECTING, Standing, stand_after
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.content import Content
from console.yard.yard import Bay, Yard
from grade_library.library import GradeLibrary


class BayChanges:
    """Follows the rows of a ledger from a state of the bays on."""

    def __init__(
        self, source: LedgerSource, yard: Yard, library: GradeLibrary, sums: Mapping[str, BaySums], seen: int
    ) -> None:
        """Begin with the sums as they were after the row `seen`."""
        self.sums = dict(sums)
        self._source = source
        self._library = library
        self._bays = {bay.code: bay for bay in yard.bays}
        self._drawn = _last_draw_downs(source, seen)
        """Bay -> newest draw-down from it."""

    def follow(self, rows: Sequence[Row]) -> bool:
        """Take in the next rows; False where only a look at the whole bay can tell: the sums are void then.

        That is where a draw-down is voided, and where a piece is corrected of which a part was drawn down
        since it came.
        """
        return all(self._follow(row) for row in rows)

    def _follow(self, row: Row) -> bool:
        if row.kind is RowKind.PIECE:
            return self._add(Standing.of(row))
        if row.kind is RowKind.DRAW_DOWN:
            if (bay := row.bay or "") in self.sums:
                empties = bool(row.body.get("emptied"))
                self.sums[bay] = after_draw_down(self.sums[bay], row.mass_g or 0, empties=empties)
            self._drawn[bay] = row.seq
            return True
        return self._correct(row) if row.kind in CORRECTING else True

    def _correct(self, row: Row) -> bool:
        corrected = row_by_id(self._source, row.refers or "")
        if corrected is None or corrected.kind is RowKind.DRAW_DOWN:
            return False
        if corrected.kind is not RowKind.PIECE:
            return True
        earlier = (one for one in corrections_of(self._source, corrected.row_id) if one.seq < row.seq)
        piece = stand_after([corrected, *earlier])[corrected.row_id]
        if not piece.is_void and not self._take_away(piece):
            return False
        piece.correct(row)
        return piece.is_void or self._add(piece)

    def _add(self, piece: Standing) -> bool:
        return self._changed(piece, BaySums.plus)

    def _take_away(self, piece: Standing) -> bool:
        return self._changed(piece, BaySums.minus)

    def _changed(self, piece: Standing, change: Callable[[BaySums, Content, Bay], BaySums]) -> bool:
        bay = self._bays.get(piece.bay)
        if bay is None:
            return True
        if self._drawn.get(bay.code, 0) > piece.since:
            return False
        content = content_in(self._source, piece, bay, self._library)
        self.sums[bay.code] = change(self.sums[bay.code], content, bay)
        return True


def _last_draw_downs(source: LedgerSource, upto: int) -> dict[str, int]:
    """Return bay -> number of the newest row up to `upto` that drew it down, voided ones too."""
    with told_plainly(source.path):
        found = source.connection.execute(
            f"SELECT bay, max(seq) FROM ledger INDEXED BY ledger_by_run WHERE {DRAWN_DOWN} AND seq <= ? "
            "GROUP BY bay",
            (upto,),
        )
        return {str(bay): int(seq) for bay, seq in found}
