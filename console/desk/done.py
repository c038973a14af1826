"""What every act at the desk comes back as."""

from dataclasses import dataclass
from typing import Generic, TypeVar

from console.ledger.rows.rows import Row

Made = TypeVar("Made", covariant=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Done(Generic[Made]):
    """An act that lies on disk."""

    sentence: str
    """What to say of it, in one line."""
    rows: tuple[Row, ...]
    """What happened: the rows written, oldest first. They name the pieces and bays that changed."""
    made: Made
    """What came of it beside the rows: a bale with its sheet, a lot, a handover; None where nothing did."""

    @property
    def row(self) -> Row:
        """The last row written."""
        return self.rows[-1]


def done(sentence: str, *rows: Row) -> Done[None]:
    """Return an act of which nothing came beside its rows."""
    return Done(sentence=sentence, rows=rows, made=None)
