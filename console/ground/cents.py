"""Money as whole hundredths of a currency, and prices as decimals; never a float in between.

What a weight is worth is rounded to the nearest hundredth, halves away from zero: commercial rounding, the
same as is done by hand (common practice).
"""

from decimal import ROUND_HALF_UP, Decimal

MOST_DECIMALS = 4
"""A price per kg has no more: a hundredth of a cent."""
ROUNDING = "Amounts are rounded to the nearest hundredth, halves away from zero, line by line."
_HUNDREDTH = Decimal("0.01")


def price_of(number: float) -> Decimal:
    """Return a price as it was written in a file: 1.78 stays 1.78.

    Raises:
        ValueError: It has more than MOST_DECIMALS decimals.

    >>> price_of(1.78)
    Decimal('1.78')
    """
    price = Decimal(repr(number))
    exponent = price.normalize().as_tuple().exponent
    if not isinstance(exponent, int) or exponent < -MOST_DECIMALS:
        raise ValueError(f"{price} has more than {MOST_DECIMALS} decimals")
    return price


def cents_of(mass_g: int, per_kg: Decimal) -> int:
    """Return what a weight [g] is worth at a price per kg, in whole hundredths.

    >>> cents_of(500, Decimal("0.05"))
    3
    """
    return int((per_kg * mass_g / 10).quantize(Decimal(1), rounding=ROUND_HALF_UP))


def cents_text(cents: int, currency: str) -> str:
    """Return an amount with its currency.

    >>> cents_text(-123456, "EUR")
    '-1234.56 EUR'
    """
    return f"{Decimal(cents) * _HUNDREDTH:.2f} {currency}".rstrip()
