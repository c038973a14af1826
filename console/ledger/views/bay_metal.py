"""What metal lies in the bays now, by every piece that was tallied into them and not yet drawn down."""

from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.mark import marks_where
from console.ledger.rows.queries import kept_evidence
from console.ledger.rows.rows import RowKind
from console.ledger.rows.runs import OF_ALL_RUNS
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.replay import CORRECTIONS, Standing, stand_after
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.content import Content, content_of
from console.yard.yard import Bay, Yard
from grade_library.library import GradeLibrary

DRAWN_DOWN = f"kind = 'draw-down' AND {OF_ALL_RUNS}"
"""SQL that is true of every draw-down, voided ones too."""


def bay_metal(source: LedgerSource, yard: Yard, library: GradeLibrary) -> dict[str, BaySums]:
    """Return the sums of every bay of the yard as it lies now, over all runs.

    A draw-down takes its part of everything that lay in the bay when it was made. Pieces count where they
    stand after all corrections, from the row on that brought them there.

    Args:
        source: The ledger or a reader.
        yard: Its bays; pieces in bays that it no longer has are left out.
        library: The grades.
    """
    with one_view(source):
        rows = marks_where(source, f"WHERE kind IN ('piece', 'draw-down') OR {CORRECTIONS}")
        standing = [one for one in stand_after(rows).values() if not one.is_void]
        return {
            bay.code: _sums_of(source, yard, library, bay, [one for one in standing if one.bay == bay.code])
            for bay in yard.bays
        }


def bales_before(source: LedgerSource, bay_code: str, terminal: str) -> int:
    """Return how many bales were taken out of a bay on one terminal, voided ones too: a tag is given once."""
    with told_plainly(source.path):
        found = source.connection.execute(
            f"SELECT count(*) FROM ledger INDEXED BY ledger_by_run WHERE {DRAWN_DOWN} AND bay = ? "
            "AND terminal = ?",
            (bay_code, terminal),
        ).fetchone()
    return int(found[0])


def _sums_of(
    source: LedgerSource, yard: Yard, library: GradeLibrary, bay: Bay, standing: list[Standing]
) -> BaySums:
    """Return the sums of one bay; what was drawn down entirely is not looked at again."""
    events = sorted(standing, key=lambda one: one.since)
    sums = BaySums.empty(library, yard.techniques)
    for event in events[_last_emptied(events) :]:
        if event.entered.kind == RowKind.DRAW_DOWN:
            sums = after_draw_down(sums, event.mass_g, empties=_empties(event))
        else:
            sums = sums.plus(content_in(source, event, bay, library), bay)
    return sums


def _empties(draw_down: Standing) -> bool:
    return bool(draw_down.entered.body.get("emptied"))


def after_draw_down(sums: BaySums, mass_g: int, *, empties: bool) -> BaySums:
    """Return what is left in a bay of which so much was taken blindly."""
    share = 1.0 if sums.mass_g <= 0.0 else min(1.0, mass_g / sums.mass_g)
    return sums.part(0.0 if empties else 1.0 - share)


def content_in(source: LedgerSource, piece: Standing, bay: Bay, library: GradeLibrary) -> Content:
    """Return a piece as metal, by what was known when it was named."""
    return content_of(
        kept_evidence(source, piece.naming.row_id),
        mass_g=piece.mass_g,
        pieces=piece.pieces,
        grade_id=piece.grade_id,
        bay=bay,
        library=library,
    )


def _last_emptied(events: list[Standing]) -> int:
    """Return where the events begin that matter: after the last draw-down that left nothing."""
    lying, start = 0.0, 0
    for at, event in enumerate(events):
        if event.entered.kind == RowKind.DRAW_DOWN:
            lying = 0.0 if _empties(event) else max(0.0, lying - event.mass_g)
            start = at + 1 if lying <= 0.0 else start
        else:
            lying += event.mass_g
    return start
