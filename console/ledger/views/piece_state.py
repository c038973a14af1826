"""How a piece stands after everything that was done to it since."""

from collections.abc import Iterable, Sequence

from console.ledger.rows.connection import Readable, one_view
from console.ledger.rows.reading import row_by_id, rows_where
from console.ledger.rows.rows import PieceState, Row, RowKind
from console.ledger.views.correction_words import standing_of, story_of

CORRECTIONS = "kind IN ('void', 'unvoid', 'move', 'reweigh', 'resolve')"


def piece_states(source: Readable, run_id: str) -> list[PieceState]:
    """Return every piece of a run as it stands now, oldest first, voided ones too."""
    with one_view(source):
        corrections = by_reference(rows_where(source, f"run_id = ? AND {CORRECTIONS}", (run_id,)))
        pieces = rows_where(source, "run_id = ? AND kind = 'piece'", (run_id,))
    return [state_of(piece, corrections.get(piece.row_id, ())) for piece in pieces]


def piece_state(source: Readable, row_id: str) -> PieceState | None:
    """Return one piece as it stands now, None if there is no such piece."""
    with one_view(source):
        piece = row_by_id(source, row_id)
        if piece is None or piece.kind is not RowKind.PIECE:
            return None
        return state_of(piece, corrections_of(source, row_id))


def corrections_of(source: Readable, row_id: str) -> list[Row]:
    """Return the rows that correct a row, oldest first."""
    return rows_where(source, f"refers = ? AND {CORRECTIONS}", (row_id,), index="ledger_by_reference")


def remarkable_pieces(source: Readable, run_id: str) -> list[PieceState]:
    """Return the pieces of a run that a reader of the handover should know of, oldest first.

    These are the ones that were corrected, that went to another bay than the suggested one, or that
    bear a note.
    """
    with one_view(source):
        corrections = by_reference(rows_where(source, f"run_id = ? AND {CORRECTIONS}", (run_id,)))
        pieces = rows_where(
            source,
            "run_id = ? AND kind = 'piece' "
            "AND (instr(body, '\"is_override\":true') OR instr(body, '\"note\":') "
            f"OR row_id IN (SELECT refers FROM ledger WHERE run_id = ? AND {CORRECTIONS}))",
            (run_id, run_id),
        )
    states = (state_of(piece, corrections.get(piece.row_id, ())) for piece in pieces)
    return [state for state in states if state.corrections or state.is_override or state.note]


def waiting_pieces(source: Readable, run_id: str | None = None) -> list[PieceState]:
    """Return every piece that still waits on hold, oldest first.

    Args:
        source: The ledger or a reader.
        run_id: The run whose pieces are meant; None for all runs: the yard's whole hold shelf.
    """
    of_run, values = ("", ()) if run_id is None else (" AND run_id = ?", (run_id,))
    tagged = (
        "SELECT CASE kind WHEN 'piece' THEN row_id ELSE refers END FROM ledger INDEXED BY ledger_by_tag "
        f"WHERE tag IS NOT NULL{of_run}"
    )
    with one_view(source):
        pieces = rows_where(source, f"row_id IN ({tagged})", values)
        corrections = by_reference(rows_where(source, f"refers IN ({tagged}) AND {CORRECTIONS}", values))
    states = (state_of(piece, corrections.get(piece.row_id, ())) for piece in pieces)
    return [state for state in states if state.is_held and not state.is_void]


def by_reference(corrections: Iterable[Row]) -> dict[str, list[Row]]:
    """Return correction rows by the row that they correct, oldest first."""
    found: dict[str, list[Row]] = {}
    for row in corrections:
        found.setdefault(str(row.refers), []).append(row)
    return found


def state_of(piece: Row, corrections: Sequence[Row] = ()) -> PieceState:
    """Return the state that a piece's row and its corrections, oldest first, come to."""
    standing, said = standing_of(piece), piece.body.get
    story = story_of(piece, corrections)
    naming = story.naming or piece
    for row in corrections:
        standing.correct(row)
    return PieceState(
        row_id=piece.row_id,
        seq=piece.seq,
        run_id=piece.run_id,
        at_utc=piece.at_utc,
        person=piece.person,
        bay=standing.bay,
        grade_id=standing.grade_id,
        mass_g=standing.mass_g,
        pieces=standing.pieces,
        line=said("line", ""),
        tag=standing.tag,
        note=said("note", ""),
        sureness=naming.body.get("sureness", ""),
        twins=tuple(naming.body.get("twins", ())),
        is_override=said("is_override", False),
        is_void=standing.is_void,
        is_held=standing.is_held,
        corrections=tuple(story.words),
        is_taken_back=story.is_taken_back,
        waits_for=said("waits_for", ""),
        load=said("load", ""),
        supplier=said("supplier", ""),
        is_corrected_late=story.is_late,
    )
