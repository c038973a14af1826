"""What a key does at the desk, and what is said of it. Knows no widget."""

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from console.panes.said_pane import Said
from console.screens import words

if TYPE_CHECKING:
    from console.desk import Consideration, Desk
    from console.ledger.rows.rows import PieceState
    from grade_library.reading import Averaged


BARE_WEIGHT_KINDS = {"weight"}


def refusals() -> tuple[type[Exception], ...]:
    """Return what the desk raises when an act cannot be done.

    Imported when first needed: the desk brings numpy and SQLite along, and the first picture must not wait.
    """
    from console.desk import DeskRefusal
    from console.ledger.rows.errors import LedgerRefusal, StoreError

    return (DeskRefusal, LedgerRefusal, StoreError)


class Bench:
    """The desk as the keys see it: every act comes back as a sentence."""

    def __init__(self, desk: "Desk", *, now: Callable[[], datetime]) -> None:
        self.desk = desk
        self.now = now
        self.last_bay = ""
        """Code of the bay that changed last; empty until something did."""
        self.last_label = ""
        """What the last piece of the run was, for "same again"; empty while there is none."""
        self.recall_last()

    def recall_last(self) -> None:
        """Read from the ledger what the last piece is now."""
        from console.ledger.rows.rows import RowKind
        from console.ledger.views.tally import piece_state

        last = next((row for row in reversed(self.desk.history.done) if row.kind is RowKind.PIECE), None)
        state = piece_state(self.desk.ledger, last.row_id) if last else None
        self.last_label = f"{state.grade_id or 'unnamed'} in {state.bay}" if state else ""
        self.last_bay = state.bay if state else ""

    def latest(self, count: int) -> "tuple[PieceState, ...]":
        """Return the pieces tallied last, newest first."""
        from console.ledger.views.latest import latest_pieces

        return latest_pieces(self.desk.ledger, self.desk.run().run_id, count)

    def readings_of(self, considered: "Consideration") -> "tuple[Averaged, ...]":
        """Return what was read of the metal, one averaged reading per technique."""
        from grade_library.reading import average, metal_shots

        return average(metal_shots(considered.parsed.facts.shots), self.desk.known.techniques)

    def instead_of_placement(self, considered: "Consideration") -> str:
        """Return what Enter does with a bare weight: the last piece again; empty when the line says more."""
        kinds = {str(token.kind) for token in considered.parsed.tokens}
        if kinds != BARE_WEIGHT_KINDS or not considered.parsed.can_be_tallied:
            return ""
        return words.SAME_AGAIN.format(label=self.last_label) if self.last_label else ""

    def bay_at_hand(self, considered: "Consideration") -> str:
        """Return the code of the bay that Enter would tally into; empty when there is none."""
        if considered.parsed.is_blank:
            return ""
        if considered.parsed.is_hold:
            return self.desk.yard.hold_bay.code
        if considered.parsed.bay_code:
            return considered.parsed.bay_code
        if self.instead_of_placement(considered):
            return self.last_bay
        return considered.placement.bay.code if considered.placement else ""

    def tally(self, considered: "Consideration", bay_code: str | None = None) -> Said:
        """Tally the piece."""
        return self._do(lambda: self.desk.tally(considered, bay_code=bay_code).sentence)

    def same_again(self, mass_text: str) -> Said:
        """Tally the last piece once more with another weight."""
        return self._do(lambda: self.desk.same_again(mass_text).sentence)

    def correct(self, considered: "Consideration", bay_code: str | None = None) -> Said:
        """Put a piece in the place of the last one."""
        return self._do(lambda: self.desk.replace_last(considered, bay_code=bay_code))

    def undo(self) -> Said:
        """Take back the last act."""
        return self._do(self.desk.undo)

    def redo(self) -> Said:
        """Take back the last undo."""
        return self._do(self.desk.redo)

    def note(self, text: str) -> Said:
        """Add a note for the handover."""

        def act() -> str:
            self.desk.note(text)
            return words.NOTED.format(text=text)

        return attempt(act)

    def take_over(self, person: str) -> Said:
        """Hand the run to another person."""

        def act() -> str:
            self.desk.take_over(person)
            return words.TAKEN_OVER.format(person=person)

        return attempt(act)

    def void(self, row_id: str, reason: str) -> Said:
        """Void a piece."""

        def act() -> str:
            self.desk.void(row_id, reason)
            return words.VOIDED.format(reason=reason)

        return attempt(act)

    def move(self, row_id: str, bay_code: str, reason: str) -> Said:
        """Move a piece to another bay."""

        def act() -> str:
            self.desk.move(row_id, bay_code, reason)
            return words.MOVED.format(bay=bay_code, reason=reason)

        return self._do(act)

    def _do(self, act: Callable[[], str]) -> Said:
        said = attempt(act)
        if not said.is_refusal:
            self.recall_last()
        return said


def attempt(act: Callable[[], str]) -> Said:
    """Do an act; return what it says, or why it was refused."""
    try:
        return Said(act())
    except refusals() as refusal:
        return Said(str(refusal), is_refusal=True)
