"""Prices as rows: what every bay's metal sells, is bought and is downgraded at, from a row of the ledger on.

A price is valid from its own row on, so the clock of the computer has no say in it. What was tallied before
keeps the price of its day.
"""

from bisect import bisect
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from console.ledger.keeping.store import Ledger
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.queries import rows_where
from console.ledger.rows.rows import PieceState, Row, RowKind
from console.ledger.rows.runs import ALL_RUNS
from console.yard.yard import Bay, Yard

FROM_FILE, FROM_OFFICE = "yard.toml", "office"
"""Where prices come from, as their rows say."""


class BayPrice(NamedTuple):
    """The prices of one bay [currency/kg]."""

    sells: Decimal
    buys: Decimal | None
    """None where the yard says none."""
    downgrade: Decimal
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBook:
    """Every price that the ledger knows; bays in it once a row names them."""

    by_bay: Mapping[str, tuple[tuple[int, BayPrice], ...]]
    """Bay -> number of the row and its price, oldest first."""
    fallback: Mapping[str, BayPrice]
    """Prices of yard.toml, for bays that no row prices yet."""

    def at(self, bay: str, seq: int) -> BayPrice | None:
        """Return a bay's price as the row `seq` found it; the first known for rows older than any price.

        None for a bay that has no price at all.
        """
        known = self.by_bay.get(bay)
        if not known:
            return self.fallback.get(bay)
        return known[max(0, bisect(known, seq, key=lambda one: one[0]) - 1)][1]

    def of_piece(self, state: PieceState) -> BayPrice | None:
        """Return the price where a piece lies, of the day when it was brought there."""
        brought = [
            one.row.seq for one in state.corrections if one.row.kind in (RowKind.MOVE, RowKind.RESOLVE)
        ]
        return self.at(state.bay, max([state.seq, *brought]))

    def newest(self, bay: str) -> BayPrice | None:
        """Return the price that the newest row gives a bay; None where no row prices it."""
        known = self.by_bay.get(bay)
        return known[-1][1] if known else None


def price_book(source: LedgerSource, yard: Yard) -> PriceBook:
    """Return the prices of a ledger, with those of the yard for bays that it does not price."""
    by_bay: dict[str, list[tuple[int, BayPrice]]] = {}
    for row in rows_where(source, f"kind = 'price' AND {ALL_RUNS.sql}"):
        for bay, (sells, buys, downgrade) in row.body["prices"].items():
            price = BayPrice(
                Decimal(sells),
                None if buys is None else Decimal(buys),
                Decimal(downgrade),
                str(row.body["currency"]),
            )
            by_bay.setdefault(bay, []).append((row.seq, price))
    return PriceBook(
        by_bay={bay: tuple(known) for bay, known in by_bay.items()},
        fallback={bay.code: _of_yard(bay, yard) for bay in yard.bays if not bay.is_hold},
    )


def write_changed_prices(ledger: Ledger, yard: Yard, person: str) -> tuple[Row, ...]:
    """Write the prices of the yard that differ from the ledger's, a row for each source.

    What is told of it is added to `ledger.told_at_start`; the first prices of a bay are not worth telling.

    Raises:
        LedgerRefusal: No run is open.
        StoreError: The disk refused; nothing was written.
    """
    book = price_book(ledger, yard)
    changed = {bay: price for bay, price in book.fallback.items() if price != book.newest(bay)}
    if not changed:
        return ()
    by_source: dict[str, dict[str, BayPrice]] = {}
    for bay, price in changed.items():
        source = FROM_OFFICE if bay.casefold() in yard.priced_by_office else FROM_FILE
        by_source.setdefault(source, {})[bay] = price
    with ledger.act():
        rows = tuple(_write(ledger, source, prices, person) for source, prices in by_source.items())
    was = {bay: before for bay in changed if (before := book.newest(bay)) is not None}
    if was:
        said = ", ".join(f"{bay} {_said(before)}, now {_said(changed[bay])}" for bay, before in was.items())
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
        "prices": {
            bay: [str(one.sells), None if one.buys is None else str(one.buys), str(one.downgrade)]
            for bay, one in prices.items()
        },
    }
    return ledger.journal.append_to_open_run(RowKind.PRICE, person=person, body=body)


def _of_yard(bay: Bay, yard: Yard) -> BayPrice:
    buying = bay.buying_per_kg
    return BayPrice(
        Decimal(repr(bay.price_per_kg)),
        None if buying is None else Decimal(repr(buying)),
        Decimal(repr(bay.downgrade_per_kg)),
        yard.currency,
    )


def _said(price: BayPrice) -> str:
    buys = "" if price.buys is None else f", buys {price.buys}"
    return f"sells {price.sells}{buys}, downgraded {price.downgrade} {price.currency}/kg"
