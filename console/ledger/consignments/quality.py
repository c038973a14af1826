"""What a stretch of time shows of the yard's quality: checks, lots, downgrades, loads."""

from dataclasses import dataclass
from datetime import datetime

from console.ledger.consignments.consignment import Consignment
from console.ledger.consignments.standing import consignments
from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.lot_rows import lots_of
from console.ledger.rows.runs import runs
from console.ledger.views.check_shots import check_shots
from console.ledger.views.downgrades import Downgrade, downgrades
from console.yard.coupons.check_state import CheckShot
from console.yard.lots.uniform_lot import UniformLot

OUT_FROM = 3.0
"""A shot with an element so many σ off is told as out (Shewhart's limit, common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quality:
    """What was checked, and what came of it."""

    checks: tuple[CheckShot, ...]
    lots: tuple[UniformLot, ...]
    """Of the runs opened in the stretch."""
    downgrades: tuple[Downgrade, ...]
    loads: tuple[Consignment, ...]
    """Sealed in the stretch."""


def quality_of(source: LedgerSource, start: datetime | None, end: datetime | None) -> Quality:
    """Return what a stretch of time shows, oldest first.

    Args:
        source: The ledger or a reader.
        start: Begin, aware; None for an open one.
        end: End, not included; None for an open one.
    """

    def within(at: datetime) -> bool:
        return (start is None or at >= start) and (end is None or at < end)

    with one_view(source):
        known = [run.run_id for run in runs(source) if within(run.opened_utc)]
        return Quality(
            checks=tuple(shot for shot in check_shots(source) if within(shot.at)),
            lots=tuple(lot for run_id in known for lot in lots_of(source, run_id).values()),
            downgrades=tuple(one for one in downgrades(source) if within(one.at_utc)),
            loads=tuple(
                one
                for one in consignments(source).values()
                if one.sealed is not None and within(one.sealed.at_utc)
            ),
        )


def is_out(shot: CheckShot) -> bool:
    """Tell whether a shot on a check sample was out by itself."""
    return any(abs(element.z) > OUT_FROM for element in shot.elements)
