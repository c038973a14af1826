"""What buyers turned down: a downgrade entered against a bale or load that was drawn down.

A downgrade is a note of the open run that refers to the draw-down's row, with its figures in the body under
"downgrade". So it stands in the handover of the run in which it became known, can be voided like any other
note, and the run that the bale came from stays as it was signed.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from console.ground.mass import format_mass
from console.ledger.keeping.store import Ledger
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.runs import OF_ALL_RUNS
from console.ledger.views.bay_metal import DRAWN_DOWN
from console.ledger.views.piece_state import standing_rows
from console.yard.money import amount


@dataclass(frozen=True, slots=True, kw_only=True)
class Downgrade:
    """Metal that a buyer did not take for what it was sold as."""

    row_id: str
    at_utc: datetime
    run_id: str
    """Run in which it was entered."""
    person: str
    """Who entered it."""
    draw_down_id: str
    """row_id of the draw-down that it was sold with."""
    bale: str
    """Tag of the bale; empty where it had none."""
    bay: str
    """Where the metal had lain."""
    mass_g: int
    """How much of it was downgraded [g]."""
    loss: float
    """What it cost [currency], >= 0."""
    reason: str
    grade_id: str | None = None
    """What the metal turned out to be, as far as it is known."""


def enter_downgrade(
    ledger: Ledger,
    draw_down: Row,
    mass_g: int,
    person: str,
    *,
    loss: float,
    reason: str,
    grade_id: str | None = None,
    currency: str = "",
    unit: str = "kg",
) -> Row:
    """Write a downgrade against a draw-down; return once it is on disk.

    Args:
        ledger: With an open run.
        draw_down: Row of the bale or load that the buyer complained of.
        mass_g: How much of it [g], > 0, with earlier downgrades at most what was drawn down.
        person: Who enters it.
        loss: What it cost [currency], >= 0.
        reason: What the buyer found.
        grade_id: What the metal turned out to be.
        currency, unit: Of the yard, for the words in the handover.

    Raises:
        LedgerRefusal: Weight, loss or reason make no sense, or no run is open.
        StoreError: The disk refused; nothing was written.
    """
    text = f"{format_mass(mass_g, unit)} of {_named(draw_down)} downgraded by the buyer: {reason}; lost "
    figures: dict[str, Any] = {"mass_g": mass_g, "loss": loss, "reason": reason, "grade_id": grade_id}
    figures |= {"bale": _bale_of(draw_down), "bay": draw_down.bay}
    body = {"text": text + amount(loss, currency), "downgrade": figures}
    with ledger.act():
        _refuse_senseless(ledger, draw_down, mass_g, loss, reason, unit)
        return ledger.append(RowKind.NOTE, person=person, refers=draw_down.row_id, body=body)


def _refuse_senseless(
    source: LedgerSource, draw_down: Row, mass_g: int, loss: float, reason: str, unit: str
) -> None:
    """Refuse what no buyer can have said, such as more than was drawn down, earlier downgrades counted."""
    if not reason.strip():
        raise LedgerRefusal("Say what the buyer found; the reason stands in the handover.")
    if mass_g <= 0 or loss < 0:
        raise LedgerRefusal("A downgrade weighs more than 0 g, and its loss is 0 or more.")
    earlier_g = sum(one.mass_g for one in downgrades(source) if one.draw_down_id == draw_down.row_id)
    sold_g = draw_down.mass_g or 0
    if earlier_g + mass_g > sold_g:
        raise LedgerRefusal(
            f"All of {_named(draw_down)} weighed {format_mass(sold_g, unit)}, of which "
            f"{format_mass(earlier_g, unit)} are downgraded already; {format_mass(mass_g, unit)} more is "
            "too much."
        )


def downgrades(source: LedgerSource) -> list[Downgrade]:
    """Return every downgrade that was not voided, oldest first."""
    rows = standing_rows(source, f"kind = 'note' AND {OF_ALL_RUNS} AND instr(body, '\"downgrade\":')")
    return [_downgrade_of(row) for row in rows if "downgrade" in row.body]


def find_draw_down(source: LedgerSource, named: str) -> Row:
    """Return the draw-down that a bale's tag, a row id or a bay code names; of a bay, the newest.

    Raises:
        LedgerRefusal: None is named so; the message says which there are.
    """
    rows = standing_rows(source, DRAWN_DOWN)
    asked = named.strip().casefold()
    for row in reversed(rows):
        if asked in (row.row_id.casefold(), _bale_of(row).casefold(), (row.bay or "").casefold()):
            return row
    if not rows:
        raise LedgerRefusal(
            "Nothing was taken out of a bay in this ledger yet: there is nothing to downgrade."
        )
    known = ", ".join(_bale_of(row) or row.row_id for row in rows[-5:])
    raise LedgerRefusal(f'No bale, row or bay "{named}" was taken out of a bay. The newest: {known}.')


def _bale_of(draw_down: Row) -> str:
    return str(draw_down.body.get("bale", ""))


def _named(draw_down: Row) -> str:
    """Return how a draw-down is called: "bale T1-STN-0003", or by its bay."""
    bale = _bale_of(draw_down)
    return f"bale {bale}" if bale else f"what was taken out of {draw_down.bay}"


def _downgrade_of(row: Row) -> Downgrade:
    figures = row.body["downgrade"]
    return Downgrade(
        row_id=row.row_id,
        at_utc=row.at_utc,
        run_id=row.run_id,
        person=row.person,
        draw_down_id=str(row.refers),
        bale=str(figures.get("bale") or ""),
        bay=str(figures.get("bay") or ""),
        mass_g=int(figures["mass_g"]),
        loss=float(figures["loss"]),
        reason=str(figures["reason"]),
        grade_id=figures.get("grade_id"),
    )
