"""What a supplier is paid for a load: weights by bay at the yard's buying prices, what is on hold apart."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from console.ground.cents import cents_of
from console.ground.cleaning import clean
from console.ground.mass import format_mass, masses_alike
from console.ledger.prices.price_rows import PriceBook, price_book
from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.rows import PieceState
from console.ledger.views.period import pieces_between
from console.reports.columns import Columns, dated, folded, headed, joined, left
from console.reports.page import page
from console.reports.paperwork.readings_behind import readings_behind
from console.yard.yard import Yard

_CODE = 5
_FIGURES = (7, 15, 11, 13)
"""Columns of pieces, weight, price and amount."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseLine:
    """What one bay took of the load."""

    bay: str
    name: str
    pieces: int
    mass_g: int
    price_per_kg: Decimal | None
    """Buying price of the day [currency/kg]; None when the yard had none for this bay in its currency."""
    row_ids: tuple[str, ...] = ()
    """The entries that it sums up."""

    @property
    def cents(self) -> int | None:
        """What is paid in whole hundredths, halves rounded away from zero; None without a price."""
        return None if self.price_per_kg is None else cents_of(self.mass_g, self.price_per_kg)

    @property
    def amount(self) -> float | None:
        """The same to be shown [currency]."""
        return None if self.cents is None else self.cents / 100


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseSheet:
    """The sheet of one load. Text is cleaned."""

    yard_name: str
    unit: str
    currency: str
    made_at: datetime
    supplier: str
    load: str
    lines: tuple[PurchaseLine, ...]
    holds: tuple[PieceState, ...]
    """Pieces that wait, unpriced."""
    sorters: tuple[str, ...]
    readings: tuple[tuple[str, str], ...]
    """Entry line and reading, for every reading behind the load."""
    late: tuple[tuple[str, str], ...] = ()
    """Entry line and correction, for every piece that was corrected after its run was closed."""
    price_corrections: tuple[str, ...] = ()
    """What was typed of the prices that this load is paid at."""

    @property
    def total(self) -> float:
        """Sum of the amounts [currency]."""
        return sum(line.cents or 0 for line in self.lines) / 100

    @property
    def unpriced_g(self) -> int:
        """Weight that has no price, holds not counted [g]."""
        return sum(line.mass_g for line in self.lines if line.price_per_kg is None)


def purchase_sheet(
    source: LedgerSource,
    yard: Yard,
    now: datetime,
    *,
    supplier: str,
    load: str | None,
) -> PurchaseSheet:
    """Return the purchase sheet of one load of a supplier, or of all of them.

    Args:
        source: The ledger or a reader.
        yard: Names the bays, unit and currency.
        now: When it is made, aware.
        supplier: Who brought it.
        load: Which load; None for all of the supplier.
    """
    with one_view(source):
        states = pieces_between(source, supplier=supplier, load=load)
        standing = [state for state in states if not state.is_void]
        readings = readings_behind(source, [state.row_id for state in standing])
        book = price_book(source, yard)
    hold_bays = {bay.code for bay in yard.bays if bay.is_hold}
    holds = [state for state in standing if state.is_held or state.bay in hold_bays]
    held_ids = {state.row_id for state in holds}
    return PurchaseSheet(
        yard_name=clean(yard.name),
        unit=yard.weight_unit,
        currency=clean(yard.currency),
        made_at=now,
        supplier=clean(supplier),
        load=clean(load or ""),
        lines=tuple(_lines([one for one in standing if one.row_id not in held_ids], yard, book)),
        holds=tuple(holds),
        sorters=tuple(dict.fromkeys(clean(state.person) for state in standing)),
        readings=tuple(
            (clean(state.line), words) for state in standing for words in readings.get(state.row_id, ())
        ),
        late=tuple(_late(states, yard.weight_unit)),
        price_corrections=book.corrections(one for one in standing if one.row_id not in held_ids),
    )


def _late(states: list[PieceState], unit: str) -> Iterator[tuple[str, str]]:
    """Yield line and correction of every piece that was corrected after close-out, void ones too."""
    for state in states:
        if state.is_corrected_late:
            yield from ((clean(state.line), clean(one.said(unit))) for one in state.corrections)


def _lines(states: list[PieceState], yard: Yard, book: PriceBook) -> Iterator[PurchaseLine]:
    """Yield the sums of every bay at each of its prices, in the order of yard.toml, strange bays last."""
    names = {bay.code: bay.name for bay in yard.bays}
    order = {code: place for place, code in enumerate(names)}
    groups: dict[tuple[str, Decimal | None], list[PieceState]] = {}
    for state in states:
        price = book.of_piece(state)
        buys = price.buys if price is not None and price.currency == yard.currency else None
        groups.setdefault((state.bay, buys), []).append(state)
    # Prices of one bay stand in the order of their days.
    for (code, buys), here in sorted(
        groups.items(), key=lambda item: (order.get(item[0][0], len(order)), item[0][0])
    ):
        yield PurchaseLine(
            bay=clean(code),
            name=clean(names.get(code, "")),
            pieces=sum(state.pieces for state in here),
            mass_g=sum(state.mass_g for state in here),
            price_per_kg=buys,
            row_ids=tuple(state.row_id for state in here),
        )


def as_text(sheet: PurchaseSheet, width: int = 80) -> str:
    """Return the sheet as plain text, no line wider than the width, at least 70 columns."""
    parts = (_head, _priced, _on_hold, _corrected_late, _read)
    return joined(line for part in parts for line in part(sheet, width)) + "\n"


def as_html(sheet: PurchaseSheet) -> str:
    """Return the sheet as a self-contained HTML page; typed text is shown as text."""
    return page("purchase.html.jinja", sheet=sheet)


def _head(sheet: PurchaseSheet, width: int) -> Iterator[str]:
    yield from dated("PURCHASE SHEET", sheet.made_at, width)
    yield from folded(f"{sheet.yard_name} buys from: {sheet.supplier}", width)
    yield from folded(f"Load: {sheet.load or 'all loads'}", width)
    yield from folded(f"Sorted by: {', '.join(sheet.sorters) or 'nobody yet'}", width)


def _priced(sheet: PurchaseSheet, width: int) -> Iterator[str]:
    """Yield weight, price and amount of every bay, and the sum."""
    row = Columns(width, _FIGURES).row
    yield from headed(row("BAYS", "pieces", "weight", f"{sheet.currency}/kg", sheet.currency), width)
    masses = masses_alike([line.mass_g for line in sheet.lines], sheet.unit)
    for line, mass in zip(sheet.lines, masses, strict=True):
        price = "no price" if line.price_per_kg is None else f"{line.price_per_kg:.2f}"
        amount = "" if line.amount is None else f"{line.amount:.2f}"
        yield row(f"{left(line.bay, _CODE)} {line.name}", str(line.pieces), mass, price, amount)
    yield "-" * width
    yield row("to pay", "", "", "", f"{sheet.total:.2f}")
    if sheet.unpriced_g:
        yield f"without a price: {format_mass(sheet.unpriced_g, sheet.unit)}, not in the sum"
    for one in sheet.price_corrections:
        yield from folded(f"Price of {one}", width)


def _on_hold(sheet: PurchaseSheet, width: int) -> Iterator[str]:
    """Yield what waits and is not priced."""
    if not sheet.holds:
        return
    held_g = sum(hold.mass_g for hold in sheet.holds)
    held = format_mass(held_g, sheet.unit)
    yield from headed(f"ON HOLD, NOT PRICED YET ({len(sheet.holds)}, {held})", width)
    for hold in sheet.holds:
        yield from folded(
            f'{format_mass(hold.mass_g, sheet.unit)} "{clean(hold.line)}"',
            width,
            first=left(clean(hold.tag or "no tag"), 9),
            indent=" " * 9,
        )


def _corrected_late(sheet: PurchaseSheet, width: int) -> Iterator[str]:
    """Yield what was corrected after the run was closed: a sheet printed before shows other sums."""
    if not sheet.late:
        return
    yield from headed("CORRECTED AFTER CLOSE-OUT", width)
    for line, words in sheet.late:
        yield from folded(f'"{line}": {words}', width, indent="  ")


def _read(sheet: PurchaseSheet, width: int) -> Iterator[str]:
    yield from headed(f"READINGS ({len(sheet.readings)})", width)
    for line, words in sheet.readings:
        yield from folded(f'"{line}": {words}', width, indent="  ")
    if not sheet.readings:
        yield "none; sorted by magnet, colour, heft and shape"
