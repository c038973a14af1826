"""The receipt for a supplier: what was brought, in which form and condition, and who pays how much."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from console.ground.cents import ROUNDING, cents_text
from console.ground.cleaning import clean
from console.ground.mass import format_mass, masses_alike
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.queries import kept_evidence
from console.reports.consigning.paper import Block, Paper, Table, Words
from console.reports.paperwork.purchase_sheet import PurchaseLine, PurchaseSheet

KIND = "receipt"
OPEN = "_" * 30
"""What nobody said is left to be written by hand."""
MOST_WORDS = 3
"""Forms, or conditions, that a row names."""
IDENTITY = (
    "No copy of an identity paper belongs to this receipt. Who has to be identified, how, and how payment "
    "may be made, the law of the place says."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """How metal looked at the line, as it was typed; empty where nothing was."""

    forms: tuple[str, ...]
    conditions: tuple[str, ...]


def looks_of(source: LedgerSource, row_ids: Iterable[str]) -> Looks:
    """Return the forms and conditions that were typed with pieces, in the order of the pieces.

    Args:
        source: The ledger or a reader.
        row_ids: The pieces.
    """
    forms: list[str] = []
    conditions: list[str] = []
    for row_id in row_ids:
        facts = kept_evidence(source, row_id).get("facts")
        if isinstance(facts, dict):
            forms += [str(facts["form"])] if "form" in facts else []
            conditions += [str(one) for one in facts.get("surfaces", ())]
            conditions += ["attachments"] if facts.get("has_attachments") else []
    return Looks(forms=tuple(dict.fromkeys(forms)), conditions=tuple(dict.fromkeys(conditions)))


def receipt(
    source: LedgerSource,
    sheet: PurchaseSheet,
    head: tuple[str, ...],
    fingerprint: str,
    *,
    vehicle: str = "",
    payer: str = "",
) -> Paper:
    """Return the receipt of what a supplier brought.

    Args:
        source: The ledger or a reader, for how the pieces looked.
        sheet: What is paid.
        head: Lines below the yard's name.
        fingerprint: Of the newest row of the ledger.
        vehicle: By what it came; left open where nobody said it.
        payer: Who pays; left open likewise.
    """
    looks = [looks_of(source, line.row_ids) for line in sheet.lines]
    paid = cents_text(round(100 * sheet.total), sheet.currency)
    return Paper(
        kind=KIND,
        title="Receipt",
        tag="",
        yard_name=sheet.yard_name,
        head=head,
        facts=(
            ("supplier", sheet.supplier),
            ("load", sheet.load or "all loads"),
            ("vehicle", clean(vehicle).strip() or OPEN),
            ("made", f"{sheet.made_at:%Y-%m-%d %H:%M} {sheet.made_at.tzname()}"),
            ("to pay", paid),
            ("paid by", clean(payer).strip() or OPEN),
        ),
        blocks=_blocks(sheet, looks),
        fingerprint=fingerprint,
        signs=("for the yard", "supplier"),
        data=_figures(sheet, looks, vehicle, payer),
    )


def _blocks(sheet: PurchaseSheet, looks: list[Looks]) -> tuple[Block, ...]:
    masses = masses_alike([line.mass_g for line in sheet.lines], sheet.unit)
    mass_g = sum(line.mass_g for line in sheet.lines)
    table = Table(
        heading=f"Metal ({len(sheet.lines)})",
        columns=("type", "form", "condition", "weight", f"{sheet.currency}/kg", sheet.currency),
        figures_from=3,
        rows=tuple(
            (_type(line), _few(look.forms), _few(look.conditions), mass, _price(line), _money(line))
            for line, look, mass in zip(sheet.lines, looks, masses, strict=True)
        ),
        total=("", "", "", format_mass(mass_g, sheet.unit), "", f"{sheet.total:.2f}"),
    )
    blocks: list[Block] = [table]
    if sheet.holds:
        lines = tuple(f"{one.tag or 'no tag'}: {format_mass(one.mass_g, sheet.unit)}" for one in sheet.holds)
        blocks.append(Words(heading="On hold, not priced yet", lines=lines))
    unpriced = f"Without a price, not in the sum: {format_mass(sheet.unpriced_g, sheet.unit)}."
    without = [unpriced] if sheet.unpriced_g else []
    blocks.append(Words(heading="To know", lines=(*without, ROUNDING, IDENTITY)))
    return tuple(blocks)


def _type(line: PurchaseLine) -> str:
    return f"{line.bay} {line.name}".strip()


def _few(words: tuple[str, ...]) -> str:
    return ", ".join(words[:MOST_WORDS]) + (" and more" if len(words) > MOST_WORDS else "") or "-"


def _price(line: PurchaseLine) -> str:
    return "no price" if line.price_per_kg is None else f"{line.price_per_kg:.2f}"


def _money(line: PurchaseLine) -> str:
    return "" if line.amount is None else f"{line.amount:.2f}"


def _figures(sheet: PurchaseSheet, looks: list[Looks], vehicle: str, payer: str) -> dict[str, Any]:
    return {
        "yard": sheet.yard_name,
        "supplier": sheet.supplier,
        "load": sheet.load,
        "vehicle": clean(vehicle).strip(),
        "payer": clean(payer).strip(),
        "currency": sheet.currency,
        "cents": round(100 * sheet.total),
        "lines": [
            {
                "bay": line.bay,
                "type": line.name,
                "forms": look.forms,
                "conditions": look.conditions,
                "mass_g": line.mass_g,
                "price_per_kg": None if line.price_per_kg is None else str(line.price_per_kg),
                "cents": line.cents,
            }
            for line, look in zip(sheet.lines, looks, strict=True)
        ],
        "on_hold": [{"tag": one.tag, "mass_g": one.mass_g} for one in sheet.holds],
    }
