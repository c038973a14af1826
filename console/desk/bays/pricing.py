"""A price of a bay, typed by a person with the moment from which it holds and the reason."""

import re
from collections.abc import Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from console.desk.done import Done, done
from console.desk.refusals import DeskRefusal, NeedsReason, known_bay
from console.ground.cents import MOST_DECIMALS
from console.ground.cleaning import clean
from console.ground.dates import local_day_and_time, of_the_yard
from console.ledger.prices.price_rows import BayPrice, price_book
from console.ledger.prices.typed_price import first_row_since, write_typed_price

if TYPE_CHECKING:
    from console.desk.desk import Desk

_WORD = re.compile(
    rf"(sells|buys|downgrade)=([0-9]{{1,6}}(?:[.,][0-9]{{1,{MOST_DECIMALS}}})?) ?([A-Za-z]*)", re.ASCII
)
NO_PRICE = '"{word}" is no price: type sells=1.90, buys=1.40 or downgrade=0.95, in {currency} per kg.'
OTHER_CURRENCY = '"{word}": prices of this yard are in {currency}. Work it out in {currency} and type that.'
NO_TIME = '"{typed}" is no day or time: type 2026-03-02, or "2026-03-02 14:30".'
NOT_YET = "{since} is still to come: a price holds from now on, or from earlier in this run. Type it then."


def type_price(desk: "Desk", bay_code: str, words: Sequence[str], reason: str, since: str = "") -> Done[None]:
    """Write a price of a bay into the open run; what lies in closed runs keeps its value.

    Args:
        desk: With an open run.
        bay_code: Whose price.
        words: "sells=1.90", "buys=1.40", "downgrade=0.95", in the currency of the yard, which may stand
            behind the number; a price that is not named stays as it was.
        reason: Why.
        since: Day, or day and time of the yard, from which it holds; empty for now.

    Raises:
        DeskRefusal: A word cannot be read, is in another currency or changes nothing; or no such bay.
        NeedsReason: No reason is given.
        LedgerRefusal: A run was closed since then.
        StoreError: The disk refused; nothing was written.
    """
    bay, why, currency = known_bay(bay_code, desk.yard), clean(reason).strip(), desk.yard.currency
    if bay.is_hold:
        raise DeskRefusal(f"What waits in {bay.code} is on hold and has no price.")
    changes = dict(_read(clean(word).strip(), currency) for word in words)
    if not changes:
        raise DeskRefusal(NO_PRICE.format(word="", currency=currency))
    if not why:
        raise NeedsReason("A price that is typed needs a reason, such as what the buyer said.")
    with desk.ledger.act():
        now = desk.now()
        begins = _moment(clean(since).strip(), now)
        start = first_row_since(desk.ledger, begins) if since else desk.ledger.journal.head[0] + 1
        book = price_book(desk.ledger, desk.yard)
        found = book.at(bay.code, start, desk.run().run_id)
        was = found.price if found else book.fallback[bay.code]
        price = _changed(bay.code, was, changes, currency)
        row = write_typed_price(
            desk.ledger, bay.code, price, desk.person, was=was, since=begins, start=start, reason=why
        )
    return done(f"{bay.code} {was.said}; from {local_day_and_time(begins)} on {price.said}", row)


def _read(word: str, currency: str) -> tuple[str, Decimal]:
    read = _WORD.fullmatch(word)
    if read is None:
        raise DeskRefusal(NO_PRICE.format(word=word, currency=currency))
    if read[3] and read[3].casefold() != currency.casefold():
        raise DeskRefusal(OTHER_CURRENCY.format(word=word, currency=currency))
    return read[1], Decimal(read[2].replace(",", "."))


def _moment(typed: str, now: datetime) -> datetime:
    """Return the moment that was typed, now for none."""
    if not typed:
        return now
    try:
        begins = of_the_yard(datetime.fromisoformat(typed))
    except ValueError:
        raise DeskRefusal(NO_TIME.format(typed=typed)) from None
    if begins > now:
        raise DeskRefusal(NOT_YET.format(since=local_day_and_time(begins)))
    return begins


def _changed(bay: str, was: BayPrice, changes: Mapping[str, Decimal], currency: str) -> BayPrice:
    """Return the prices of a bay after the change; one that makes no sense is refused."""
    if was.currency != currency:
        raise DeskRefusal(f"{bay} was priced in {was.currency} then: type a later time.")
    price = BayPrice(
        changes.get("sells", was.sells),
        changes.get("buys", was.buys),
        changes.get("downgrade", was.downgrade),
        currency,
    )
    if price == was:
        raise DeskRefusal(f"{bay} {was.said} already: nothing to correct.")
    if price.downgrade > price.sells:
        raise DeskRefusal(f"{bay}: {price.said}: refused metal fetches no more than accepted.")
    return price
