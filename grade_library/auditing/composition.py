"""Audit of limits: sums that cannot be, a missing base, limits out of line, one metal under two names."""

import statistics
from collections import defaultdict
from collections.abc import Iterable, Iterator

from grade_library.auditing.findings import Check, Finding
from grade_library.auditing.nominal import nominal_composition
from grade_library.grade import Grade, Limit
from grade_library.loading.limit_checks import limit_problems
from grade_library.loading.notation import write_limit

LEAST_BASE_WT_PCT = 20.0
"""No alloy of the yard has less of what it is named for (memory: iron in superalloys comes nearest)."""
WIDEST_RANGE = 10.0
"""A main element whose maximum is more times its minimum than this has a slipped point in one of the two."""
MAIN_WT_PCT = 3.0
LEAST_SIBLINGS = 6
"""Fewer siblings say nothing about what is usual."""
OUT_OF_LINE = 8.0
"""How many times above the highest or below the lowest maximum of all siblings: a slipped point is ten."""


def composition_findings(grades: Iterable[Grade]) -> Iterator[Finding]:
    """Yield what is wrong with the limits of the grades."""
    every = list(grades)
    for grade in every:
        yield from _impossible(grade)
        yield from _baseless(grade)
        yield from _wide(grade)
    yield from _out_of_line(every)
    yield from _duplicates(every)


def _impossible(grade: Grade) -> Iterator[Finding]:
    for symbols, problem in limit_problems(grade.limits, grade.sums, grade.base, grade.others_total):
        check = Check.BASE if symbols == grade.base and symbols not in grade.limits else Check.SUM
        found = f"{symbols}: {problem}" if symbols else problem
        yield check.finding(grade.grade_id, found, "limits that a melt can meet")


def _baseless(grade: Grade) -> Iterator[Finding]:
    if grade.base not in grade.limits:
        return
    share = nominal_composition(grade).get(grade.base, 0.0)
    if share < LEAST_BASE_WT_PCT:
        found = f"the base {grade.base} comes to {share:.1f} wt % in the middle of the limits"
        yield Check.BASE.finding(grade.grade_id, found, f"at least {LEAST_BASE_WT_PCT:g} wt %")


def _wide(grade: Grade) -> Iterator[Finding]:
    for symbol, limit in grade.limits.items():
        if limit.low and limit.high and limit.high >= MAIN_WT_PCT and limit.high > WIDEST_RANGE * limit.low:
            most = f"a maximum of at most {WIDEST_RANGE:g} times the minimum"
            yield Check.SIBLING.finding(grade.grade_id, f"{symbol} {write_limit(limit)}", most)


def _out_of_line(grades: list[Grade]) -> Iterator[Finding]:
    """Yield maxima far from the maxima of all siblings; ranges and bare maxima are compared apart."""
    places: dict[tuple[str, str, bool], list[tuple[Grade, Limit]]] = defaultdict(list)
    for grade in grades:
        for symbol, limit in grade.limits.items():
            if limit.high is not None and limit.nominal is None and not limit.is_rest:
                places[grade.family, symbol, limit.low is None].append((grade, limit))
    for (_, symbol, _), siblings in places.items():
        highs = sorted(limit.high or 0.0 for _, limit in siblings)
        if len(highs) <= LEAST_SIBLINGS:
            continue
        for grade, limit in siblings:
            yield from _lone(grade, symbol, limit, highs)


def _lone(grade: Grade, symbol: str, limit: Limit, highs: list[float]) -> Iterator[Finding]:
    high = limit.high or 0.0
    next_lower = highs[-2] if high == highs[-1] else highs[-1]
    next_higher = highs[1] if high == highs[0] else highs[0]
    if high > OUT_OF_LINE * next_lower or high * OUT_OF_LINE < next_higher:
        yield Check.SIBLING.finding(
            grade.grade_id,
            f"{symbol} {write_limit(limit)}",
            f"near the maxima of the family, {next_higher:g} to {next_lower:g}, "
            f"half of them at or below {statistics.median(highs):g}",
        )


def _duplicates(grades: list[Grade]) -> Iterator[Finding]:
    limits: dict[tuple[object, ...], str] = {}
    numbers: dict[str, str] = {}
    for grade in grades:
        key = (grade.group, grade.is_cast, frozenset(grade.limits.items()), frozenset(grade.sums.items()))
        if key in limits:
            found = f"the same limits as {limits[key]}"
            yield Check.DUPLICATE.finding(grade.grade_id, found, "one entry with both names")
        limits.setdefault(key, grade.grade_id)
        for number in ([grade.uns] if grade.uns else []) + [en for en in grade.en if en[:1].isdigit()]:
            if number in numbers:
                found = f"{number} stands for {numbers[number]} too"
                yield Check.DUPLICATE.finding(grade.grade_id, found, "one grade for one number")
            numbers.setdefault(number, grade.grade_id)
