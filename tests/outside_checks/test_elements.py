"""Symbols, names, weights and densities of the elements against the tables of the periodictable package.

Source: periodictable 2.x (atomic weights: CIAAW; densities: CRC Handbook and the sources it names).
"""

import periodictable
import pytest

from grade_library.elements import ELEMENTS

DENSITY_PCT = 2.5
"""Handbooks differ most for graphite (2.25 and 2.2) and strontium (2.6 and 2.54)."""
COMPARED = [
    symbol
    for symbol, element in ELEMENTS.items()
    if element.density_g_cm3 is not None and periodictable.elements.symbol(symbol).density is not None
]


@pytest.mark.parametrize("symbol", list(ELEMENTS))
def test_symbol_name_and_number(symbol: str) -> None:
    """Number and symbol go together, and the name is that of the other table, spelling aside."""
    other = periodictable.elements.symbol(symbol)
    spelling = {"aluminum": "aluminium", "cesium": "caesium"}

    assert ELEMENTS[symbol].number == other.number
    assert ELEMENTS[symbol].name == spelling.get(other.name, other.name)


@pytest.mark.parametrize(
    "symbol", [s for s, e in ELEMENTS.items() if e.number <= 83 and s not in ("Tc", "Pm")]
)
def test_atomic_weight(symbol: str) -> None:
    """Weights agree to 1 in 1000; the abridged values keep five figures and some elements vary in nature."""
    assert ELEMENTS[symbol].atomic_weight == pytest.approx(
        periodictable.elements.symbol(symbol).mass, rel=1e-3
    )


@pytest.mark.parametrize("symbol", COMPARED)
def test_density(symbol: str) -> None:
    """Densities of the solids agree within what handbooks differ by."""
    other = periodictable.elements.symbol(symbol).density

    assert ELEMENTS[symbol].density_g_cm3 == pytest.approx(other, rel=DENSITY_PCT / 100.0)


def test_enough_densities_are_compared() -> None:
    """Every metal a yard meets is among the compared ones."""
    assert {"Al", "Mg", "Ti", "Fe", "Ni", "Cr", "Mo", "Co", "Cu", "Zn", "Sn", "Pb", "W", "Ag", "Au"} <= set(
        COMPARED
    )
