"""Reads one [[bay]] table of yard.toml."""

from typing import Any

from console.yard.file.bay_refusals import REFUSAL_KEYS, Refusals, read_chemistry, read_refusals
from console.yard.file.fields import Fields
from console.yard.file.selectors import Selectors, named_in
from console.yard.yard import Bay

PRICE_KEYS = ("price_per_kg", "buying_per_kg", "downgrade_per_kg")
RULE_KEYS = ("name", "accepts", "refuses", *REFUSAL_KEYS, "refused_to", "chemistry", "bale", "capacity")
"""What else a bay is but its code, its prices and that undecided pieces wait there."""
_KEYS = ("code", *RULE_KEYS, *PRICE_KEYS, "codes", "is_hold")
CODE_KINDS = ("customs", "waste", "specification")
"""Customs heading, entry of a waste list, entry of a scrap specification."""
_LARGEST_PRICE = 1_000_000.0
"""Above any metal's price per kg in any currency; more is a slip (our own bound)."""
EMPTY_ACCEPTS = 'is empty; write accepts = ["..."] with groups, families, series or grades'


def read_bay(fields: Fields, selectors: Selectors) -> Bay:
    """Return one bay.

    Args:
        fields: Its table.
        selectors: What `accepts` and `refuses` may name.

    Raises:
        YardFileError: A key is missing, unknown or wrong.
    """
    fields.refuse_unknown(_KEYS)
    is_hold = fields.flag("is_hold")
    accepts, refuses = fields.texts("accepts"), fields.texts("refuses")
    if not accepts and not is_hold:
        raise fields.wrong("accepts", EMPTY_ACCEPTS)
    refusals = read_refusals(fields)
    grade_ids = named_in(fields, "accepts", selectors)
    price, buying, downgrade = _prices(fields, is_hold=is_hold)
    return Bay(
        code=fields.text("code"),
        name=fields.text("name"),
        accepts=accepts,
        grade_ids=grade_ids,
        material_ids=selectors.materials & grade_ids,
        kinds=selectors.kinds(accepts),
        refuses=refuses,
        refused_ids=_refused_ids(fields, grade_ids, refusals, selectors),
        refused_kinds=selectors.kinds(refuses),
        **refusals.by_field,
        refused_to=fields.text("refused_to", ""),
        chemistry=read_chemistry(fields),
        price_per_kg=price,
        buying_per_kg=buying,
        downgrade_per_kg=downgrade,
        **_weights(fields),
        codes=_codes(fields.sub("codes")),
        is_hold=is_hold,
    )


def _prices(fields: Fields, *, is_hold: bool) -> tuple[float, float | None, float]:
    """Return selling, buying and downgrade price [currency/kg]."""
    price = _price(fields, "price_per_kg", 0.0 if is_hold else None)
    buying = _price(fields, "buying_per_kg", 0.0) if "buying_per_kg" in fields.table else None
    downgrade = _price(fields, "downgrade_per_kg", 0.0)
    if "downgrade_per_kg" in fields.table and downgrade > price:
        raise fields.wrong(
            "downgrade_per_kg",
            f"{downgrade:g} is above price_per_kg, {price:g}: refused metal fetches no more than accepted",
        )
    return price, buying, downgrade


def _codes(fields: Fields) -> dict[str, str]:
    fields.refuse_unknown(CODE_KINDS)
    return {kind: fields.text(kind) for kind in CODE_KINDS if kind in fields.table}


def _price(fields: Fields, key: str, default: float | None) -> float:
    return fields.number(key, default, -_LARGEST_PRICE, _LARGEST_PRICE)


def _weights(fields: Fields) -> dict[str, Any]:
    """Return the weight of a full bale and of a full bay [g], None for each that is not said."""
    bale_g = fields.mass_g("bale") if "bale" in fields.table else None
    capacity_g = fields.mass_g("capacity") if "capacity" in fields.table else None
    if bale_g is not None and capacity_g is not None and capacity_g < bale_g:
        raise fields.wrong(
            "capacity",
            f"{fields.text('capacity')} holds less than one bale, {fields.text('bale')}",
        )
    return {"bale_g": bale_g, "capacity_g": capacity_g}


def _refused_ids(
    fields: Fields, grade_ids: frozenset[str], refusals: Refusals, selectors: Selectors
) -> frozenset[str]:
    """Return the grades that the bay refuses by name, or for an element that it refuses at all."""
    named = selectors.by_name(fields.texts("accepts"))
    by_name = selectors.touching(named_in(fields, "refuses", selectors), named)
    if grade_ids and not grade_ids - by_name:
        raise fields.wrong("refuses", "refuses everything that the bay accepts")
    holding = frozenset().union(*(selectors.holding(s) for s in sorted(refusals.refused_elements)))
    by_element = selectors.touching(holding, named)
    if grade_ids and not grade_ids - by_name - by_element:
        raise fields.wrong("refuses_at_all", "every grade that the bay accepts may hold it")
    if grade_ids and refusals.element_limits:
        symbol = selectors.bound_that_bars_all(grade_ids - by_name - by_element, refusals.element_limits)
        if symbol:
            raise fields.wrong("element_limits", f"no grade that the bay accepts can keep {symbol}")
    return by_name | by_element
