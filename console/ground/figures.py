"""How figures are written: probabilities, contents, counts. Weights: mass.py; money: yard/money.py."""

NO_NAME = "no name"
"""Stands where a piece has none: no grade and no class is likelier than not."""


NEARLY_ALL = 99.9
"""From here on [wt %] the decimals are what counts: 99.97 is no 100."""


def percent(probability: float) -> str:
    """Return a probability 0..1 in whole per cent, never rounded up to certain or down to nothing.

    >>> percent(0.814), percent(0.9996), percent(0.0004), percent(1.0), percent(0.0)
    ('81 %', '>99 %', '<1 %', '100 %', '0 %')
    """
    if 0.0 < probability < 0.01:
        return "<1 %"
    if 0.99 < probability < 1.0:
        return ">99 %"
    return f"{100.0 * probability:.0f} %"


def wt_pct(value: float) -> str:
    """Return a mass fraction [wt %] with as many decimals as it deserves, never rounded up to all of it.

    >>> wt_pct(18.204), wt_pct(0.5), wt_pct(0.0301), wt_pct(0.0), wt_pct(100.0), wt_pct(99.97)
    ('18.2', '0.5', '0.03', '0', '100', '99.97')
    """
    decimals = 1 if 10 <= value < NEARLY_ALL else 2 if 0.1 <= value < 10 else 3
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".")


def with_sigma(wt_pct: float, sigma: float) -> str:
    """Return a content with its standard uncertainty [wt %], with as many decimals as the uncertainty bears.

    >>> with_sigma(0.2899, 0.0973), with_sigma(97.4, 0.2)
    ('0.29 ± 0.10', '97.4 ± 0.2')
    """
    decimals = 1 if sigma >= 0.15 else 2 if sigma >= 0.015 else 3
    return f"{wt_pct:.{decimals}f} ± {sigma:.{decimals}f}"


def many(count: int, one: str, more: str) -> str:
    """Return a count with the right form of its noun.

    >>> many(1, "piece", "pieces"), many(0, "piece", "pieces")
    ('1 piece', '0 pieces')
    """
    return f"{count} {one if count == 1 else more}"
