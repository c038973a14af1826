"""What the buyer found, as typed: "net=2680kg cu=0.27 yield=94.2 paid=4900.50EUR lost=120; oily"."""

import re

from console.desk.refusals import DeskRefusal, mass_typed
from console.ground.cleaning import clean
from console.ground.mass import as_fraction, is_number
from console.readings.element_readings import SYMBOLS
from console.yard.loads.load_sheet import LoadSheet
from console.yard.loads.settling import Finding
from console.yard.yard import Yard

HOW = "Type such as net=2680kg cu=0.27 yield=94.2 paid=4900.50 lost=120; what he says behind a semicolon."
NOT_READ = '"{word}" is not understood. {how}'
TWICE = "{key} stands twice."
OTHER_MONEY = "{tag} is sold in {own}; {typed} is {other} and cannot be set against that."
_MONEY = re.compile(r"([+-]?[0-9.,]+)\s*([A-Za-z]*)")


def finding_typed(typed: str, sheet: LoadSheet, yard: Yard) -> Finding:
    """Return what the buyer found.

    Args:
        typed: Words of the form key=value, and after a semicolon what he says.
        sheet: The load, for its currency.
        yard: For its unit of weight.

    Raises:
        DeskRefusal: Nothing is said, a word is not understood or stands twice, or money is of another
            currency.
    """
    words, _, said = clean(typed).partition(";")
    given: dict[str, str] = {}
    for word in words.split():
        key, _, value = word.partition("=")
        if not value:
            raise DeskRefusal(NOT_READ.format(word=word, how=HOW))
        if key.casefold() in given:
            raise DeskRefusal(TWICE.format(key=key))
        given[key.casefold()] = value
    if not given and not said.strip():
        raise DeskRefusal(HOW)
    net, share, paid, lost = (given.pop(key, None) for key in ("net", "yield", "paid", "lost"))
    unknown = [key for key in given if key not in SYMBOLS]
    if unknown:
        raise DeskRefusal(NOT_READ.format(word=unknown[0], how=HOW))
    return Finding(
        net_g=None if net is None else mass_typed(net, yard),
        wt_pct={SYMBOLS[key]: _percent(value) for key, value in given.items()},
        yield_pct=None if share is None else _percent(share),
        paid_cents=None if paid is None else _cents(paid, sheet),
        lost_cents=None if lost is None else _cents(lost, sheet),
        words=said.strip(),
    )


def _percent(text: str) -> float:
    if not is_number(text) or not 0 <= as_fraction(text) <= 100:
        raise DeskRefusal(NOT_READ.format(word=text, how="Per cent go from 0 to 100."))
    return float(as_fraction(text))


def _cents(text: str, sheet: LoadSheet) -> int:
    found = _MONEY.fullmatch(text)
    if found is None or not is_number(found[1]) or (100 * as_fraction(found[1])).denominator != 1:
        raise DeskRefusal(NOT_READ.format(word=text, how="Money is a number with at most two decimals."))
    if found[2] and found[2].casefold() != sheet.currency.casefold():
        raise DeskRefusal(
            OTHER_MONEY.format(tag=sheet.tag, own=sheet.currency or "no currency", typed=text, other=found[2])
        )
    return int(100 * as_fraction(found[1]))
