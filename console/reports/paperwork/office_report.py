"""What the office prices and settles from: pieces and their sums by bay and grade, over a run or dates."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from console.ground.cents import cents_of
from console.ground.cleaning import clean
from console.ledger.keeping.chain_look import chain_verdict
from console.ledger.prices.price_rows import BayPrice, PriceBook, price_book
from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.rows import PieceState
from console.ledger.views.period import pieces_between
from console.ledger.views.stock import BayStock, stock
from console.reports.paperwork.readings_behind import readings_behind
from console.yard.yard import Bay, Yard

PIECES_PERCENT, READINGS_PERCENT, READ_PERCENT = 35, 50, 65
"""How far a report is when pieces, readings and stock are read; measured on 100,000 pieces [%]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficeScope:
    """Which pieces a report is about; None leaves a limit out."""

    run_id: str | None = None
    supplier: str | None = None
    load: str | None = None
    start: datetime | None = None
    """From this time on."""
    end: datetime | None = None
    """Up to but without this time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficePiece:
    """One piece with its price and the readings behind it. Text is cleaned."""

    state: PieceState
    grade: str
    """Grade or sort class, empty when nobody named it."""
    price_per_kg: Decimal | None
    """What it is valued at [currency/kg], the price of its day; None on hold, and in another currency."""
    is_downgrade: bool
    """It lies in a bay whose buyer does not take its grade."""
    readings: tuple[str, ...]

    @property
    def cents(self) -> int | None:
        """Value in whole hundredths, halves rounded away from zero; None without a price."""
        return None if self.price_per_kg is None else cents_of(self.state.mass_g, self.price_per_kg)

    @property
    def value(self) -> float | None:
        """The same to be shown [currency]."""
        return None if self.cents is None else self.cents / 100


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficeBay:
    """Sums of one bay."""

    bay: str
    bay_name: str
    entries: int
    pieces: int
    mass_g: int
    value: float | None
    """Sum of the pieces' hundredths, to be shown [currency]; None where nothing has a price."""
    read_entries: int
    """Entries with at least one reading."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficeLine(OfficeBay):
    """Sums of one grade in one bay."""

    grade: str
    share: float
    """Part of the weight of the report, 0..1."""
    is_downgrade: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficeReport:
    """Everything that the office gets."""

    yard_name: str
    unit: str
    currency: str
    made_at: datetime
    scope: OfficeScope
    lines: tuple[OfficeLine, ...]
    """By bay in the order of yard.toml, then by weight."""
    pieces: tuple[OfficePiece, ...]
    """Every piece, void ones too, oldest first."""
    mass_g: int
    value: float
    """Of all that is not on hold [currency]."""
    downgrade_g: int
    hold_g: int
    late_corrections: int
    """Pieces that were corrected after their run was closed."""
    price_corrections: tuple[str, ...]
    """What was typed of the prices that these pieces are valued at."""
    verified: str
    """How far the chain of the ledger was looked along, in words."""
    stock: tuple[BayStock, ...]
    """Over the dates of the scope; empty for a report on a run, a supplier or a load."""

    @property
    def bays(self) -> tuple[OfficeBay, ...]:
        """The sums of every bay, in the order of the lines."""
        by_bay: dict[str, list[OfficeLine]] = {}
        for line in self.lines:
            by_bay.setdefault(line.bay, []).append(line)
        return tuple(_bay_of(lines) for lines in by_bay.values())


def office_report(
    source: LedgerSource,
    yard: Yard,
    now: datetime,
    scope: OfficeScope | None = None,
    *,
    tell: Callable[[int], None] = lambda percent: None,
) -> OfficeReport:
    """Return the report on the pieces of a scope, as they stand now.

    Args:
        source: The ledger or a reader.
        yard: Names and unit.
        now: When it is made, aware.
        scope: Which pieces; None for all of the store.
        tell: Is told how far the report is [%], up to READ_PERCENT; the rest is for who lays it out.
    """
    scope = scope or OfficeScope()
    states, readings, of_bays = _read(source, scope, tell)
    book = price_book(source, yard)
    pieces = _of_their_day(states, readings, yard, book)
    lines = tuple(_lines([one for one in pieces if not one.state.is_void], yard))
    return OfficeReport(
        yard_name=clean(yard.name),
        unit=yard.weight_unit,
        currency=clean(yard.currency),
        made_at=now,
        scope=scope,
        lines=lines,
        pieces=pieces,
        mass_g=sum(line.mass_g for line in lines),
        value=sum(one.cents or 0 for one in pieces if not one.state.is_void) / 100,
        downgrade_g=sum(line.mass_g for line in lines if line.is_downgrade),
        hold_g=sum(line.mass_g for line in lines if line.value is None),
        late_corrections=sum(state.is_corrected_late for state in states),
        price_corrections=book.corrections(states),
        verified=chain_verdict(source),
        stock=tuple(of_bays),
    )


def _read(
    source: LedgerSource, scope: OfficeScope, tell: Callable[[int], None]
) -> tuple[list[PieceState], dict[str, tuple[str, ...]], list[BayStock]]:
    """Return the pieces of a scope, the readings behind them, and the stock if all pieces are meant."""
    with one_view(source):
        states = pieces_between(
            source,
            scope.start,
            scope.end,
            run_id=scope.run_id,
            supplier=scope.supplier,
            load=scope.load,
        )
        tell(PIECES_PERCENT)
        readings = readings_behind(source, [state.row_id for state in states])
        is_all = scope.run_id is None and scope.supplier is None and scope.load is None
        tell(READINGS_PERCENT)
        of_bays = stock(source, scope.start, scope.end) if is_all else []
        tell(READ_PERCENT)
        return states, readings, of_bays


def _of_their_day(
    states: Iterable[PieceState], readings: Mapping[str, tuple[str, ...]], yard: Yard, book: PriceBook
) -> tuple[OfficePiece, ...]:
    bays = {bay.code: bay for bay in yard.bays}
    return tuple(
        priced(state, bays, book.of_piece(state), yard.currency, readings.get(state.row_id, ()))
        for state in states
    )


def priced(
    state: PieceState,
    bays: Mapping[str, Bay],
    of_its_day: BayPrice | None,
    currency: str,
    readings: tuple[str, ...],
) -> OfficePiece:
    """Return a piece with what it is valued at.

    That is its bay's price of the day when it was brought there; where the bay's buyer does not take its
    grade, that day's downgrade price; on hold or in another currency, none. A piece that nobody named is
    valued as what its bay holds.
    """
    bay = bays.get(state.bay)
    is_taken = bay is None or state.grade_id is None or bay.takes(state.grade_id)
    price = None
    if of_its_day is not None and of_its_day.currency == currency and not state.is_held:
        price = of_its_day.sells if is_taken else of_its_day.downgrade
    return OfficePiece(
        state=state,
        grade=state.class_label,
        price_per_kg=price,
        is_downgrade=not is_taken,
        readings=readings,
    )


def _lines(pieces: Iterable[OfficePiece], yard: Yard) -> list[OfficeLine]:
    """Return the sums of every grade in every bay."""
    bays = {bay.code: bay for bay in yard.bays}
    groups: dict[tuple[str, str, bool, bool], list[OfficePiece]] = {}
    for piece in pieces:
        key = (piece.state.bay, piece.grade, piece.is_downgrade, piece.price_per_kg is None)
        groups.setdefault(key, []).append(piece)
    total_g = sum(piece.state.mass_g for group in groups.values() for piece in group)
    order = {code: place for place, code in enumerate(bays)}
    lines = [_line(group, bays, total_g) for group in groups.values()]
    return sorted(lines, key=lambda line: (order.get(line.bay, len(order)), -line.mass_g, line.grade))


def _bay_of(lines: list[OfficeLine]) -> OfficeBay:
    """Return the sums of one bay from those of its grades."""
    values = [line.value for line in lines if line.value is not None]
    return OfficeBay(
        bay=lines[0].bay,
        bay_name=lines[0].bay_name,
        entries=sum(line.entries for line in lines),
        pieces=sum(line.pieces for line in lines),
        mass_g=sum(line.mass_g for line in lines),
        # Rounded, as a sum of hundredths held as floats is off in its last place.
        value=round(sum(values), 2) if values else None,
        read_entries=sum(line.read_entries for line in lines),
    )


def _line(group: list[OfficePiece], bays: Mapping[str, Bay], total_g: int) -> OfficeLine:
    """Return the sums of one grade in one bay."""
    first = group[0]
    cents = [piece.cents for piece in group if piece.cents is not None]
    mass_g = sum(piece.state.mass_g for piece in group)
    bay = bays.get(first.state.bay)
    return OfficeLine(
        bay=clean(first.state.bay),
        bay_name=clean(bay.name) if bay else "not in yard.toml any more",
        grade=first.grade,
        entries=len(group),
        pieces=sum(piece.state.pieces for piece in group),
        mass_g=mass_g,
        share=mass_g / total_g if total_g else 0.0,
        value=sum(cents) / 100 if cents else None,
        is_downgrade=first.is_downgrade,
        read_entries=sum(bool(piece.readings) for piece in group),
    )
