"""The consignments that were settled, each with what its buyer found, and what they teach of the bays."""

from dataclasses import replace

from console.ground.dates import local
from console.ledger.consignments.standing import consignments
from console.ledger.rows.connection import LedgerSource
from console.yard.loads.learning import shifts_of
from console.yard.loads.load_sheet import sheet_from
from console.yard.loads.settling import Finding, Settled, differences
from console.yard.yard import Yard

FINDING = "finding"
"""Key of the body of a row."""


def settled_loads(source: LedgerSource, yard: Yard) -> list[Settled]:
    """Return every settled consignment by its newest finding, in the order of the findings."""
    found = []
    for one in consignments(source).values():
        if one.found and one.sheet is not None:
            row, sheet = one.found[-1], sheet_from(one.sheet)
            finding = Finding(**row.body[FINDING])
            settled = Settled(
                tag=one.tag,
                day=f"{local(row.at_utc):%Y-%m-%d}",
                sheet=sheet,
                finding=finding,
                differences=differences(sheet, finding, yard.techniques),
            )
            found.append((row.seq, settled))
    return [settled for _, settled in sorted(found, key=lambda item: item[0])]


def with_settled(source: LedgerSource, yard: Yard) -> Yard:
    """Return the yard with what settled loads teach of its bays; as it is where that is switched off."""
    if not yard.learn_from_settlements:
        return yard
    shifts = shifts_of(settled_loads(source, yard))
    bays = (
        replace(bay, learned={one.symbol: one for one in shifts if one.bay == bay.code}) for bay in yard.bays
    )
    return replace(yard, bays=tuple(bays)) if shifts else yard
