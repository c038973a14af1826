"""What it means that a buyer refuses an element at all: from which content on a metal holds it."""

from grade_library.elements import ELEMENTS
from grade_library.grade import Grade

AT_ALL_WT_PCT = {"Pb": 0.2, "Be": 0.1, "Cd": 0.01}
"""Symbol -> content above which a metal counts as holding the element [wt %]. Lead: published entry Ebulent
(lead below 0.2 %, a trader's page that restates it). Beryllium: 29 CFR 1910.1024, which covers materials
from 0.1 %. Cadmium: EU directive 2011/65, annex II (memory)."""
USUAL_WT_PCT = 0.1
"""The same for every other element [wt %] (our own choice: above what residuals commonly reach)."""


def at_all_wt_pct(symbol: str) -> float:
    """Return the content above which a metal counts as holding the element [wt %]."""
    return AT_ALL_WT_PCT.get(symbol, USUAL_WT_PCT)


def holds(grade: Grade, symbol: str) -> bool:
    """Return True when the grade's limits let it hold more of the element than counts as none."""
    limit = grade.limits.get(symbol)
    if limit is None:
        return False
    return limit.is_rest or limit.high is None or limit.high > at_all_wt_pct(symbol)


def cannot_keep(grade: Grade, symbol: str, most_wt_pct: float) -> bool:
    """Return True when the grade's least content of an element lies above a bound [wt %]."""
    limit = grade.limits.get(symbol)
    return limit is not None and limit.low is not None and limit.low > most_wt_pct


def symbol_of(word: str) -> str | None:
    """Return the symbol of an element that is named by symbol or by name, case-blind; None else.

    >>> symbol_of("lead"), symbol_of("be"), symbol_of("ledd")
    ('Pb', 'Be', None)
    """
    asked = word.strip().casefold()
    for symbol, element in ELEMENTS.items():
        if asked in (symbol.casefold(), element.name.casefold()):
            return symbol
    return None
