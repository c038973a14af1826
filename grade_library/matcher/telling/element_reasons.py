"""What one element of a reading says of a grade, in the sorter's words."""

from grade_library.grade import Grade, Limit
from grade_library.matcher.evidence import ReadingEvidence
from grade_library.verdict import Reason, ReasonKind

UNSAID_NATS = 0.05
"""An element that was not reported is only mentioned where it speaks against the grade by more than this."""
NEARLY_ALL = 99.9
"""From here on [wt %] the decimals are what counts: 99.97 is no 100."""

OFF_SPEC_RANGED, OFF_SPEC_TRACE = 0.10, 0.50
"""A melt this far beyond a limit, relative to it, is an off-spec melt of the grade: a range, a maximum only.
Of 694 limits of 96 published heats 34 were missed, half of the ranges by less than 5 %, nearly all by less
than 12 %, half of the maxima by less than 40 % (tests/outside_checks/certified.csv)."""


def element_reason(
    reading: ReadingEvidence, grade: Grade, row: int, column: int, weight: float
) -> Reason | None:
    """Return what one element says of a grade, None where there is nothing to say.

    Args:
        reading: The reading.
        grade: The grade.
        row: Its row in the library.
        column: Column of the element in `reading.readable.melts`.
        weight: What it adds against the average alloy of the group [nats].
    """
    melts, observed = reading.readable.melts, reading.observed
    term, symbol = melts.index.item(row, column), melts.elements[column]
    low, high, is_rest = melts.low.item(term), melts.high.item(term), melts.is_rest.item(term)
    value, sigma = observed.value.item(column), observed.sigma.item(column)
    limit = grade.limits.get(symbol)
    if value != value:  # not a number: not reported, or below detection
        return _missing(symbol, 0.0 if is_rest else low, observed.below.item(column), weight)
    if is_rest and (limit is None or (limit.low is None and limit.high is None)):
        return _rest(symbol, value, sigma, low, high, weight)
    if limit is None:
        return _residual(
            symbol, value, sigma, high if grade.others_each is None else grade.others_each, weight
        )
    return _limited(symbol, value, sigma, limit, weight)


def _limited(symbol: str, value: float, sigma: float, limit: Limit, weight: float) -> Reason:
    low = 0.0 if limit.low is None else limit.low
    high = 100.0 if limit.high is None else limit.high
    if low <= value <= high:
        return _inside(f"{symbol} {figure(value)} inside {_range(low, high)}", symbol, weight)
    excess = value - high if value > high else value - low
    edge, side = (high, "over") if excess > 0 else (low, "under")
    text = f"{symbol} {figure(value)} is {figure(abs(excess))} {side} {figure(edge)}"
    if abs(excess) <= (OFF_SPEC_TRACE if limit.low is None else OFF_SPEC_RANGED) * edge:
        text = f"a melt just off in {symbol}: {text}"
    return _outside(f"{text} ({abs(excess) / sigma:.1f} σ)", symbol, weight, excess, sigma)


def _rest(symbol: str, value: float, sigma: float, low: float, high: float, weight: float) -> Reason:
    excess = max(value - high, 0.0) + min(value - low, 0.0)
    if abs(excess) < max(2.0 * sigma, 0.5):
        return _inside(f"{symbol} {figure(value)} fits the rest, about {low:.0f}-{high:.0f}", symbol, weight)
    fits = "nearly fits" if weight > 0.0 else "does not fit"
    text = f"{symbol} {figure(value)} {fits} the rest, about {low:.0f}-{high:.0f}"
    return _outside(f"{text} ({abs(excess) / sigma:.1f} σ)", symbol, weight, excess, sigma)


def _residual(symbol: str, value: float, sigma: float, usual: float, weight: float) -> Reason:
    over = max(value - usual, 0.0)
    text = f"{symbol} {figure(value)} not named, usual as a residual"
    if over > 0.0:
        text = f"{symbol} {figure(value)} is not in it: {figure(over)} over what strays in"
        text = f"{text} ({over / sigma:.1f} σ)"
    return Reason(
        kind=ReasonKind.RESIDUAL,
        text=text,
        weight_nats=weight,
        element=symbol,
        excess_wt_pct=over,
        excess_sigma=over / sigma,
    )


def _missing(symbol: str, low: float, limit: float, weight: float) -> Reason | None:
    if limit != limit:  # not a number: not reported
        if low <= 0.0 or weight > -UNSAID_NATS:
            return None
        return _outside(f"{symbol} not reported, needs {figure(low)} or more", symbol, weight, 0.0, 1.0)
    if limit >= low:
        return _inside(f"{symbol} below {figure(limit)} fits", symbol, weight)
    text = f"{symbol} below {figure(limit)}, needs {figure(low)} or more"
    return _outside(text, symbol, weight, limit - low, 0.5 * limit)


def _inside(text: str, symbol: str, weight: float) -> Reason:
    # Inside its limits it may still speak against the grade, beside which it looks odd.
    if weight < -UNSAID_NATS:
        text = f"{text}; others read so oftener"
    return Reason(kind=ReasonKind.INSIDE, text=text, weight_nats=weight, element=symbol)


def _outside(text: str, symbol: str, weight: float, excess: float, sigma: float) -> Reason:
    return Reason(
        kind=ReasonKind.OUTSIDE,
        text=text,
        weight_nats=weight,
        element=symbol,
        excess_wt_pct=excess,
        excess_sigma=excess / sigma,
    )


def _range(low: float, high: float) -> str:
    if low <= 0.0:
        return f"up to {figure(high)}"
    return f"{figure(low)} or more" if high >= 100.0 else f"{figure(low)}-{figure(high)}"


def figure(wt_pct: float) -> str:
    """Return a mass fraction with as many decimals as it deserves.

    >>> figure(18.204), figure(0.5), figure(0.0301), figure(99.97)
    ('18.2', '0.5', '0.0301', '99.97')
    """
    if wt_pct >= NEARLY_ALL:
        return f"{wt_pct:.3f}".rstrip("0").rstrip(".")
    text = f"{wt_pct:.1f}" if wt_pct >= 10 else f"{wt_pct:.2f}" if wt_pct >= 0.1 else f"{wt_pct:.4f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
