"""How figures are written on the screen: percentages, bars, weights, local times."""

from console.ground.mass import in_unit

DECIMALS = {"kg": 2, "lb": 2, "t": 4, "short ton": 4}
"""Unit -> decimals shown; ten grams or finer."""

NOT_MEASURED = "·"


def wt_pct(value: float) -> str:
    """Return a mass fraction [wt %] with as many decimals as it deserves.

    >>> wt_pct(18.204), wt_pct(0.5), wt_pct(0.0301), wt_pct(0.0), wt_pct(100.0)
    ('18.2', '0.5', '0.03', '0', '100')
    """
    text = f"{value:.1f}" if value >= 10 else f"{value:.2f}" if value >= 0.1 else f"{value:.3f}"
    return text.rstrip("0").rstrip(".")


def bar(share: float, width: int) -> tuple[str, str]:
    """Return the drawn and the remaining part of a bar for a share 0..1; together `width` cells.

    A share above nothing draws at least one cell, a share below the whole leaves at least one.

    >>> bar(0.5, 4), bar(0.001, 4), bar(0.999, 4), bar(1.2, 4)
    (('━━', '──'), ('━', '───'), ('━━━', '─'), ('━━━━', ''))
    """
    cells = round(max(0.0, min(share, 1.0)) * width)
    if 0.0 < share < 1.0:
        cells = max(1, min(cells, width - 1))
    return "━" * cells, "─" * (width - cells)


def mass(grams: int, unit: str = "kg") -> str:
    """Return a mass [g] as a figure in the yard's unit, without the unit.

    >>> mass(12_400), mass(453_592, "lb")
    ('12.40', '1000.00')
    """
    return f"{in_unit(grams, unit):.{DECIMALS.get(unit, 3)}f}"


def short_mass(grams: int, unit: str = "kg") -> str:
    """Return a sum of masses [g] in at most eight characters: fewer decimals for larger figures.

    >>> short_mass(12_400), short_mass(123_456_780), short_mass(12_345_678_900)
    ('12.40', '123456.8', '12345679')
    """
    value = in_unit(grams, unit)
    for decimals in range(DECIMALS.get(unit, 3), -1, -1):
        text = f"{value:.{decimals}f}"
        if len(text) <= 8:
            return text
    return text


def many(count: int, one: str, more: str) -> str:
    """Return a count with the right form of its noun.

    >>> many(1, "piece", "pieces"), many(0, "piece", "pieces")
    ('1 piece', '0 pieces')
    """
    return f"{count} {one if count == 1 else more}"
