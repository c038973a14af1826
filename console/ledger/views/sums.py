"""Sums by bay or by grade: as entered from an index, then every corrected row taken out and put in anew."""

from collections.abc import Mapping
from dataclasses import dataclass

from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.mark import marks_where
from console.ledger.rows.rows import RowKind
from console.ledger.rows.runs import Where
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.replay import CORRECTIONS, Standing, stand_after


@dataclass(slots=True)
class Sum:
    """Running sums of what stands under one name."""

    first_seq: int
    """Of the first row that was ever counted here."""
    entries: int = 0
    pieces: int = 0
    mass_g: int = 0

    def add(self, sign: int, pieces: int, mass_g: int) -> None:
        """Count one entry, or take one away (sign -1)."""
        self.entries += sign
        self.pieces += sign * pieces
        self.mass_g += sign * mass_g


def corrected(source: LedgerSource, runs: Where) -> Mapping[str, Standing]:
    """Return every row of some runs that was corrected, as it stands now, by row_id."""
    corrections = f"INDEXED BY ledger_by_run WHERE {CORRECTIONS} AND {runs.sql}"
    with one_view(source):
        entered = marks_where(
            source, f"WHERE row_id IN (SELECT refers FROM ledger {corrections})", runs.values
        )
        return stand_after([*entered, *marks_where(source, corrections, runs.values)])


def sums_by(
    source: LedgerSource,
    column: str,
    kind: RowKind,
    runs: Where,
    corrections: Mapping[str, Standing] | None = None,
) -> dict[str, Sum]:
    """Return the sums of what stands, voided rows left out, by what a column says; empty for nothing.

    Args:
        source: The ledger or a reader.
        column: "bay" or "grade_id".
        kind: Which rows are summed.
        runs: Of which runs.
        corrections: What `corrected` gave for the runs, where it is at hand.
    """
    with one_view(source):
        sums = _as_entered(source, column, kind, runs)
        changed = corrected(source, runs) if corrections is None else corrections
    for row, one in ((one.entered, one) for one in changed.values() if one.entered.kind == kind):
        sums[getattr(row, column) or ""].add(-1, row.pieces or 0, row.mass_g or 0)
        if not one.is_void:
            now = sums.setdefault(getattr(one, column) or "", Sum(row.seq))
            now.first_seq = min(now.first_seq, row.seq)
            now.add(1, one.pieces, one.mass_g)
    return sums


def _as_entered(source: LedgerSource, column: str, kind: RowKind, runs: Where) -> dict[str, Sum]:
    """Return the sums before any correction, for bays from the index alone."""
    index = "INDEXED BY ledger_by_run" if column == "bay" else ""
    with told_plainly(source.path):
        found = source.connection.execute(
            f"SELECT {column}, min(seq), count(*), coalesce(sum(pieces), 0), sum(mass_g) "
            f"FROM ledger {index} WHERE kind = ? AND {runs.sql} GROUP BY {column}",
            (kind.value, *runs.values),
        )
        return {name or "": Sum(*sums) for name, *sums in found}
