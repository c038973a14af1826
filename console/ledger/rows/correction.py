"""One correction of a row: what was done, and how the row stood before, so that it can be told."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from console.ground.figures import NO_NAME
from console.ground.mass import format_mass

if TYPE_CHECKING:
    from console.ledger.rows.mark import Mark
    from console.ledger.rows.rows import Row


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """A row that corrects another one, with what it changed as that was before."""

    row: "Row | Mark"
    was_bay: str
    was_g: int
    """[g]"""
    was_pieces: int

    @property
    def is_late(self) -> bool:
        """Whether the run was closed already."""
        return bool(self.row.body.get("after_close"))

    def said(self, unit: str) -> str:
        """Return what was done in words, weights in a unit: "moved NA -> YB: wrong bay (Ada)"."""
        late = ", after close-out" if self.is_late else ""
        return f"{self._done(unit)}: {self.row.body.get('reason', '')} ({self.row.person}{late})"

    def _done(self, unit: str) -> str:
        row = self.row
        match str(row.kind):
            case "void":
                return "voided"
            case "unvoid":
                return "void taken back"
            case "move":
                return f"moved {self.was_bay} -> {row.bay}"
            case "resolve":
                return f"resolved {self.was_bay} -> {row.bay} as {row.grade_id or NO_NAME}"
            case "load":
                whose = f"{row.body.get('supplier', '')} {row.body.get('load', '')}".strip()
                return f"load: {whose}" if whose else "load: none"
            case "reweigh":
                was, now = (_every_gram(mass_g, unit) for mass_g in (self.was_g, row.mass_g or 0))
                weights = f"weight {was.removesuffix(unit).rstrip()} -> {now}"
                is_counted = row.pieces not in (None, self.was_pieces)
                return f"{weights}, count {self.was_pieces} -> {row.pieces}" if is_counted else weights
        raise AssertionError(f"{row.kind} corrects nothing")


def _every_gram(mass_g: int, unit: str) -> str:
    """Return a weight as finely as it was entered."""
    return format_mass(mass_g, unit, decimals=3 if unit == "kg" else None)
