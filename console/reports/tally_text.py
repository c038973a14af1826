"""The tally of a run as text and as JSON."""

from collections.abc import Sequence
from typing import Any

from console.ground.cleaning import clean
from console.ground.mass import masses_alike
from console.ledger.rows.rows import Tally
from console.ledger.views.period import GroupBy, GroupTotal
from console.reports.columns import Columns, joined, left
from console.yard.yard import Yard

_CODE = 5
_FIGURES = (8, 16)
"""Columns of pieces and weight."""


def tally_text(tally: Tally, yard: Yard, width: int = 80) -> str:
    """Return pieces and weight by bay as plain text, no line wider than the width.

    Args:
        tally: The sums of a run.
        yard: Names the bays and the unit.
        width: Columns, at least 40.
    """
    names = {bay.code: bay.name for bay in yard.bays}
    row = Columns(width, _FIGURES).row
    state = "closed" if tally.run.is_closed else "open"
    lines = [
        f"run {tally.run.run_id}, {state}, worked by {clean(tally.run.person)}",
        row("bay", "pieces", "weight"),
    ]
    *masses, total = masses_alike([*(bay.mass_g for bay in tally.bays), tally.mass_g], yard.weight_unit)
    lines += [
        row(f"{left(clean(bay.bay), _CODE)} {clean(names.get(bay.bay, ''))}", str(bay.pieces), mass)
        for bay, mass in zip(tally.bays, masses, strict=True)
    ]
    lines.append(row("total", str(tally.pieces), total))
    return joined([*lines, *_late(tally.late_corrections)])


def _late(count: int) -> list[str]:
    """Return that something was corrected after its run was closed, where it was."""
    return [f"{count} corrected after close-out"] if count else []


def tally_json(tally: Tally, yard: Yard) -> dict[str, Any]:
    """Return the tally for machines: pieces, net_kg, and the same for every bay; JSON-ready.

    Args:
        tally: The sums of a run.
        yard: Names the bays.
    """
    names = {bay.code: bay.name for bay in yard.bays}
    return {
        "run": tally.run.run_id,
        "is_closed": tally.run.is_closed,
        "person": tally.run.person,
        "pieces": tally.pieces,
        "entries": tally.entries,
        "net_kg": tally.mass_g / 1000,
        "late_corrections": tally.late_corrections,
        "holds": [hold.tag for hold in tally.holds],
        "bays": [
            {"bay": bay.bay, "name": names.get(bay.bay), "pieces": bay.pieces, "net_kg": bay.mass_g / 1000}
            for bay in tally.bays
        ],
    }


def totals_text(
    totals: Sequence[GroupTotal], by: GroupBy, yard: Yard, width: int = 80, *, late_corrections: int = 0
) -> str:
    """Return sums over runs by bay, grade, supplier or person as plain text.

    Args:
        totals: The sums.
        by: What they are made by.
        yard: Gives the unit.
        width: Columns, at least 40.
        late_corrections: Pieces among them that were corrected after their run was closed.
    """
    row = Columns(width, _FIGURES).row
    all_g = sum(total.mass_g for total in totals)
    *masses, total_mass = masses_alike([*(total.mass_g for total in totals), all_g], yard.weight_unit)
    lines = [row(by.value, "pieces", "weight")]
    lines += [
        row(clean(total.name) or "not said", str(total.pieces), mass)
        for total, mass in zip(totals, masses, strict=True)
    ]
    pieces = sum(total.pieces for total in totals)
    lines.append(row("total", str(pieces), total_mass))
    return joined([*lines, *_late(late_corrections)])


def totals_json(totals: Sequence[GroupTotal], by: GroupBy, *, late_corrections: int = 0) -> dict[str, Any]:
    """Return sums over runs for machines, JSON-ready."""
    return {
        "by": by.value,
        "pieces": sum(total.pieces for total in totals),
        "net_kg": sum(total.mass_g for total in totals) / 1000,
        "late_corrections": late_corrections,
        "groups": [
            {"name": t.name, "entries": t.entries, "pieces": t.pieces, "net_kg": t.mass_g / 1000}
            for t in totals
        ],
    }
