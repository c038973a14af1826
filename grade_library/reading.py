"""Readings of one piece made into one observation: repeated shots averaged, uncertainty, detection limits,
sums."""

import functools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from grade_library.facts import Reading, Shot
from grade_library.matcher.likelihood import Observed
from grade_library.technique import FALLBACK, Profile

SYSTEMATIC_SHARE = 0.5
"""Share of the variance that repeating a shot on the same piece does not average away: calibration and
matrix (memory)."""
WHOLE_PCT = 90.0
"""A reading that sums to less was typed in part: its values are taken to err on their own."""
GAP_SIGMA = 0.5
"""What a reading leaves of 100 is never known better than this [wt %]: traces that nobody looked for, and
rounding."""
UNREPORTED_NOISES = 2.0
"""Elements that stay unreported below their limits are part of the 100 % too: four of them, each uncertain by
the usual noise of the technique, by twice that together (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Averaged:
    """All shots of one technique on one piece as one reading."""

    profile: Profile
    values: Mapping[str, float]
    """Symbol -> mean [wt %]."""
    sigma: Mapping[str, float]
    """Symbol -> standard uncertainty of that mean [wt %]."""
    below: Mapping[str, float]
    """Symbol -> detection limit [wt %] of elements found in no shot."""
    n_shots: int
    total: float
    """Sum of the values as reported [wt %]."""
    unseen: tuple[str, ...] = ()
    """Reported, though the technique cannot see them: left out."""
    elsewhere: frozenset[str] = frozenset()
    """Judged in the reading of another technique, which knows them better."""


def metal_shots(shots: Sequence[Shot]) -> tuple[Shot, ...]:
    """Return the shots that tell of the metal: from the last ground one on, all where none was ground."""
    ground = [i for i, shot in enumerate(shots) if shot.is_ground]
    return tuple(shots[ground[-1] :] if ground else shots)


def average(shots: Sequence[Shot], profiles: Mapping[str, Profile]) -> tuple[Averaged, ...]:
    """Return one averaged reading per technique, in the order in which the techniques were first used.

    Args:
        shots: Shots on the piece, in order.
        profiles: Key -> profile; a technique without one is taken as an x-ray reading.
    """
    by_technique: dict[str, list[Reading]] = {}
    for shot in shots:
        by_technique.setdefault(shot.reading.technique, []).append(shot.reading)
    found = [
        _average_of(readings, profiles.get(key, profiles[FALLBACK])) for key, readings in by_technique.items()
    ]
    return tuple(found) if len(found) < 2 else tuple(_shared_out(found))


def _shared_out(found: Sequence[Averaged]) -> list[Averaged]:
    """Return the readings with every element in one of them only: one melt must not be judged twice.

    Two values of an element become their mean, weighted by inverse variance, in the reading that knows it
    better.
    """
    values = [dict(one.values) for one in found]
    sigma = [dict(one.sigma) for one in found]
    below = [dict(one.below) for one in found]
    for symbol in {symbol for one in found for symbol in (*one.values, *one.below)}:
        holders = [k for k, one in enumerate(found) if symbol in one.values]
        if holders:
            home = min(holders, key=lambda k: sigma[k][symbol])
            weights = {k: 1.0 / found[k].sigma[symbol] ** 2 for k in holders}
            total = sum(weights.values())
            values[home][symbol] = sum(weights[k] * found[k].values[symbol] for k in holders) / total
            sigma[home][symbol] = math.sqrt(1.0 / total)
        else:
            holders = [k for k, one in enumerate(found) if symbol in one.below]
            home = min(holders, key=lambda k: below[k][symbol])
        for k in range(len(found)):
            if k != home:
                values[k].pop(symbol, None)
                below[k].pop(symbol, None)
    homes = [frozenset(values[k]) | frozenset(below[k]) for k in range(len(found))]
    everywhere = frozenset().union(*homes)
    return [
        replace(one, values=values[k], sigma=sigma[k], below=below[k], elsewhere=everywhere - homes[k])
        for k, one in enumerate(found)
    ]


def _average_of(readings: Sequence[Reading], profile: Profile) -> Averaged:
    found = _collected(reading.values for reading in readings)
    limits = _collected(reading.below for reading in readings)
    unseen = tuple(sorted(symbol for symbol in found if symbol in profile.unseen))
    values: dict[str, float] = {}
    sigma: dict[str, float] = {}
    for symbol, seen in found.items():
        if symbol in profile.unseen:
            continue
        if len(readings) == 1 and not readings[0].sigma:
            values[symbol], sigma[symbol] = seen[0], profile.sigma(symbol, seen[0])
            continue
        # Found in one shot and not in another: half the limit stands for the one that missed.
        seen = [*seen, *(0.5 * limit for limit in limits.get(symbol, ()))]
        values[symbol] = math.fsum(seen) / len(seen)
        stated = [reading.sigma[symbol] for reading in readings if symbol in reading.sigma]
        sigma[symbol] = _sigma_of_mean(symbol, seen, stated, profile)
    if profile.normalises:
        sigma = _scaled_sigma(values, sigma, UNREPORTED_NOISES * profile.usual.a)
    for overlap in profile.overlaps:
        if overlap.element in values and overlap.under in values:
            extra = overlap.share * values[overlap.under]
            sigma[overlap.element] = math.hypot(sigma[overlap.element], extra)
    below = {
        symbol: max(max(seen), 1e-4)
        for symbol, seen in limits.items()
        if symbol not in values and symbol not in profile.unseen
    }
    return Averaged(
        profile=profile,
        values=values,
        sigma=sigma,
        below=below,
        n_shots=len(readings),
        total=math.fsum(values.values()),
        unseen=unseen,
    )


def _collected(shots: Iterable[Mapping[str, float]]) -> dict[str, list[float]]:
    """Return symbol -> its figures in all shots [wt %]."""
    found: dict[str, list[float]] = {}
    for shot in shots:
        for symbol, figure in shot.items():
            found.setdefault(symbol, []).append(figure)
    return found


def _sigma_of_mean(symbol: str, seen: Sequence[float], stated: Sequence[float], profile: Profile) -> float:
    """Return the uncertainty of the mean [wt %]: the model's, or what the shots' own spread says where it is
    larger."""
    mean = math.fsum(seen) / len(seen)
    # An instrument states its counting error, which is never the whole of it: not below a third of the model.
    single = profile.sigma(symbol, mean)
    if stated:
        single = max(math.sqrt(math.fsum(s * s for s in stated) / len(stated)), single / 3.0)
    n = len(seen)
    variance = single**2 * (SYSTEMATIC_SHARE + (1.0 - SYSTEMATIC_SHARE) / n)
    if n > 1:
        spread = math.fsum((x - mean) ** 2 for x in seen) / (n - 1)
        variance = max(variance, spread / n + SYSTEMATIC_SHARE * single**2)
    return math.sqrt(variance)


def _scaled_sigma(
    values: Mapping[str, float], sigma: Mapping[str, float], unreported: float
) -> dict[str, float]:
    """Return the uncertainties [wt %] after all values together were scaled to 100 %.

    An element that is nearly all of the metal is then known as well as the little that is not it: u'_i² = (1
    - f_i)² u_i² + f_i² Σ u_j², j ≠ i, f = share (law of propagation; JCGM 100, 5.1.2); what was not reported
    counts among the others.

    Values that miss 100 were not scaled to it, or some were left out. Of an alloy, traces are often left out;
    a metal that is nearly one element has little to leave out: it may be short by its share of the gap,
    anywhere from none to all of it. That never makes it worse known than the technique alone knows it.
    """
    total = sum(values.values())
    if total < WHOLE_PCT:
        return dict(sigma)
    squares = unreported**2 + sum(one * one for one in sigma.values())
    # Mean square of what is spread evenly from 0 to the gap (JCGM 100, 4.3.7).
    short = max(100.0 - total - GAP_SIGMA, 0.0) ** 2 / 3.0
    scaled = {}
    for symbol, one in sigma.items():
        share = min(values[symbol] / total, 1.0)
        closed = (1.0 - share) ** 2 * one**2 + share**2 * (squares - one**2)
        if 100.0 * share >= WHOLE_PCT:
            closed = max(closed, min(closed + share**2 * short, one**2))
        scaled[symbol] = math.sqrt(closed)
    return scaled


def observed(averaged: Averaged, elements: Sequence[str]) -> Observed:
    """Return the reading laid out over these elements; others are left out."""
    value = np.full(len(elements), np.nan)
    sigma = np.ones(len(elements))
    below = np.full(len(elements), np.nan)
    is_elsewhere = np.zeros(len(elements), dtype=bool)
    place = _places(tuple(elements))
    for symbol, limit in averaged.below.items():
        if (j := place.get(symbol)) is not None:
            below[j] = limit
    for symbol, x in averaged.values.items():
        if (j := place.get(symbol)) is not None:
            value[j], sigma[j], below[j] = x, averaged.sigma[symbol], np.nan
    for symbol in averaged.elsewhere:
        if (j := place.get(symbol)) is not None:
            is_elsewhere[j] = True
    return Observed(
        value=value,
        sigma=sigma,
        below=below,
        gap=max(100.0 - averaged.total, 0.0),
        gap_sigma=GAP_SIGMA + (0.0 if averaged.profile.normalises else math.hypot(*averaged.sigma.values())),
        is_elsewhere=is_elsewhere,
    )


@functools.lru_cache(maxsize=16)
def _places(elements: tuple[str, ...]) -> Mapping[str, int]:
    return {symbol: j for j, symbol in enumerate(elements)}
