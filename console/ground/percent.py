"""How a probability is written."""


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
