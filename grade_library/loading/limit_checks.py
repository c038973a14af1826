"""Whether the limits of one grade can hold together."""

from collections.abc import Iterator, Mapping

from grade_library.grade import Limit

SUM_SLACK_WT_PCT = 0.05
"""Specifications round each limit by itself, so that minima may pass 100 by a little (memory)."""
LEAST_REACHABLE_WT_PCT = 99.0
"""Maxima that sum to less leave metal unaccounted for: copper standards allow up to 1 % unnamed
(memory: "named elements 99.0 min" is the loosest of them)."""


def limit_problems(
    limits: Mapping[str, Limit], sums: Mapping[str, Limit], base: str, others_total: float | None
) -> Iterator[tuple[str | None, str]]:
    """Yield (symbol or None, what is wrong) for limits that no metal can meet.

    Args:
        limits: Symbol -> limit.
        sums: Sum of symbols -> limit.
        base: Symbol of the main element.
        others_total: Most of all elements not named [wt %], None where none is stated.
    """
    rests = [symbol for symbol, limit in limits.items() if limit.is_rest]
    if len(rests) > 1:
        yield None, f'"rest" stands at {", ".join(rests)}; only one element can be the rest'
    if limits and base and base not in limits:
        yield base, f'the base has no limit; state it, usually {base} = "rest"'
    least = sum(limit.low or 0.0 for limit in limits.values())
    if least > 100.0 + SUM_SLACK_WT_PCT:
        yield None, f"the minima sum to {least:.2f} wt %, which is over 100; one of them is too high"
    most = sum(100.0 if limit.high is None else limit.high for limit in limits.values())
    most += others_total or 0.0
    if limits and most < LEAST_REACHABLE_WT_PCT:
        hint = f'write {base} = "rest"' if base else 'one element needs "rest"'
        yield None, f"the maxima sum to only {most:.2f} wt %; {hint} or raise one"
    for symbols, limit in sums.items():
        parts = [limits[part] for part in symbols.split("+") if part in limits]
        low = sum(part.low or 0.0 for part in parts)
        if limit.high is not None and low > limit.high + SUM_SLACK_WT_PCT:
            yield (
                symbols,
                f"the minima of the parts sum to {low:g} wt %, above the sum's maximum {limit.high:g}",
            )
