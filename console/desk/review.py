"""Looking back over a run: every piece, and what may be mended on it, each mend a new row."""

from console.desk import sentences
from console.desk.at_hand import PieceAtHand
from console.desk.considering import Consideration
from console.desk.evidence import evidence_of, likely_twins
from console.desk.refusal import DeskRefusal
from console.desk.replacing import REPLACED_REASON, is_replacement
from console.desk.skin_guard import why_guarded
from console.entry.parsed import TokenKind
from console.ground.cleaning import clean
from console.ground.mass import MassError, format_mass, parse_mass_g
from console.ledger.rows.queries import row_by_id
from console.ledger.rows.rows import PieceState, Row, RowKind
from console.ledger.views.piece_state import piece_state, piece_states

_NOT_FINDINGS = frozenset({TokenKind.WEIGHT, TokenKind.COUNT, TokenKind.NOTE, TokenKind.BAY, TokenKind.HOLD})
"""Words of the old line that say nothing of the metal."""


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

    def reweigh(self, row_id: str, mass_text: str, reason: str) -> None:
        """Correct the weight of a piece, as typed.

        Raises:
            DeskRefusal: The weight cannot be read.
        """
        try:
            mass_g = parse_mass_g(mass_text, self.yard.weight_unit)
        except MassError as error:
            raise DeskRefusal(str(error)) from error
        self.history.record(self.ledger.reweigh(row_id, mass_g, clean(reason), self.person))

    def reconsider(self, row_id: str, findings: str) -> Consideration:
        """Return what a held piece can be with new findings beside those it was entered with.

        Args:
            row_id: The piece.
            findings: Further words of the entry line: a reading, a scratch colour, a name.

        Raises:
            DeskRefusal: There is no such piece.
        """
        state = piece_state(self.ledger, row_id)
        if state is None:
            raise DeskRefusal("There is no such piece in this store.")
        kept = [t.text for t in self.consider(state.line).parsed.tokens if t.kind not in _NOT_FINDINGS]
        weight = format_mass(state.mass_g, "g").replace(" ", "")
        return self.consider(" ".join([weight, *kept, clean(findings)]))

    def resolve(self, row_id: str, findings: str, reason: str, *, bay_code: str | None = None) -> str:
        """Name a held piece with new findings and send it to its bay; return what it became.

        Raises:
            DeskRefusal: The findings are in doubt, or still no bay is sure enough and none was chosen.
        """
        considered = self.reconsider(row_id, findings)
        if considered.parsed.problems:
            raise DeskRefusal(considered.parsed.problems[0])
        bay = self.bay_for(considered, bay_code)
        if bay.is_hold:
            why = considered.placement.reason if considered.placement else ""
            raise DeskRefusal(f"Still undecided ({why}). Choose a bay, or leave it on hold.")
        if guarded := why_guarded(considered, bay, self.yard):
            raise DeskRefusal(f"{guarded} Who knows better moves the piece there, with a reason.")
        best = considered.verdict.best
        row = self.ledger.resolve(
            row_id,
            bay.code,
            clean(reason),
            self.person,
            grade_id=best.grade.grade_id if best else None,
            line=considered.parsed.line,
            sureness=considered.placement.sureness.value if considered.placement else "",
            evidence=evidence_of(considered, self.known.doubts),
            twins=likely_twins(considered.verdict),
        )
        self.history.record(row)
        return f"off hold -> {bay.code} {bay.name}: {best.grade.grade_id if best else 'no name'}"

    def last_piece(self) -> PieceState | None:
        """Return the piece tallied last that still stands; None when there is none."""
        for row in reversed(self.history.done):
            if row.kind is RowKind.PIECE:
                state = piece_state(self.ledger, row.row_id)
                if state is not None and not state.is_void:
                    return state
        return None

    def replace_last(self, considered: Consideration, *, bay_code: str | None = None) -> str:
        """Void the last piece and tally what its line should have said, both or neither; say what it became.

        Raises:
            DeskRefusal: There is no last piece, or the line cannot be tallied.
            StoreError: The disk refused; nothing was written.
        """
        last = self.last_piece()
        if last is None:
            raise DeskRefusal("No piece in this run yet to correct.")
        bay = self.bay_for(considered, bay_code)
        used = self.readings.used_by(considered.parsed.line, corrected=last.row_id)
        with self.ledger.act():
            void = self.ledger.void(last.row_id, REPLACED_REASON, self.person)
            tallied = self._tally(considered, bay, used)
        # The tally has recorded the piece; the void came before it.
        self.history.done.insert(len(self.history.done) - 1, void)
        return f"corrected: {tallied.sentence}"

    def undo(self) -> str:
        """Take back the last act of this run by a new row; say what."""
        if is_replacement(self.ledger, self.history.done.newest(2)):
            with self.ledger.act():
                self.history.undo(self.ledger, self.person)
                row = self.history.undo(self.ledger, self.person)
            return f"taken back: the correction of {self._piece_of(row)}"
        row = self.history.undo(self.ledger, self.person)
        if row.kind is RowKind.CHECK:
            self.learn()
        return f"taken back: {self._said_of(row)}"

    def redo(self) -> str:
        """Take back the last undo; say what."""
        if is_replacement(self.ledger, self.history.undone.newest(2)[::-1]):
            with self.ledger.act():
                self.history.redo(self.ledger, self.person)
                row = self.history.redo(self.ledger, self.person)
            return f"once more: the correction to {self._piece_of(row)}"
        row = self.history.redo(self.ledger, self.person)
        self.learn()
        return f"once more: {self._said_of(row)}"

    def _said_of(self, row: Row) -> str:
        """Return what a row did, in words."""
        about = row_by_id(self.ledger, row.refers) if row.refers else None
        return sentences.act(row, about, self.yard)

    def _piece_of(self, row: Row) -> str:
        """Return the piece that a row entered or is about, in words."""
        about = row_by_id(self.ledger, row.refers) if row.refers else None
        return sentences.act(about or row, None, self.yard)
