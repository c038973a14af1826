"""How a limit is written in a grade file, and back."""

import re

from grade_library.errors import GradeDataError
from grade_library.grade import Limit

NOMINAL_SPREAD = 0.10
"""Relative half-width given to a value stated only as nominal (memory: melts of one nominal commonly keep
within a tenth of it, as do specifications that state both)."""
NOMINAL_LEAST_SPREAD_WT_PCT = 0.05
"""Least half-width of such a value [wt %], so that a small addition gets no impossibly narrow limit."""
NOMINAL_MOST_SPREAD_WT_PCT = 2.0
"""Most half-width [wt %]: a main element stated as 90 % nominal does not run from 81 to 99 (memory)."""

RECKONED = "~"
"""Before an end that was worked out and is not printed in the source."""
_NUMBER = rf"{RECKONED}?(\d+(?:\.\d+)?|\.\d+)"
_RANGE = re.compile(rf"{_NUMBER}\s*[-–]\s*{_NUMBER}")
_MOST = re.compile(rf"(?:<=|≤)\s*{_NUMBER}")
_LEAST = re.compile(rf"(?:>=|≥)\s*{_NUMBER}")
_NOMINAL = re.compile(r"=\s*(\d+(?:\.\d+)?|\.\d+)")
_REST = re.compile(r"rest(?:\s+(.+))?")

FORMS = (
    '"low-high", "<=high", ">=low", "=value", "rest", "rest >=low" or "rest low-high"; '
    "~ before an end that was reckoned"
)


def read_limit(text: str) -> Limit:
    """Return the limit written as text.

    Args:
        text: One of the forms of a grade file [wt %].

    Raises:
        GradeDataError: The text has none of the forms, or the minimum lies above the maximum.

    >>> read_limit("17.5-19.5")
    Limit(low=17.5, high=19.5, is_rest=False, nominal=None, is_low_reckoned=False, is_high_reckoned=False)
    >>> read_limit("rest >=62").is_rest
    True
    >>> read_limit("=0.3").low, read_limit("~0.1-0.7").is_low_reckoned
    (0.25, True)
    """
    asked = text.strip()
    if rest := _REST.fullmatch(asked):
        if rest[1] is None:
            return Limit(is_rest=True)
        low, high, _ = _bounds(rest[1].strip(), text)
        return Limit(low=low, high=high, is_rest=True, **_reckoned(asked))
    low, high, nominal = _bounds(asked, text)
    return Limit(low=low, high=high, nominal=nominal, **_reckoned(asked))


def _reckoned(asked: str) -> dict[str, bool]:
    """Return which ends of a limit as written are marked as worked out."""
    at_high = re.search(rf"(?:<=|≤|[-–])\s*{RECKONED}", asked) is not None
    return {"is_low_reckoned": asked.count(RECKONED) > at_high, "is_high_reckoned": at_high}


def _bounds(asked: str, text: str) -> tuple[float | None, float | None, float | None]:
    """Return minimum, maximum and nominal value [wt %], None for each that is not stated."""
    if between := _RANGE.fullmatch(asked):
        return float(between[1]), float(between[2]), None
    if most := _MOST.fullmatch(asked):
        return None, float(most[1]), None
    if least := _LEAST.fullmatch(asked):
        return float(least[1]), None, None
    if nominal := _NOMINAL.fullmatch(asked):
        return nominal_range(float(nominal[1]))
    raise GradeDataError(f'limit "{text}" is not understood: write {FORMS}')


def nominal_range(value: float) -> tuple[float, float, float]:
    """Return minimum, maximum and the value itself [wt %] for a figure published only as nominal."""
    half = min(max(NOMINAL_SPREAD * value, NOMINAL_LEAST_SPREAD_WT_PCT), NOMINAL_MOST_SPREAD_WT_PCT)
    return max(0.0, round(value - half, 6)), min(100.0, round(value + half, 6)), value


def write_limit(limit: Limit) -> str:
    """Return the limit as a grade file writes it; `read_limit` gives the same limit back.

    >>> [write_limit(read_limit(text)) for text in ("8 - 10.5", "<=.07", "~.1-.7", "=2.5", "rest 60-70")]
    ['8-10.5', '<=0.07', '~0.1-0.7', '=2.5', 'rest 60-70']
    """
    if limit.nominal is not None:
        return f"={_figure(limit.nominal)}"
    parts = ["rest"] if limit.is_rest else []
    low = None if limit.low is None else RECKONED * limit.is_low_reckoned + _figure(limit.low)
    high = None if limit.high is None else RECKONED * limit.is_high_reckoned + _figure(limit.high)
    if low is not None and high is not None:
        parts.append(f"{low}-{high}")
    elif high is not None:
        parts.append(f"<={high}")
    elif low is not None:
        parts.append(f">={low}")
    return " ".join(parts)


def _figure(value: float) -> str:
    """Return a figure without an exponent and without idle zeros."""
    return f"{value:.6f}".rstrip("0").rstrip(".")
