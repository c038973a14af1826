"""What metal lies in the bays now, by every piece that was tallied into them and not yet drawn down."""

from dataclasses import dataclass

from console.ledger.rows.connection import Readable, one_view
from console.ledger.rows.reading import evidence_of
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.runs import OF_ALL_RUNS
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.standing import Mark, Standing
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.content import Content, content_of
from console.yard.yard import Bay, Yard
from grade_library.library import GradeLibrary

_COLUMNS = "seq, row_id, refers, json_extract(body, '$.emptied'), kind, bay, grade_id, mass_g, pieces, tag"

DRAWN_DOWN = f"kind = 'draw-down' AND {OF_ALL_RUNS}"
"""SQL that is true of every draw-down, voided ones too."""


@dataclass(slots=True)
class Lying:
    """A piece in the bay where it lies, from the row on that brought it there."""

    standing: Standing
    since: int
    """seq of the row that brought it there."""
    evidence_row: str
    """Row that holds what is known of it."""
    row_id: str
    """Its own row."""
    resolved_row: str = ""
    """Row that resolved it, if one did."""

    @classmethod
    def entered(cls, row: Row | Mark, seq: int, row_id: str) -> "Lying":
        """Return a piece as its own row brought it."""
        standing = Standing(row.bay or "", row.grade_id, row.mass_g or 0, row.pieces or 1, row.tag, False)
        return cls(standing, seq, evidence_row=row_id, row_id=row_id)

    def correct(self, row: Row | Mark, seq: int, row_id: str) -> None:
        """Bring the piece up to date with the next correction."""
        self.standing.correct(row)
        if row.kind in (RowKind.MOVE, RowKind.RESOLVE):
            self.since = seq
        if row.kind == RowKind.RESOLVE:
            self.evidence_row = self.resolved_row = row_id
        elif row.kind == RowKind.MOVE and row.grade_id is not None:
            # The resolve was taken back, or made again.
            self.evidence_row = self.row_id if row.tag else self.resolved_row or self.row_id


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
            f"SELECT count(*) FROM ledger INDEXED BY ledger_by_run WHERE {DRAWN_DOWN} AND bay = ? "
            "AND terminal = ?",
            (bay_code, terminal),
        ).fetchone()
    return int(found[0])


def _book(source: Readable) -> tuple[list[Lying], list[_Taken]]:
    """Return every piece that stands, and every draw-down that was not voided."""
    pieces: dict[str, Lying] = {}
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
                pieces[row_id] = Lying.entered(mark, seq, row_id)
            elif kind == RowKind.DRAW_DOWN:
                taken[row_id] = _Taken(mark.bay or "", mark.mass_g or 0, bool(emptied), seq)
            elif refers in pieces:
                pieces[refers].correct(mark, seq, row_id)
            elif refers in taken:
                (void.add if kind == RowKind.VOID else void.discard)(refers)
    return (
        [one for one in pieces.values() if not one.standing.is_void],
        [one for row_id, one in taken.items() if row_id not in void],
    )


def _sums_of(
    source: Readable,
    yard: Yard,
    library: GradeLibrary,
    code: str,
    pieces: list[Lying],
    taken: list[_Taken],
) -> BaySums:
    """Return the sums of one bay; what was drawn down entirely is not looked at again."""
    bay = yard.bay(code)
    events: list[Lying | _Taken] = sorted([*pieces, *taken], key=lambda one: one.since)
    sums = BaySums.empty(library, yard.techniques)
    for event in events[_last_emptied(events) :]:
        if isinstance(event, _Taken):
            sums = after_draw_down(sums, event.mass_g, empties=event.empties)
        else:
            sums = sums.plus(content_in(source, event, bay, library), bay)
    return sums


def after_draw_down(sums: BaySums, mass_g: int, *, empties: bool) -> BaySums:
    """Return what is left in a bay of which so much was taken blindly."""
    share = 1.0 if sums.mass_g <= 0.0 else min(1.0, mass_g / sums.mass_g)
    return sums.part(0.0 if empties else 1.0 - share)


def content_in(source: Readable, piece: Lying, bay: Bay, library: GradeLibrary) -> Content:
    """Return a piece as metal, by what was known when it was named."""
    return content_of(
        evidence_of(source, piece.evidence_row),
        mass_g=piece.standing.mass_g,
        pieces=piece.standing.pieces,
        grade_id=piece.standing.grade_id,
        bay=bay,
        library=library,
    )


def _last_emptied(events: list[Lying | _Taken]) -> int:
    """Return where the events begin that matter: after the last draw-down that left nothing."""
    lying, start = 0.0, 0
    for at, event in enumerate(events):
        if isinstance(event, Lying):
            lying += event.standing.mass_g
        else:
            lying = 0.0 if event.empties else max(0.0, lying - event.mass_g)
            start = at + 1 if lying <= 0.0 else start
    return start
