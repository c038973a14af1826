"""Prices as rows: what every bay's metal sells, is bought and is downgraded at, from a row of the ledger on.

A price is valid from its own row on, so the clock of the computer has no say in it. What was tallied before
keeps the price of its day. A price that a person typed may reach back, within the run that was open then:
what lies in a closed run never changes its value.
"""

from bisect import bisect
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from console.ground.cleaning import clean
from console.ground.dates import local_day_and_time
from console.ledger.keeping.store import Ledger
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.queries import rows_where
from console.ledger.rows.row_text import time_of
from console.ledger.rows.rows import PieceState, Row, RowKind
from console.ledger.rows.runs import ALL_RUNS
from console.yard.yard import Bay, Yard

FROM_FILE, FROM_OFFICE, TYPED = "yard.toml", "office", "typed"
"""Where prices come from, as their rows say."""


class BayPrice(NamedTuple):
    """The prices of one bay [currency/kg]."""

    sells: Decimal
    buys: Decimal | None
    """None where the yard says none."""
    downgrade: Decimal
    currency: str

    @property
    def said(self) -> str:
        """The prices in words."""
        buys = "" if self.buys is None else f", buys {self.buys}"
        return f"sells {self.sells}{buys}, downgraded {self.downgrade} {self.currency}/kg"

    @property
    def as_body(self) -> list[str | None]:
        """The prices as they stand in a row."""
        return [str(self.sells), None if self.buys is None else str(self.buys), str(self.downgrade)]


class PriceRow(NamedTuple):
    """A price of one bay with the row that holds it."""

    seq: int
    price: BayPrice
    start: int
    """Number of the first row of the run that it holds for; its own where it does not reach back."""
    correction: str
    """What it corrects, by whom and why; empty for a price that nobody typed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBook:
    """Every price that the ledger knows; bays in it once a row names them."""

    by_bay: Mapping[str, Sequence[PriceRow]]
    """Bay -> its prices, oldest first."""
    reaching_back: Mapping[tuple[str, str], Sequence[PriceRow]]
    """Bay and run -> the prices that a person typed for rows of that run before their own, oldest first."""
    of_file: Mapping[str, BayPrice]
    """Bay -> the newest price that nobody typed."""
    fallback: Mapping[str, BayPrice]
    """Prices of yard.toml, for bays that no row prices yet."""

    def at(self, bay: str, seq: int, run_id: str) -> PriceRow | None:
        """Return the price of a bay for a row of a run; the first known for rows older than any price.

        None for a bay that no row prices.
        """
        for one in reversed(self.reaching_back.get((bay, run_id), ())):
            if one.start <= seq < one.seq:
                return one
        known = self.by_bay.get(bay)
        return known[max(0, bisect(known, seq, key=lambda one: one.seq) - 1)] if known else None

    def of_piece(self, state: PieceState) -> BayPrice | None:
        """Return the price where a piece lies, of the day when it was brought there."""
        found = self._row_of(state)
        return found.price if found else self.fallback.get(state.bay)

    def corrections(self, states: Iterable[PieceState]) -> tuple[str, ...]:
        """Return what was typed of the prices of some pieces, oldest first, void pieces left out."""
        found = {row for state in states if not state.is_void and (row := self._row_of(state))}
        return tuple(row.correction for row in sorted(found, key=lambda row: row.seq) if row.correction)

    def _row_of(self, state: PieceState) -> PriceRow | None:
        brought = [
            one.row.seq for one in state.corrections if one.row.kind in (RowKind.MOVE, RowKind.RESOLVE)
        ]
        return self.at(state.bay, max([state.seq, *brought]), state.run_id)


def price_book(source: LedgerSource, yard: Yard) -> PriceBook:
    """Return the prices of a ledger, with those of the yard for bays that it does not price."""
    by_bay: dict[str, list[PriceRow]] = {}
    reaching_back: dict[tuple[str, str], list[PriceRow]] = {}
    of_file: dict[str, BayPrice] = {}
    for row in rows_where(source, f"kind = 'price' AND {ALL_RUNS.sql}"):
        is_typed = row.body["source"] == TYPED
        for bay, (sells, buys, downgrade) in row.body["prices"].items():
            price = BayPrice(
                Decimal(sells),
                None if buys is None else Decimal(buys),
                Decimal(downgrade),
                str(row.body["currency"]),
            )
            start = int(row.body.get("start", row.seq))
            one = PriceRow(row.seq, price, start, _correction(row, bay, price) if is_typed else "")
            by_bay.setdefault(bay, []).append(one)
            if start < row.seq:
                reaching_back.setdefault((bay, row.run_id), []).append(one)
            if not is_typed:
                of_file[bay] = price
    return PriceBook(
        by_bay=by_bay,
        reaching_back=reaching_back,
        of_file=of_file,
        fallback={bay.code: _of_yard(bay, yard) for bay in yard.bays if not bay.is_hold},
    )


def _correction(row: Row, bay: str, price: BayPrice) -> str:
    """Return what a typed price corrects. Text is cleaned."""
    said = f"{clean(bay)}: {clean(str(row.body['was']))}; corrected to {price.said} from "
    since = local_day_and_time(time_of(str(row.body["since"])))
    return f"{said}{since} on, by {clean(row.person)} (row {row.seq}): {clean(str(row.body['reason']))}"


def write_changed_prices(ledger: Ledger, yard: Yard, person: str) -> tuple[Row, ...]:
    """Write the prices of the yard that changed since the ledger last took them, a row for each source.

    A price that a person typed since then stands until yard.toml or the office says another one than before.
    What is told of it is added to `ledger.told_at_start`; the first prices of a bay are not worth telling.

    Raises:
        LedgerRefusal: No run is open.
        StoreError: The disk refused; nothing was written.
    """
    book = price_book(ledger, yard)
    changed = {bay: price for bay, price in book.fallback.items() if price != book.of_file.get(bay)}
    if not changed:
        return ()
    by_source: dict[str, dict[str, BayPrice]] = {}
    for bay, price in changed.items():
        source = FROM_OFFICE if bay.casefold() in yard.priced_by_office else FROM_FILE
        by_source.setdefault(source, {})[bay] = price
    with ledger.act():
        rows = tuple(_write(ledger, source, prices, person) for source, prices in by_source.items())
    was = {bay: before for bay in changed if (before := book.of_file.get(bay)) is not None}
    if was:
        said = ", ".join(f"{bay} {before.said}, now {changed[bay].said}" for bay, before in was.items())
        ledger.told_at_start += (
            f"Prices changed ({' and '.join(by_source)}): {said}. They hold from here on; what was "
            "tallied before keeps the price of its day.",
        )
    return rows


def _write(ledger: Ledger, source: str, prices: Mapping[str, BayPrice], person: str) -> Row:
    """Write one row of prices, all of one currency."""
    body = {
        "source": source,
        "currency": next(iter(prices.values())).currency,
        "prices": {bay: one.as_body for bay, one in prices.items()},
    }
    return ledger.append(RowKind.PRICE, person=person, body=body)


def _of_yard(bay: Bay, yard: Yard) -> BayPrice:
    buying = bay.buying_per_kg
    return BayPrice(
        Decimal(repr(bay.price_per_kg)),
        None if buying is None else Decimal(repr(buying)),
        Decimal(repr(bay.downgrade_per_kg)),
        yard.currency,
    )
