"""Where placements proved wrong: pieces moved later, holds resolved otherwise, metal that was downgraded."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.queries import kept_evidence, rows_where
from console.ledger.rows.rows import RowKind
from console.ledger.views.downgrades import Downgrade, downgrades
from console.ledger.views.piece_state import entered_in, standing_where
from console.ledger.views.replay import Standing
from console.yard.yard import Yard


class Cause(StrEnum):
    """What contradicted a placement."""

    MOVED = "moved"
    """The piece was moved to another bay after it was tallied."""
    RESOLVED = "resolved"
    """A held piece went to another bay than the likeliest one at the time."""
    DOWNGRADED = "downgraded"
    """A buyer did not take the metal for what it was sold as."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contradiction:
    """One placement that proved wrong."""

    cause: Cause
    at_utc: datetime
    row_id: str
    """The piece's row, or that of the downgrade."""
    person: str
    """Who sorted the piece, or entered the downgrade."""
    was_bay: str
    """Where it was placed, or for a held piece was likeliest to go."""
    is_bay: str
    """Where it lies now; empty for what a buyer downgraded."""
    was_grade_id: str | None
    is_grade_id: str | None
    """What it turned out to be; None where nobody says."""
    sureness: str
    mass_g: int
    pieces: int
    reason: str
    loss: float = 0.0
    """What it cost [currency]; 0 where it was found before it was sold."""
    line: str = ""
    """The entry line as typed."""


@dataclass(slots=True, kw_only=True)
class Score:
    """How the placements of one bay, grade or degree of sureness held up."""

    name: str
    entries: int = 0
    pieces: int = 0
    mass_g: int = 0
    wrong_entries: int = 0
    """Of these, moved to another bay later."""
    wrong_g: int = 0
    downgraded_g: int = 0
    loss: float = 0.0
    """By downgrades [currency]."""
    went_to: Counter[str] = field(default_factory=Counter)
    """Bay that moved pieces went to -> how many entries."""

    @property
    def wrong_share(self) -> float:
        """Part of the weight that proved wrong, by moves and downgrades, 0..1."""
        return min(1.0, (self.wrong_g + self.downgraded_g) / self.mass_g) if self.mass_g else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What a yard can learn from its ledger."""

    contradictions: tuple[Contradiction, ...]
    """Oldest first."""
    by_bay: tuple[Score, ...]
    """Worst first: by money lost, then by weight that proved wrong."""
    by_grade: tuple[Score, ...]
    by_sureness: tuple[Score, ...]
    placed: Score
    """All that was placed in a bay and stands."""
    held: int
    """Entries that were put on hold and stand."""
    resolved: int
    """Of these, settled since."""
    resolved_otherwise: int
    """Of these, to another bay than was likeliest."""


def record_of(
    source: LedgerSource, yard: Yard, *, start: datetime | None = None, run_id: str | None = None
) -> Record:
    """Return how the placements held up, reckoned from the rows.

    Voided pieces do not count, nor does a piece that was moved and moved back. A downgrade counts against the
    bay that the bale came from, and against grades and degrees of sureness by the weight that they had among
    what went into the bay since the bale before it. It belongs to the stretch in which it was entered.

    Args:
        source: The ledger or a reader.
        yard: Its bays as they are now, for where a held piece was likeliest to go.
        start: Pieces and downgrades from this time on, aware; None for all.
        run_id: Only pieces and downgrades of this run; None for all.
    """
    with one_view(source):
        pieces = standing_where(source, entered_in(start, None, run_id))
        placed, held, found = _gone_through(source, yard, pieces)
        lost = [
            one
            for one in downgrades(source)
            if (start is None or one.at_utc >= start) and run_id in (None, one.run_id)
        ]
        bales = _bales(source)
    found += [_of_downgrade(one) for one in lost]
    shares = [(one, _share_in(one, placed, bales)) for one in lost]
    every = _scores(placed, lambda one: "all", [(one, {"all": 1.0}) for one in lost])
    return Record(
        contradictions=tuple(sorted(found, key=lambda one: (one.at_utc, one.row_id))),
        by_bay=_scores(placed, _placed_in, [(one, {one.bay: 1.0}) for one in lost]),
        by_grade=_scores(
            placed, lambda one: one.entered.grade_id or "", [(one, grades) for one, (grades, _) in shares]
        ),
        by_sureness=_scores(placed, _sureness, [(one, sure) for one, (_, sure) in shares]),
        placed=next(iter(every), Score(name="all")),
        held=len(held),
        resolved=sum(1 for one in held if not one.is_held),
        resolved_otherwise=sum(1 for one in found if one.cause is Cause.RESOLVED),
    )


def _gone_through(
    source: LedgerSource, yard: Yard, pieces: Iterable[Standing]
) -> tuple[list[Standing], list[Standing], list[Contradiction]]:
    """Return the pieces that were placed, those that were held, and what contradicted either."""
    placed: list[Standing] = []
    held: list[Standing] = []
    found: list[Contradiction] = []
    for piece in pieces:
        row = piece.entered
        if piece.is_void:
            continue
        if row.tag is not None:
            held.append(piece)
            likeliest = _likeliest_bay(source, yard, row.row_id) if not piece.is_held else ""
            if likeliest and likeliest != piece.bay:
                found.append(_contradiction(Cause.RESOLVED, piece, likeliest))
            continue
        placed.append(piece)
        if piece.bay != _placed_in(piece):
            found.append(_contradiction(Cause.MOVED, piece, _placed_in(piece)))
    return placed, held, found


LIKELY = 0.5
"""Probability from which a held piece had a likeliest bay: below it nothing was said that could be wrong."""


def _likeliest_bay(source: LedgerSource, yard: Yard, row_id: str) -> str:
    """Return where a held piece was likeliest to go by the candidates kept with it; empty where nowhere.

    The dearest of the bays that would have taken it more likely than not.
    """
    candidates = kept_evidence(source, row_id).get("candidates", [])
    share_by_id = (
        {str(one.get("grade")): float(one.get("probability", 0.0)) for one in candidates}
        if isinstance(candidates, list)
        else {}
    )
    likely = [
        bay
        for bay in yard.bays
        if not bay.is_hold and sum(share for g, share in share_by_id.items() if bay.takes(g)) >= LIKELY
    ]
    return max(likely, key=lambda bay: bay.price_per_kg).code if likely else ""


def _contradiction(cause: Cause, piece: Standing, was_bay: str) -> Contradiction:
    row, last = piece.entered, piece.brought
    return Contradiction(
        cause=cause,
        at_utc=last.at_utc,
        row_id=row.row_id,
        person=row.person,
        was_bay=was_bay,
        is_bay=piece.bay,
        was_grade_id=row.grade_id,
        is_grade_id=piece.grade_id if last.kind is RowKind.RESOLVE else None,
        sureness=_sureness(piece),
        mass_g=piece.mass_g,
        pieces=piece.pieces,
        reason=last.body.get("reason", ""),
        line=row.body.get("line", ""),
    )


def _placed_in(piece: Standing) -> str:
    return piece.entered.bay or ""


def _grade(piece: Standing) -> str:
    return piece.entered.grade_id or ""


def _sureness(piece: Standing) -> str:
    return str(piece.entered.body.get("sureness", ""))


def _of_downgrade(one: Downgrade) -> Contradiction:
    return Contradiction(
        cause=Cause.DOWNGRADED,
        at_utc=one.at_utc,
        row_id=one.row_id,
        person=one.person,
        was_bay=one.bay,
        is_bay="",
        was_grade_id=None,
        is_grade_id=one.grade_id,
        sureness="",
        mass_g=one.mass_g,
        pieces=0,
        reason=one.reason,
        loss=one.loss,
        line=one.bale,
    )


def _bales(source: LedgerSource) -> dict[str, tuple[int, int]]:
    """Return draw-down -> seq of the one before it from the same bay (0 for none), and its own."""
    spans: dict[str, tuple[int, int]] = {}
    last: dict[str, int] = {}
    for row in rows_where(source, "kind = 'draw-down'"):
        bay = row.bay or ""
        spans[row.row_id] = (last.get(bay, 0), row.seq)
        last[bay] = row.seq
    return spans


def _share_in(
    one: Downgrade, placed: list[Standing], bales: Mapping[str, tuple[int, int]]
) -> tuple[dict[str, float], dict[str, float]]:
    """Return the weight shares of grades and of degrees of sureness in the bale of a downgrade."""
    first, last = bales.get(one.draw_down_id, (0, 0))
    inside = [
        piece
        for piece in placed
        if piece.bay == _placed_in(piece) == one.bay and first < piece.entered.seq < last
    ]
    total = sum(piece.mass_g for piece in inside)
    grades: Counter[str] = Counter()
    sure: Counter[str] = Counter()
    for piece in inside:
        grades[_grade(piece)] += piece.mass_g
        sure[_sureness(piece)] += piece.mass_g
    return (
        {name: mass_g / total for name, mass_g in grades.items()},
        {name: mass_g / total for name, mass_g in sure.items()},
    )


def _scores(
    placed: Iterable[Standing],
    name_of: Callable[[Standing], str],
    lost: Iterable[tuple[Downgrade, Mapping[str, float]]],
) -> tuple[Score, ...]:
    """Return a score for each name, the worst first."""
    scores: dict[str, Score] = {}
    for piece in placed:
        name = name_of(piece)
        score = scores.setdefault(name, Score(name=name))
        score.entries += 1
        score.pieces += piece.pieces
        score.mass_g += piece.mass_g
        if piece.bay != _placed_in(piece):
            score.wrong_entries += 1
            score.wrong_g += piece.mass_g
            score.went_to[piece.bay] += 1
    for one, shares in lost:
        for name, share in shares.items():
            score = scores.setdefault(name, Score(name=name))
            score.downgraded_g += round(share * one.mass_g)
            score.loss += share * one.loss
    return tuple(
        sorted(
            scores.values(),
            key=lambda one: (-one.loss, -one.wrong_g - one.downgraded_g, -one.mass_g, one.name),
        )
    )
