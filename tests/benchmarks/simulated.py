"""Melts drawn from a grade's limits, and readings of a melt with a technique's noise."""

from collections.abc import Mapping

import numpy as np

from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.grade import Grade
from grade_library.matcher.melt import residual_scale
from grade_library.technique import Profile

MOST_SCALES = 5.0
"""A residual is never drawn above so many times its usual scale."""
TRIES = 60
"""How often a melt is drawn anew when its rest falls outside what the grade states for it."""


def melt_of(grade: Grade, elements: tuple[str, ...], rng: np.random.Generator) -> dict[str, float]:
    """Return the composition of one melt inside the grade's limits [wt %].

    A stated range is filled evenly, an element with only a maximum mostly in its lower half, an element not
    named is an exponential residual. The rest makes up 100. Deliberately not the model's own spread.
    """
    best: dict[str, float] = {}
    best_miss = np.inf
    for _ in range(TRIES):
        melt = _draw(grade, elements, rng)
        rest = _rest_of(grade)
        melt[rest] = max(100.0 - sum(x for symbol, x in melt.items() if symbol != rest), 0.0)
        miss = _miss(grade, melt, rest)
        if miss < best_miss:
            best, best_miss = melt, miss
        if miss <= 0.0:
            break
    total = sum(best.values())
    return {symbol: 100.0 * x / total for symbol, x in best.items()}


def _rest_of(grade: Grade) -> str:
    return next((symbol for symbol, limit in grade.limits.items() if limit.is_rest), grade.base)


def _draw(grade: Grade, elements: tuple[str, ...], rng: np.random.Generator) -> dict[str, float]:
    melt: dict[str, float] = {}
    for symbol, limit in grade.limits.items():
        if limit.low is not None and limit.high is not None:
            melt[symbol] = rng.uniform(limit.low, limit.high)
        elif limit.high is not None:
            melt[symbol] = limit.high * rng.beta(1.3, 2.0)
        elif limit.low is not None:
            melt[symbol] = rng.uniform(limit.low, min(1.5 * limit.low + 0.05, 100.0))
    in_sums = {symbol: limit.high for key, limit in grade.sums.items() for symbol in key.split("+")}
    for symbol in elements:
        if symbol in melt or symbol == grade.base:
            continue
        if in_sums.get(symbol) is not None:
            melt[symbol] = 0.5 * in_sums[symbol] * rng.beta(1.3, 2.0)
            continue
        scale = residual_scale(grade.group, symbol)
        most = grade.others_each if grade.others_each is not None else MOST_SCALES * scale
        melt[symbol] = min(rng.exponential(scale), most)
    return melt


def _miss(grade: Grade, melt: Mapping[str, float], rest: str) -> float:
    limit = grade.limits.get(rest)
    miss = 0.0
    if limit is not None:
        miss += max(
            (limit.low or 0.0) - melt[rest], melt[rest] - (100.0 if limit.high is None else limit.high), 0.0
        )
    for key, bound in grade.sums.items():
        total = sum(melt.get(symbol, 0.0) for symbol in key.split("+"))
        miss += max((bound.low or 0.0) - total, total - (100.0 if bound.high is None else bound.high), 0.0)
    return miss


def shot_of(melt: Mapping[str, float], profile: Profile, rng: np.random.Generator) -> PieceFacts:
    """Return one reading of a melt by a technique, with its noise, detection limits and scaling to 100 %."""
    seen = {symbol: x for symbol, x in melt.items() if symbol not in profile.unseen}
    scale = 100.0 / sum(seen.values()) if profile.normalises else 1.0
    values: dict[str, float] = {}
    below: dict[str, float] = {}
    for symbol, x in seen.items():
        read = x * scale + rng.normal(0.0, profile.sigma(symbol, x * scale))
        if read < profile.model(symbol).lod:
            below[symbol] = profile.model(symbol).lod
        else:
            values[symbol] = min(read, 100.0)
    total = sum(values.values())
    if profile.normalises or total > 100.9:
        to = 100.0 if profile.normalises else 100.9
        values = {symbol: min(x * to / total, 100.0) for symbol, x in values.items()}
    return PieceFacts(shots=(Shot(reading=Reading(values=values, below=below, technique=profile.key)),))
