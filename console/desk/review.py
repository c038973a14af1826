"""Looking back over a run: every piece, and what may be mended on it, each mend a new row."""

from console.desk import sentences
from console.desk.at_hand import PieceAtHand
from console.desk.refusal import DeskRefusal
from console.entry.cleaning import clean
from console.ledger.piece_state import piece_states
from console.ledger.rows import PieceState, RowKind


class Review(PieceAtHand):
    """The acts on what was tallied before."""

    def pieces(self) -> list[PieceState]:
        """Return every piece of the open run, newest first, voided ones too."""
        return piece_states(self.ledger, self.run().run_id)[::-1]

    def void(self, row_id: str, reason: str) -> None:
        """Void a piece."""
        self.history.record(self.ledger.void(row_id, clean(reason), self.person))

    def move(self, row_id: str, bay_code: str, reason: str) -> None:
        """Move a piece to another bay; off hold too, and onto hold with the next free tag.

        Raises:
            DeskRefusal: The bay is not in yard.toml.
        """
        try:
            bay = self.yard.bay(bay_code)
        except KeyError as error:
            raise DeskRefusal(str(error.args[0])) from error
        tag = self.ledger.next_tag() if bay.is_hold else None
        self.history.record(self.ledger.move(row_id, bay.code, clean(reason), self.person, tag=tag))

    def undo(self) -> str:
        """Take back the last act of this run by a new row; say what."""
        row = self.history.undo(self.ledger, self.person)
        if row.kind is RowKind.CHECK:
            self.learn()
        return f"taken back: {sentences.act(row, self.yard)}"

    def redo(self) -> str:
        """Take back the last undo; say what."""
        row = self.history.redo(self.ledger, self.person)
        self.learn()
        return f"done again: {sentences.act(row, self.yard)}"
