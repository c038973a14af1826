"""Reads one [[bay]] table of yard.toml."""

from typing import Any

from console.entry.cleaning import clean
from console.yard.errors import YardFileError
from console.yard.fields import Fields
from console.yard.selectors import SelectorError, Selectors
from console.yard.yard import Bay
from grade_library.elements import ELEMENTS, nearest_symbol
from grade_library.facts import Surface

_KEYS = (
    "code",
    "name",
    "accepts",
    "refuses",
    "element_limits",
    "refused_surfaces",
    "refuses_attachments",
    "price_per_kg",
    "downgrade_per_kg",
    "bale",
    "is_hold",
)
_LARGEST_PRICE = 1_000_000.0
"""Above any metal's price per kg in any currency; more is a slip (our own bound)."""


def read_bay(file: str, number: int, table: dict[str, Any], selectors: Selectors) -> Bay:
    """Return one bay.

    Args:
        file: Name of the file, for messages.
        number: Which [[bay]] of the file, from 1, for a bay without a code.
        table: The keys as read.
        selectors: What `accepts` and `refuses` may name.

    Raises:
        YardFileError: A key is missing, unknown or wrong.
    """
    code = table.get("code")
    place = (
        f"{file}, bay {clean(code, 20)}"
        if isinstance(code, str) and code.strip()
        else f"{file}, bay {number}"
    )
    fields = Fields(place, table)
    fields.refuse_unknown(_KEYS)
    is_hold = fields.flag("is_hold")
    accepts = fields.texts("accepts")
    if not accepts and not is_hold:
        raise fields.wrong(
            "accepts", 'is empty; write accepts = ["..."] with groups, families, series or grades'
        )
    refuses = fields.texts("refuses")
    grade_ids = _grade_ids(fields, "accepts", accepts, selectors)
    refused_ids = _grade_ids(fields, "refuses", refuses, selectors)
    if grade_ids and not grade_ids - refused_ids:
        raise fields.wrong("refuses", "refuses everything that the bay accepts")
    return Bay(
        code=fields.text("code"),
        name=fields.text("name"),
        accepts=accepts,
        grade_ids=grade_ids,
        refuses=refuses,
        refused_ids=refused_ids,
        element_limits=_element_limits(fields),
        refused_surfaces=fields.members("refused_surfaces", Surface),
        refuses_attachments=fields.flag("refuses_attachments"),
        price_per_kg=_price(fields, "price_per_kg", 0.0 if is_hold else None),
        downgrade_per_kg=_price(fields, "downgrade_per_kg", 0.0),
        bale_g=fields.mass_g("bale") if "bale" in table else None,
        is_hold=is_hold,
    )


def _price(fields: Fields, key: str, default: float | None) -> float:
    return fields.number(key, default, -_LARGEST_PRICE, _LARGEST_PRICE)


def _grade_ids(fields: Fields, key: str, names: tuple[str, ...], selectors: Selectors) -> frozenset[str]:
    try:
        return selectors.union(names)
    except SelectorError as error:
        raise fields.wrong(key, str(error)) from error


def _element_limits(fields: Fields) -> dict[str, float]:
    table = fields.sub("element_limits")
    for symbol in table.table:
        if symbol not in ELEMENTS:
            near = nearest_symbol(symbol)
            hint = f", write {near}" if near else ""
            raise YardFileError(f"{table.place}: {clean(symbol, 20)} is not the symbol of an element{hint}")
    return {symbol: table.number(symbol, None, 0.0, 100.0) for symbol in table.table}
