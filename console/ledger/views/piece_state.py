"""How a piece stands after everything that was done to it since."""

from datetime import datetime

from console.ground.scanned import BARE_SQL, bare_tag
from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.queries import row_by_id, rows_where
from console.ledger.rows.row_text import ON_PLATFORM, WEIGHINGS, time_text
from console.ledger.rows.rows import PieceState, Row, RowKind
from console.ledger.rows.runs import Where, of_run
from console.ledger.views.replay import CORRECTIONS, Standing, stand_after

ANY_CORRECTION = Where("refers IS NOT NULL")


def piece_states(source: LedgerSource, run_id: str) -> list[PieceState]:
    """Return every piece of a run as it stands now, oldest first, voided ones too."""
    return [state_of(one) for one in standing_where(source, of_run(run_id), of_run(run_id))]


def piece_state(source: LedgerSource, row_id: str) -> PieceState | None:
    """Return one piece as it stands now, None if there is no such piece."""
    with one_view(source):
        piece = row_by_id(source, row_id)
        if piece is None or piece.kind is not RowKind.PIECE:
            return None
        return state_of(standing_of(source, piece))


def standing_where(
    source: LedgerSource, pieces: Where, corrections: Where = ANY_CORRECTION
) -> list[Standing]:
    """Return every piece that meets a condition as it stands now, oldest first, voided ones too.

    Args:
        source: The ledger or a reader.
        pieces: What is asked of the piece's own row.
        corrections: Where the corrections of all of them are among, quicker to find than everywhere.
    """
    with one_view(source):
        entered = rows_where(source, f"kind = 'piece' AND {pieces.sql}", pieces.values)
        corrected = rows_where(source, f"{CORRECTIONS} AND {corrections.sql}", corrections.values)
    return list(stand_after([*entered, *corrected]).values())


def entered_in(start: datetime | None, end: datetime | None, run_id: str | None) -> Where:
    """Return which rows were written in a stretch of time and a run; None for open ends and all runs."""
    asked = {
        "at_utc >= ?": start and time_text(start), "at_utc < ?": end and time_text(end), "run_id = ?": run_id,
    }  # fmt: skip
    given = {condition: value for condition, value in asked.items() if value is not None}
    return Where(" AND ".join(["seq > 0", *given]), tuple(given.values()))


def standing_of(source: LedgerSource, row: Row) -> Standing:
    """Return a row of any kind as it stands now."""
    return stand_after([row, *corrections_of(source, row.row_id)])[row.row_id]


def standing_rows(source: LedgerSource, condition: str) -> list[Row]:
    """Return the rows of any kind that meet a condition and are not void, oldest first.

    Args:
        source: The ledger or a reader.
        condition: SQL after WHERE, written by this program, without values.
    """
    with one_view(source):
        rows = rows_where(source, condition)
        refers = f"refers IN (SELECT row_id FROM ledger WHERE {condition})"
        corrections = rows_where(source, f"{refers} AND {CORRECTIONS}") if rows else []
    stands = stand_after([*rows, *corrections])
    return [row for row in rows if not stands[row.row_id].is_void]


def naming_row(source: LedgerSource, row_id: str) -> Row:
    """Return the row that named a piece: the one that resolved it, unless that was taken back, else its own.

    Raises:
        LedgerRefusal: There is no such row.
    """
    piece = row_by_id(source, row_id)
    if piece is None:
        raise LedgerRefusal(f"There is no row {row_id} in this ledger.")
    named = standing_of(source, piece).naming
    assert isinstance(named, Row)
    return named


def corrections_of(source: LedgerSource, row_id: str) -> list[Row]:
    """Return the rows that correct a row, oldest first."""
    return rows_where(source, f"refers = ? AND {CORRECTIONS}", (row_id,), index="ledger_by_reference")


def remarkable_pieces(source: LedgerSource, run_id: str) -> list[PieceState]:
    """Return the pieces of a run that a reader of the handover should know of, oldest first.

    These are the ones that were corrected, that went to another bay than the suggested one, or that
    bear a note; whose load a piece belongs to may be said later without a word here.
    """
    corrected = f"SELECT refers FROM ledger WHERE run_id = ? AND {CORRECTIONS}"
    said = "instr(body, '\"is_override\":true') OR instr(body, '\"note\":')"
    pieces = Where(f"run_id = ? AND ({said} OR row_id IN ({corrected}))", (run_id, run_id))
    states = map(state_of, standing_where(source, pieces, of_run(run_id)))
    return [state for state in states if state.is_mended or state.is_override or state.note]


def pieces_weighed_otherwise(source: LedgerSource, run_id: str) -> list[PieceState]:
    """Return the standing pieces of a run that the bench scale did not weigh in one go, oldest first."""
    said = f"instr(body, '\"{ON_PLATFORM}\":') OR instr(body, '\"{WEIGHINGS}\":')"
    pieces = Where(f"run_id = ? AND kind = 'piece' AND ({said})", (run_id,))
    states = map(state_of, standing_where(source, pieces, of_run(run_id)))
    return [one for one in states if not one.is_void and (one.is_on_platform or one.weighings > 1)]


def waiting_pieces(source: LedgerSource, run_id: str | None = None) -> list[PieceState]:
    """Return every piece that still waits on hold, oldest first.

    Args:
        source: The ledger or a reader.
        run_id: The run whose pieces are meant; None for all runs: the yard's whole hold shelf.
    """
    of_run, values = ("", ()) if run_id is None else (" AND run_id = ?", (run_id,))
    tagged = (
        "IN (SELECT CASE kind WHEN 'piece' THEN row_id ELSE refers END FROM ledger INDEXED BY ledger_by_tag "
        f"WHERE tag IS NOT NULL{of_run})"
    )
    found = standing_where(source, Where(f"row_id {tagged}", values), Where(f"refers {tagged}", values))
    return [state_of(one) for one in found if one.is_held and not one.is_void]


def tagged_piece(source: LedgerSource, tag: str) -> PieceState | None:
    """Return the piece with a tag, typed or scanned, as it stands now, also where it waits no more.

    A piece that was corrected keeps the tag that stands on the metal: of its rows the one that stands counts.
    """
    found = rows_where(
        source,
        f"tag IS NOT NULL AND {BARE_SQL.format(column='tag')} = ?",
        (bare_tag(tag),),
        index="ledger_by_tag",
    )
    states = [piece_state(source, row.refers or row.row_id) for row in reversed(found)]
    return next((one for one in states if one is not None and not one.is_void), next(iter(states), None))


def state_of(standing: Standing) -> PieceState:
    """Return the record of a piece as it stands, from its whole rows."""
    piece, named = standing.entered, standing.naming.body
    assert isinstance(piece, Row), "what was said of a piece stands in its whole row only"
    said = piece.body.get
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
        sureness=named.get("sureness", ""),
        twins=tuple(named.get("twins", ())),
        class_name=named.get("class", ""),
        is_override=said("is_override", False),
        is_void=standing.is_void,
        is_held=standing.is_held,
        corrections=standing.told,
        is_taken_back=standing.is_taken_back and standing.is_void,
        waits_for=said("waits_for", ""),
        load=standing.load,
        supplier=standing.supplier,
        is_on_platform=said(ON_PLATFORM, False),
        weighings=said(WEIGHINGS, 1),
        is_corrected_late=standing.is_late,
        as_before=said("as_before", ""),
    )
