"""Reads [[buyer]] tables of yard.toml: buyers, their orders, limits of a load, prices."""

import re
from datetime import date
from decimal import Decimal

from console.ground.cents import price_of
from console.ground.cleaning import clean
from console.yard.errors import YardFileError
from console.yard.file.bay_refusals import REFUSAL_KEYS, read_bound, read_refusals
from console.yard.file.fields import Fields
from console.yard.file.selectors import Selectors, named_in
from console.yard.loads.buyer import Buyer, DecisionRule, LoadLimit, Order, PriceStep
from grade_library.elements import ELEMENTS, nearest_symbol

_BUYER_KEYS = ("code", "name", "address", "currency", "decision", "order")
_ORDER_KEYS = (
    "code",
    "name",
    "accepts",
    "refuses",
    "price_per_kg",
    "step",
    "limits",
    "foreign_max",
    "wanted",
    "until",
    *REFUSAL_KEYS,
)
_STEP_KEYS = ("of", "above", "below", "per_kg")
FOREIGN = "foreign"
"""Word of a step that hangs on foreign material."""
_CODE = re.compile("[A-Za-z0-9]{2,8}")
_TERM = re.compile(r"(?:(?P<factor>\d+(?:\.\d+)?)\s*)?(?P<symbol>[A-Z][a-z]?)")
_LARGEST_PRICE = 1_000_000.0


def buyers_from(file: Fields, selectors: Selectors) -> tuple[Buyer, ...]:
    """Return the buyers of the yard; none where the file names none.

    Args:
        file: The whole file.
        selectors: What `accepts` and `refuses` may name.

    Raises:
        YardFileError: Something is missing or wrong; the message names buyer, order and key.
    """
    usual = file.table.get("currency", "")
    currency = usual if isinstance(usual, str) else ""
    buyers = tuple(_buyer(one, currency, selectors) for one in file.tables("buyer", named_by="code"))
    _refuse_twice(file.place, "buyer", [one.code for one in buyers])
    _refuse_twice(file.place, "order", [order.code for one in buyers for order in one.orders])
    return buyers


def _buyer(fields: Fields, currency: str, selectors: Selectors) -> Buyer:
    fields.refuse_unknown(_BUYER_KEYS)
    return Buyer(
        code=_code(fields),
        name=fields.text("name"),
        address=fields.text("address", ""),
        currency=fields.text("currency", currency),
        decision=DecisionRule(fields.word("decision", DecisionRule.SHARED_RISK, DecisionRule)),
        orders=tuple(
            _order(one, selectors) for one in fields.tables("order", named_by="code", header="buyer.order")
        ),
    )


def _order(fields: Fields, selectors: Selectors) -> Order:
    fields.refuse_unknown(_ORDER_KEYS)
    accepts = fields.texts("accepts")
    if not accepts:
        raise fields.wrong("accepts", 'is empty; write accepts = ["..."] as a bay does')
    refusals = read_refusals(fields)
    taken = named_in(fields, "accepts", selectors) - named_in(fields, "refuses", selectors)
    taken -= frozenset().union(*(selectors.holding(symbol) for symbol in sorted(refusals.refused_elements)))
    if not taken:
        raise fields.wrong("refuses", "refuses everything that the order accepts")
    limits = fields.sub("limits")
    return Order(
        code=_code(fields),
        name=fields.text("name"),
        accepts=accepts,
        taken_ids=taken,
        price_per_kg=_price(fields, "price_per_kg"),
        steps=tuple(_step(one) for one in fields.tables("step", header="buyer.order.step")),
        limits=tuple(
            LoadLimit(words=words, terms=_terms(limits, words, words), limit=read_bound(limits, words))
            for words in limits.table
        ),
        foreign_max_wt_pct=fields.number("foreign_max", None, 0.0, 100.0)
        if "foreign_max" in fields.table
        else None,
        wanted_g=fields.mass_g("wanted") if "wanted" in fields.table else None,
        until=_day(fields, "until"),
        **refusals.by_field,
    )


def _step(fields: Fields) -> PriceStep:
    fields.refuse_unknown(_STEP_KEYS)
    words = fields.text("of")
    bounds = {key: fields.number(key, None, 0.0, 1000.0) for key in ("above", "below") if key in fields.table}
    if len(bounds) != 1:
        raise fields.wrong("above", "a step needs either above or below [wt %]")
    return PriceStep(
        words=words,
        terms={} if words.casefold() == FOREIGN else _terms(fields, "of", words),
        above=bounds.get("above"),
        below=bounds.get("below"),
        per_kg=_price(fields, "per_kg"),
    )


def _terms(fields: Fields, key: str, words: str) -> dict[str, float]:
    terms: dict[str, float] = {}
    for part in words.split("+"):
        found = _TERM.fullmatch(part.strip())
        if found is None:
            raise fields.wrong(
                clean(key, 40), f'"{clean(words, 40)}" is no element or sum, such as "Cu + 8 Sn"'
            )
        symbol, factor = found["symbol"], float(found["factor"] or 1.0)
        if symbol not in ELEMENTS:
            near = nearest_symbol(symbol)
            hint = f", write {near}" if near else ""
            raise fields.wrong(clean(key, 40), f"{symbol} is not the symbol of an element{hint}")
        if symbol in terms or factor <= 0.0:
            raise fields.wrong(clean(key, 40), f"{symbol} needs to stand once, with a factor above 0")
        terms[symbol] = factor
    return terms


def _price(fields: Fields, key: str) -> Decimal:
    number = fields.number(key, None, -_LARGEST_PRICE, _LARGEST_PRICE)
    try:
        return price_of(fields.table[key])
    except ValueError as error:
        raise fields.wrong(key, f"{error}; write {key} = {number:.2f}") from error


def _day(fields: Fields, key: str) -> date | None:
    value = fields.table.get(key)
    if value is not None and type(value) is not date:
        raise fields.wrong(key, f"needs a day without quotes, such as {key} = 2027-01-31")
    return value


def _code(fields: Fields) -> str:
    code = fields.text("code")
    if not _CODE.fullmatch(code):
        raise fields.wrong("code", f'"{code}" needs 2 to 8 letters and figures, such as code = "RFA1"')
    return code.upper()


def _refuse_twice(file: str, kind: str, codes: list[str]) -> None:
    for code in codes:
        if codes.count(code) > 1:
            raise YardFileError(f"{file}, {kind} {code}, code: two have it; each needs its own")
