"""What metal lies in the bays now, by every piece that was tallied into them and not yet drawn down."""

from collections.abc import Mapping
from dataclasses import dataclass

from console.ledger.connection import Readable, one_view
from console.ledger.reading import evidence_of
from console.ledger.rows import RowKind
from console.ledger.standing import Mark, Standing
from console.ledger.trouble import told_plainly
from console.yard.chemistry import BaySums, content_of
from console.yard.yard import Yard
from grade_library.library import GradeLibrary

_COLUMNS = "seq, row_id, refers, json_extract(body, '$.emptied'), kind, bay, grade_id, mass_g, pieces, tag"


@dataclass(slots=True)
class _Lying:
    """A piece in the bay where it lies, from the row on that brought it there."""

    standing: Standing
    since: int
    """seq of the row that brought it there."""
    evidence_row: str


@dataclass(frozen=True, slots=True)
class _Taken:
    """Metal that went out of a bay."""

    bay: str
    mass_g: int
    empties: bool
    since: int


def bay_metal(source: Readable, yard: Yard, library: GradeLibrary) -> dict[str, BaySums]:
    """Return the sums of every bay of the yard as it lies now, over all runs.

    A draw-down takes its part of everything that lay in the bay when it was made. Pieces count where they
    stand after all corrections, from the row on that brought them there.

    Args:
        source: The ledger or a reader.
        yard: Its bays; pieces in bays that it no longer has are left out.
        library: The grades.
    """
    with one_view(source):
        pieces, taken = _book(source)
        return {
            bay.code: _sums_of(
                source,
                yard,
                library,
                bay.code,
                [one for one in pieces if one.standing.bay == bay.code],
                [one for one in taken if one.bay == bay.code],
            )
            for bay in yard.bays
        }


def bales_before(source: Readable, bay_code: str, terminal: str) -> int:
    """Return how many bales were taken out of a bay on one terminal, voided ones too: a tag is given once."""
    with told_plainly(source.path):
        found = source.connection.execute(
            "SELECT count(*) FROM ledger WHERE kind = 'draw-down' AND bay = ? AND terminal = ?",
            (bay_code, terminal),
        ).fetchone()
    return int(found[0])


def _book(source: Readable) -> tuple[list[_Lying], list[_Taken]]:
    """Return every piece that stands, and every draw-down that was not voided."""
    pieces: dict[str, _Lying] = {}
    taken: dict[str, _Taken] = {}
    void: set[str] = set()
    with told_plainly(source.path):
        rows = source.connection.execute(
            f"SELECT {_COLUMNS} FROM ledger WHERE "
            "kind IN ('piece', 'void', 'unvoid', 'move', 'reweigh', 'resolve', 'draw-down') ORDER BY seq"
        )
        for seq, row_id, refers, emptied, kind, *values in rows:
            mark = Mark(kind, *values)
            if kind == RowKind.PIECE:
                standing = Standing(
                    mark.bay or "", mark.grade_id, mark.mass_g or 0, mark.pieces or 1, mark.tag, False
                )
                pieces[row_id] = _Lying(standing, seq, row_id)
            elif kind == RowKind.DRAW_DOWN:
                taken[row_id] = _Taken(mark.bay or "", mark.mass_g or 0, bool(emptied), seq)
            elif refers in pieces:
                _correct(pieces[refers], mark, seq, row_id)
            elif refers in taken:
                (void.add if kind == RowKind.VOID else void.discard)(refers)
    return (
        [one for one in pieces.values() if not one.standing.is_void],
        [one for row_id, one in taken.items() if row_id not in void],
    )


def _correct(piece: _Lying, mark: Mark, seq: int, row_id: str) -> None:
    piece.standing.correct(mark)
    if mark.kind in (RowKind.MOVE, RowKind.RESOLVE):
        piece.since = seq
    if mark.kind == RowKind.RESOLVE:
        piece.evidence_row = row_id


def _sums_of(
    source: Readable,
    yard: Yard,
    library: GradeLibrary,
    code: str,
    pieces: list[_Lying],
    taken: list[_Taken],
) -> BaySums:
    """Return the sums of one bay; what was drawn down entirely is not looked at again."""
    bay = yard.bay(code)
    events: list[_Lying | _Taken] = sorted([*pieces, *taken], key=lambda one: one.since)
    sums = BaySums.empty(library, yard.techniques)
    for event in events[_last_emptied(events) :]:
        if isinstance(event, _Taken):
            share = 1.0 if sums.mass_g <= 0.0 else min(1.0, event.mass_g / sums.mass_g)
            sums = sums.part(0.0 if event.empties else 1.0 - share)
            continue
        standing = event.standing
        evidence: Mapping[str, object] = evidence_of(source, event.evidence_row)
        content = content_of(
            evidence,
            mass_g=standing.mass_g,
            pieces=standing.pieces,
            grade_id=standing.grade_id,
            bay=bay,
            library=library,
        )
        sums = sums.plus(content, bay)
    return sums


def _last_emptied(events: list[_Lying | _Taken]) -> int:
    """Return where the events begin that matter: after the last draw-down that left nothing."""
    lying, start = 0.0, 0
    for at, event in enumerate(events):
        if isinstance(event, _Lying):
            lying += event.standing.mass_g
        else:
            lying = 0.0 if event.empties else max(0.0, lying - event.mass_g)
            start = at + 1 if lying <= 0.0 else start
    return start
