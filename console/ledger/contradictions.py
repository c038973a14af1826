"""Where the placements proved wrong: pieces moved on later, holds resolved otherwise, metal that buyers downgraded."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from console.ledger.connection import Readable, one_view
from console.ledger.downgrades import Downgrade, downgrades
from console.ledger.piece_state import CORRECTIONS, by_reference, state_of
from console.ledger.reading import evidence_of, rows_where
from console.ledger.row_text import time_text
from console.ledger.rows import PieceState, Row


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


def record_of(source: Readable, *, start: datetime | None = None, run_id: str | None = None) -> Record:
    """Return how the placements held up, reckoned from the rows.

    Voided pieces do not count. A piece that was moved and moved back (undone) was not contradicted. A downgrade
    counts against its bay, and against the grade that it turned out to be mistaken for only where the bay has
    one grade; it belongs to the stretch in which it was entered.

    Args:
        source: The ledger or a reader.
        start: Pieces and downgrades from this time on, aware; None for all.
        run_id: Only of this run; None for all.
    """
    with one_view(source):
        placed, held, found = _walk(source, start, run_id)
        downgraded = [
            one
            for one in downgrades(source)
            if (start is None or one.at_utc >= start) and (run_id is None or _run_of(source, one) == run_id)
        ]
    found += [_of_downgrade(one) for one in downgraded]
    resolved = [state for state in held if not state.is_held]
    otherwise = sum(1 for one in found if one.cause is Cause.RESOLVED)
    return Record(
        contradictions=tuple(sorted(found, key=lambda one: (one.at_utc, one.row_id))),
        by_bay=_scores(placed, lambda one: one.bay, found, lambda one: one.was_bay),
        by_grade=_scores(placed, lambda one: one.grade_id or "", found, lambda one: one.was_grade_id or ""),
        by_sureness=_scores(placed, lambda one: one.sureness, found, lambda one: one.sureness),
        placed=_total(placed, found),
        held=len(held),
        resolved=len(resolved),
        resolved_otherwise=otherwise,
    )
