"""A clock that moves only when it is read, and people and pieces to fill a ledger with."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

from console.ledger.keeping.store import Ledger
from console.ledger.rows.rows import PieceEntry, PieceState

START = datetime(2031, 5, 2, 6, 0, tzinfo=UTC)


class SteppingClock:
    """Gives a time one second later each time it is asked."""

    def __init__(self, start: datetime = START) -> None:
        self.at = start

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=1)
        return self.at


def open_ledger(path: Path, *, terminal: str = "T1") -> Ledger:
    """Return a ledger that is open for writing, with a clock of its own."""
    return Ledger.open(path, now=SteppingClock(), terminal=terminal)


def brass(mass_g: int = 1200, *, bay: str = "YB", tag: str | None = None, pieces: int = 1) -> PieceEntry:
    """Return a piece of yellow brass."""
    return PieceEntry(
        bay=bay,
        grade_id="C36000",
        mass_g=mass_g,
        pieces=pieces,
        line=f"{mass_g}g yellow brass",
        tag=tag,
        sureness="settled",
        evidence={"candidates": [{"grade": "C36000", "probability": 0.97}]},
    )


def words_of(piece: PieceState, unit: str = "kg") -> tuple[str, ...]:
    """Return what was done to a piece since, in words."""
    return tuple(one.said(unit) for one in piece.corrections)
