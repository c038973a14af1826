"""Looking back over a run: every piece, and what may be mended on it, each mend a new row."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from console.desk import run_pages
from console.desk.done import Done, done
from console.desk.piece.calling import called
from console.desk.piece.considering import Consideration
from console.desk.piece.evidence import evidence_of
from console.desk.piece.skin_guard import why_guarded
from console.desk.piece.tallying import bay_for
from console.desk.readings.offered import kept_form
from console.desk.readings.queue import Together
from console.desk.refusals import DeskRefusal, known_bay, mass_typed, refuse_unclear
from console.desk.sentences import tag_words
from console.desk.tags import tag_in
from console.entry.editing.found_since import with_findings
from console.entry.parse import parse_line
from console.ground.cleaning import clean
from console.ground.mass import format_mass
from console.ledger.rows.rows import PieceState
from console.ledger.rows.runs import runs
from console.ledger.views.latest import latest_pieces, newest_standing
from console.ledger.views.piece_state import piece_state, piece_states, waiting_pieces
from console.reports.placement_text import explained, placement_text

if TYPE_CHECKING:
    from console.desk.desk import Desk


class Review:
    """The pieces tallied before, and the acts on them."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk

    # -- reading --------------------------------------------------------------------------------
    def pieces(self) -> list[PieceState]:
        """Return every piece of the open run, newest first, voided ones too."""
        return piece_states(self._desk.ledger, self._desk.run().run_id)[::-1]

    def latest(self, count: int) -> tuple[PieceState, ...]:
        """Return the pieces of the open run tallied last, newest first."""
        return latest_pieces(self._desk.ledger, self._desk.run().run_id, count)

    def last_piece(self) -> PieceState | None:
        """Return the piece tallied last that still stands; None when there is none."""
        return newest_standing(self._desk.ledger, self._desk.run().run_id)

    def pages(self) -> run_pages.RunPages:
        """Return the open run for somebody who looks at it for a while, read page by page."""
        return run_pages.RunPages(self._desk.ledger, self._desk.run().run_id)

    def waiting_of_earlier_runs(self) -> Sequence[PieceState]:
        """Return the pieces of earlier runs that still wait on hold."""
        run_id = self._desk.run().run_id
        return [piece for piece in waiting_pieces(self._desk.ledger) if piece.run_id != run_id]

    def run_before(self) -> str:
        """Return the run before the open one; empty where there is none."""
        run_id = self._desk.run().run_id
        return next((r.run_id for r in reversed(runs(self._desk.ledger)) if r.run_id != run_id), "")

    def pieces_of(self, run_id: str) -> list[PieceState]:
        """Return every piece of a run, oldest first, voided ones too."""
        return piece_states(self._desk.ledger, run_id)

    def explained(self, row_id: str, width: int) -> str:
        """Return what was known of a piece when it was placed, for so many columns."""
        return placement_text(explained(self._desk.ledger, row_id), self._desk.yard.weight_unit, width)

    # -- mending --------------------------------------------------------------------------------
    def void(self, row_id: str, reason: str) -> Done[None]:
        """Void a piece."""
        row = self._desk.ledger.void(row_id, clean(reason), self._desk.person)
        self._desk.history.record(row)
        return done(f"piece voided: {reason}", row)

    def move(self, row_id: str, bay_code: str, reason: str) -> Done[None]:
        """Move a piece to another bay; off hold too, and onto hold with its tag, or the next free one.

        Raises:
            DeskRefusal: The bay is not in yard.toml.
        """
        ledger, bay = self._desk.ledger, known_bay(bay_code, self._desk.yard)
        before = piece_state(ledger, row_id)
        tag = tag_in(self._desk, bay, before)
        row = ledger.move(row_id, bay.code, clean(reason), self._desk.person, tag=tag)
        self._desk.history.record(row)
        return done(f"piece moved to {bay_code}{tag_words(tag, before)}: {reason}", row)

    def reweigh(self, row_id: str, mass_text: str, reason: str) -> Done[None]:
        """Correct the weight of a piece, as typed.

        Raises:
            DeskRefusal: The weight cannot be read.
        """
        mass_g, before = mass_typed(mass_text, self._desk.yard), piece_state(self._desk.ledger, row_id)
        row = self._desk.ledger.reweigh(row_id, mass_g, clean(reason), self._desk.person)
        self._desk.history.record(row)
        was = format_mass(before.mass_g if before else 0, self._desk.yard.weight_unit)
        now = format_mass(mass_g, self._desk.yard.weight_unit)
        return done(f"weight mended from {was} to {now}: {reason}", row)

    def reconsider(self, row_id: str, findings: str) -> Consideration:
        """Return what a held piece can be with new findings beside those it was entered with.

        Args:
            row_id: The piece.
            findings: Further words of the entry line: a reading, a scratch colour, a name. They hold instead
                of what the line said of the same; "/" before a reading makes it a further shot.

        Raises:
            DeskRefusal: There is no such piece, or the findings are in doubt.
        """
        state = piece_state(self._desk.ledger, row_id)
        if state is None:
            raise DeskRefusal("There is no such piece in this store.")
        weight = format_mass(state.mass_g, "g").replace(" ", "")
        names, yard = self._desk.names, self._desk.yard
        before = parse_line(state.line, names=names, yard=yard)
        found = parse_line(f"{weight} {clean(findings)}", names=names, yard=yard)
        considered = self._desk.consider(f"{weight} {with_findings(before, found)}")
        refuse_unclear(considered.parsed.problems)
        return considered

    def resolve(
        self,
        row_id: str,
        findings: str,
        reason: str,
        *,
        bay_code: str | None = None,
        readings: Together = (),
    ) -> Done[None]:
        """Name a held piece with new findings and send it to its bay; say what it became.

        Args:
            row_id, findings, reason: The piece, as for reconsider, and what settled it.
            bay_code: Where it goes; None for the suggested bay.
            readings: Those from files that are among the findings; they wait no more.

        Raises:
            DeskRefusal: The findings are in doubt, or still no bay is sure enough and none was chosen.
        """
        desk, considered = self._desk, self.reconsider(row_id, findings)
        bay, placement = bay_for(considered, bay_code, desk.yard), considered.placement
        if bay.is_hold:
            why = placement.reason if placement else ""
            raise DeskRefusal(f"Choose a bay, or leave it on hold: still undecided ({why}).")
        if guarded := why_guarded(considered, bay, desk.yard):
            raise DeskRefusal(f"Who knows better moves the piece there, with a reason. {guarded}")
        name = called(considered.verdict)
        row = desk.ledger.resolve(
            *(row_id, bay.code, clean(reason), desk.person),
            grade_id=name.grade_id,
            line=considered.parsed.line,
            sureness=placement.sureness.value if placement else "",
            evidence=evidence_of(considered, desk.known.doubts),
            twins=name.twins,
            class_name=name.class_name,
            readings=kept_form(readings, desk.yard),
        )
        desk.history.record(row)
        return done(f"off hold -> {bay.code} {bay.name}: {name.words}", row)
