"""What a reading would gain: melts drawn from the candidates' limits, shot in thought, and judged."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from console.yard.metals import metals_of
from console.yard.placing.worth_table import Decisions, Situation
from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import compiled_for, gather
from grade_library.matcher.hypotheses import weigh
from grade_library.matcher.melt import Spreads, spreads_of
from grade_library.matcher.prior import Prior
from grade_library.normal import FloatArray
from grade_library.technique import FALLBACK, Profile, profiles

DRAWS = 24
"""Readings drawn for one piece; more would be surer and slower (24 take about 50 ms on an idle core)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drawn:
    """What readings drawn in thought would come to."""

    rows: NDArray[np.int64]
    """Row of the library of the grade of each draw, shape (n_draws,)."""
    loss: FloatArray
    """What each reading would leave wrong, against metal that lies where it belongs [currency]."""
    decisions: Decisions
    """Where the piece would go after each draw."""


def draw_readings(
    facts: PieceFacts,
    library: GradeLibrary,
    everywhere: Situation,
    rows: NDArray[np.int64],
    shares: FloatArray,
    *,
    technique: str,
    seed: int,
    is_ground: bool,
    prior: Prior | None = None,
    techniques: Mapping[str, Profile] | None = None,
) -> Drawn:
    """Return what single readings of the piece would come to, by draws.

    Each draw takes a grade by its probability and a melt inside its limits (near what was read already),
    adds the noise of the technique, and asks the matcher what the piece is with that reading.

    Args:
        facts, library: What is known of the piece, and the grades.
        everywhere: The bays as they stand for the piece, over all of `metals_of`.
        rows: Grades at hand, as rows of the library.
        shares: Their probabilities; the rest is unlisted, and loses nothing.
        technique: Of the yard's analyser.
        seed: Of the draws.
        is_ground: The spot is ground before.
        prior, techniques: As `identify` takes them.
    """
    rng = np.random.default_rng(seed)
    profile = profile_of(technique, techniques)
    # Evenly spaced picks along the summed probabilities: each grade is drawn as often as it is likely.
    picks = (np.arange(DRAWS) + rng.uniform()) / DRAWS * float(shares.sum())
    drawn = rows[np.minimum(np.searchsorted(np.cumsum(shares), picks), len(rows) - 1)]
    after = np.zeros((DRAWS, len(metals_of(library))))
    for at, row in enumerate(drawn):
        shot = _shot(library, int(row), facts, profile, rng, is_ground)
        after[at] = posterior(replace(facts, shots=(*facts.shots, shot)), library, prior, techniques)
    no_kind = np.maximum(1.0 - after.sum(axis=1), 0.0)
    decisions = everywhere.decide(after, no_kind)
    loss = everywhere.perfect(after, no_kind) - decisions.worth
    return Drawn(rows=drawn, loss=loss, decisions=decisions)


def profile_of(technique: str, techniques: Mapping[str, Profile] | None) -> Profile:
    """Return the profile of a technique, the fallback for one that nobody described."""
    known = profiles() if techniques is None else techniques
    return known.get(technique, profiles()[FALLBACK])


def posterior(
    facts: PieceFacts,
    library: GradeLibrary,
    prior: Prior | None = None,
    techniques: Mapping[str, Profile] | None = None,
) -> FloatArray:
    """Return the matcher's probability of all of `metals_of`, without candidates and reasons."""
    compiled = compiled_for(library)
    shares = compiled.shares(library, prior if prior is not None else Prior.usual(library))
    known = profiles() if techniques is None else techniques
    weighed = weigh(gather(facts, library, compiled, known), shares, compiled)
    return np.concatenate([weighed.probability, weighed.members])


@functools.lru_cache(maxsize=4)
def spreads_for(library: GradeLibrary) -> Spreads:
    """Return what melts of each grade look like, worked out once for each library."""
    return spreads_of(library)


def _shot(
    library: GradeLibrary,
    row: int,
    facts: PieceFacts,
    profile: Profile,
    rng: np.random.Generator,
    is_ground: bool,
) -> Shot:
    melt = _melt(library, row, facts, profile, rng)
    seen = np.array([symbol not in profile.unseen for symbol in library.elements])
    scale = 100.0 / float(melt[seen].sum()) if profile.normalises else 1.0
    values: dict[str, float] = {}
    below: dict[str, float] = {}
    for symbol, true in zip(library.elements, melt * scale, strict=True):
        if symbol in profile.unseen:
            continue
        model = profile.model(symbol)
        read = float(true + rng.normal() * model.sigma(float(true)))
        if read < model.lod:
            below[symbol] = model.lod
        else:
            values[symbol] = read
    total = sum(values.values())
    if profile.normalises or total > 100.0:
        values = {symbol: min(value * 100.0 / total, 100.0) for symbol, value in values.items()}
    return Shot(reading=Reading(values=values, below=below, technique=profile.key), is_ground=is_ground)


def _melt(
    library: GradeLibrary, row: int, facts: PieceFacts, profile: Profile, rng: np.random.Generator
) -> FloatArray:
    """Return one melt of a grade [wt %], shape (n_elements,), summing to 100."""
    spreads = spreads_for(library)
    low, mid, high = spreads.low[row], spreads.mid[row], spreads.high[row]
    is_rest = spreads.is_rest[row]
    even = rng.uniform(size=low.size)
    is_low = rng.uniform(size=low.size) < spreads.low_share[row]
    melt = np.where(is_low, low + even * (mid - low), mid + even * (high - mid))
    if facts.shots:
        # A second reading is of the same melt as the first: what was read is where it lies.
        last = facts.shots[-1].reading.values
        noise = rng.normal(size=low.size)
        for column, symbol in enumerate(library.elements):
            if symbol in last:
                near = last[symbol] + noise[column] * profile.sigma(symbol, last[symbol])
                melt[column] = min(max(near, low[column]), high[column])
    rest = 100.0 - float(melt[~is_rest].sum())
    if is_rest.any() and rest > 0.0:
        melt[is_rest] *= rest / float(melt[is_rest].sum())
    return np.asarray(melt * (100.0 / melt.sum()), dtype=np.float64)
