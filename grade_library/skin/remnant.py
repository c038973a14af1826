"""What a skin of no list leaves in a reading: patches as the shots before read them, and unknown films.

No coat is looked up here. A reading may be a mixture of the core and of what an earlier shot read; or metal under a
little of anything, which can only add: elements that fell along the series belong to the layer, those that rose to
the core, and the reading bounds the core from both sides. Each assumption turns the reading into a reading of the
core, with the uncertainty that it brings, and that is judged as any reading is, unlisted members of families
included.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from grade_library.facts import Reading
from grade_library.matcher.evidence import Compiled, Readable
from grade_library.matcher.likelihood import Observed, term_log_density
from grade_library.matcher.melt import Melts
from grade_library.matcher.unlisted import broad_log_density, element_log_density
from grade_library.normal import FloatArray, log_sum_exp, normal_cdf
from grade_library.reading import observed
from grade_library.skin.series import Stage
from grade_library.skin.sight import Physics

FILM_SHARES = (0.01, 0.03, 0.08, 0.2)
"""Shares of the reading that an unknown film is tried at."""
FILM_ODDS = (0.40, 0.30, 0.20, 0.10)
"""How often each is met where there is such a film at all (memory: most dirt is thin)."""
PATCH_PARTS = (0.3, 0.6, 0.85, 1.0)
"""Shares of a patch are tried at these parts of the greatest share that the reading leaves room for."""
LEAST_PATCH = 0.004
"""A patch that the reading leaves no more room for than this is none."""
REMNANT_REL = 0.25
"""Standard deviation of what is left of a coat against what an earlier shot read of it, relative (memory)."""
SIGNIFICANT_WT_PCT = 3.0
"""An element of a coat that is read at this much bounds the share of a patch [wt %]."""
DIRT = frozenset({"Si", "Al", "Ca", "Fe", "Ti", "S", "P", "C", "Cl", "K", "Na", "Mg", "Ba", "O", "Zn", "Mn"})
"""What dust, rust, scale, oil and paint leave in a reading (common practice)."""
PLATING = frozenset({"Cr", "Ni", "Zn", "Sn", "Cd", "Ag", "Au", "Cu", "Pb"})
"""What platings are made of (common practice)."""
ADDED_BY_DIRT, ADDED_BY_PLATING, ADDED_BY_OTHER = 0.20, 0.15, 0.05
"""Chance that a film adds to an element: of dirt, of platings, any other (memory)."""
ADDED_WHERE_IT_FELL, ADDED_WHERE_IT_ROSE = 0.70, 0.02
"""The same in a series, for an element that fell, or rose, along it (memory)."""
FALLEN_REL, FALLEN_WT_PCT = 0.3, 0.15
"""An element fell where it lost this part of itself and this much [wt %] since an earlier shot."""
PARTS_OF_A_FILM = 2.0
"""A film of a given share adds to an element by its share over this, in the mean: films hold few elements."""
NOTHING_LEFT = 0.30
"""Chance that the last shot of a series of which the shots differ shows the bare core (memory)."""
STILL_A_SKIN = 0.02
"""From this share of a reading on, a remnant counts as skin."""
LIGHT_KEV = {"Mg": 1.25, "Al": 1.49, "Si": 1.74, "P": 2.01, "S": 2.31, "Cl": 2.62}
"""K alpha lines that a thin film swallows [keV] (xraylib, LineEnergy)."""
LIGHT_METAL_WT_PCT = 40.0
"""From this sum of light elements on, what a film swallows of them moves all others [wt %]."""
WEAKENINGS = (0.25, 0.7)
"""Optical depths of a film for the line of aluminium; that of another line goes with its energy to the power -2.8
(photoelectric absorption between edges falls about so; see tests/outside_checks/test_attenuation_published.py)."""
WEAKENING_ODDS = 0.25
"""How often a film beneath which light metal lies is thick enough for each of these (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CoreReading:
    """The last reading as one of the core, under one assumption of what else is in it."""

    observed: Observed
    share: float
    """Of the reading that is not the core, 0..1."""
    log_prior: float
    """How often the assumption is met among skins of no list [nats]."""
    added: FloatArray
    """Chance that each element was added to, 0..1, shape (n_elements,)."""
    scale: float
    """Mean of what was added [wt %]."""
    weakening: float = 0.0
    """Optical depth of a film for the line of aluminium."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Remnant:
    """A skin of no list over everything that the core can be; logarithms of likelihoods [nats]."""

    listed: FloatArray
    """Of each grade, shape (n_grades,)."""
    members: FloatArray
    """Of an unlisted member of each kind, shape (n_kinds,)."""
    no_kind: float
    skinned: float
    """Chance that the last stage still reads some of the skin, by the likeliest core."""
    share: float
    """Mean share of the skin in it."""
    core: CoreReading
    """The assumption that explains most."""


def remnant(stages: Sequence[Stage], readable: Readable, compiled: Compiled, physics: Physics,
            hand: FloatArray) -> Remnant:  # fmt: skip
    """Return how well a skin of no list explains the last stage of a series.

    Args:
        stages: The series; what came before the last stage tells what may be left of it.
        readable: The library as the last stage's technique sees it.
        compiled: What was worked out for the library.
        physics: How that technique looks at a surface.
        hand: Prior and what else is known of every grade [nats], to tell which assumption explains most.
    """
    cores = list(_assumptions(stages, readable.melts, physics))
    listed, members, no_kinds = [], [], []
    for core in cores:
        terms = _terms(readable.melts, core)
        listed.append(readable.melts.sums(terms) + core.log_prior)
        by_kind = element_log_density(readable.unlisted, terms, core.observed).sum(axis=1)
        members.append(by_kind + core.log_prior)
        no_kinds.append(float(broad_log_density(core.observed).sum()) + core.log_prior)
    by_grade = np.array(listed)
    explained = np.array([log_sum_exp(one + hand) for one in by_grade])
    explained = np.logaddexp(explained, np.array([log_sum_exp(one) for one in members]) - np.log(len(hand)))
    weight = np.exp(explained - log_sum_exp(explained))
    shares = np.array([core.share for core in cores])
    stray = _stray_log_density(stages[-1], readable.melts)
    return Remnant(
        listed=np.logaddexp.reduce(by_grade, axis=0) + stray,
        members=np.logaddexp.reduce(np.array(members), axis=0) + stray,
        no_kind=log_sum_exp(np.array(no_kinds)) + stray,
        skinned=float(weight[shares >= STILL_A_SKIN].sum()),
        share=float((weight * shares).sum()),
        core=cores[int(np.argmax(explained))],
    )


def _assumptions(stages: Sequence[Stage], melts: Melts, physics: Physics) -> Iterator[CoreReading]:
    last = observed(stages[-1].averaged, melts.elements)
    earlier = [observed(stage.averaged, melts.elements) for stage in stages[:-1]]
    added = _added(last, earlier, melts.elements)
    stray = _stray_wt_pct(stages[-1], melts)
    films = list(_films(last, added, _stray_wt_pct(stages[-1], melts), physics, melts.elements))
    patches = [patch for one in earlier for patch in _patches(last, one, added)]
    if not earlier:
        yield from films
        return
    nothing = np.zeros_like(added)
    yield CoreReading(observed=last, share=0.0, log_prior=np.log(NOTHING_LEFT), added=nothing, scale=1.0)
    among = np.log((1.0 - NOTHING_LEFT) / (2.0 if patches else 1.0))
    for core in films:
        yield replace(core, log_prior=core.log_prior + among)
    for core in patches:
        yield replace(core, log_prior=core.log_prior + among - np.log(len(patches)))


def _added(last: Observed, earlier: Sequence[Observed], elements: Sequence[str]) -> FloatArray:
    """Return the chance that a film added to each element."""
    usual = np.array(
        [
            ADDED_BY_DIRT if s in DIRT else ADDED_BY_PLATING if s in PLATING else ADDED_BY_OTHER
            for s in elements
        ]
    )
    if not earlier:
        return usual
    now = np.nan_to_num(last.value)
    most = np.max([np.nan_to_num(one.value) for one in earlier], axis=0)
    fell = most - now > np.maximum(FALLEN_WT_PCT, FALLEN_REL * most)
    rose = now - most > np.maximum(FALLEN_WT_PCT, FALLEN_REL * now)
    return np.where(fell, ADDED_WHERE_IT_FELL, np.where(rose, ADDED_WHERE_IT_ROSE, 0.5 * usual))


def _films(
    last: Observed, added: FloatArray, stray: float, physics: Physics, elements: Sequence[str]
) -> Iterator[CoreReading]:
    light = np.array([symbol in LIGHT_KEV for symbol in elements])
    is_light = physics is Physics.X_RAY and np.nansum(last.value[light]) >= LIGHT_METAL_WT_PCT
    for share, odds in zip(FILM_SHARES, FILM_ODDS, strict=True):
        whole = min(share + stray / 100.0, 0.6)
        core = _without(last, whole)
        yield CoreReading(
            observed=core, share=whole, log_prior=np.log(odds), added=added,
            scale=100.0 * share / PARTS_OF_A_FILM,
        )  # fmt: skip
        if is_light and share < 0.1:
            for depth in WEAKENINGS:
                yield CoreReading(
                    observed=_strengthened(core, depth, elements), share=whole,
                    log_prior=np.log(odds * WEAKENING_ODDS), added=added,
                    scale=100.0 * share / PARTS_OF_A_FILM, weakening=depth,
                )  # fmt: skip


def _without(last: Observed, share: float) -> Observed:
    """Return the reading with everything scaled up by what the film takes."""
    left = 1.0 - share
    return Observed(
        value=np.minimum(last.value / left, 100.0), sigma=last.sigma / left, below=last.below / left,
        gap=max(0.0, last.gap - 100.0 * share), is_elsewhere=last.is_elsewhere, gap_sigma=last.gap_sigma,
    )  # fmt: skip


def _strengthened(core: Observed, depth: float, elements: Sequence[str]) -> Observed:
    """Return the reading with what a film swallowed of the light lines put back, scaled to what it was."""
    power = np.array([(LIGHT_KEV["Al"] / LIGHT_KEV[s]) ** 2.8 if s in LIGHT_KEV else 0.0 for s in elements])
    factor = np.exp(depth * power)
    value = core.value * factor
    scale = float(np.nansum(core.value) / np.nansum(value))
    return Observed(
        value=value * scale, sigma=core.sigma * factor * scale, below=core.below * factor * scale,
        gap=core.gap, is_elsewhere=core.is_elsewhere, gap_sigma=core.gap_sigma,
    )  # fmt: skip


def _patches(last: Observed, coat: Observed, added: FloatArray) -> Iterator[CoreReading]:
    """Yield the core beside patches of what an earlier shot read."""
    both = ~np.isnan(last.value) & ~np.isnan(coat.value)
    if not both.any():
        return
    value, of_coat = last.value, np.nan_to_num(coat.value)
    # No share can take more out than there is: of what the coat has plenty of, the least ratio bounds it.
    plenty = (of_coat >= SIGNIFICANT_WT_PCT) & ~last.is_elsewhere
    there = (
        np.nan_to_num(value) + 2.0 * np.where(np.isnan(value), 0.0, last.sigma) + np.nan_to_num(last.below)
    )
    most = float(np.min(there[plenty] / of_coat[plenty], initial=0.75))
    if most < LEAST_PATCH:
        return
    for part in PATCH_PARTS:
        share = min(most * part, 0.75)
        left = 1.0 - share
        core = (value - share * of_coat) / left
        taken = REMNANT_REL * share * of_coat
        sigma = np.sqrt(last.sigma**2 + (share * coat.sigma) ** 2 + taken**2) / left
        yield CoreReading(
            observed=Observed(
                value=np.clip(core, 1e-4, 100.0), sigma=sigma, below=last.below / left, gap=last.gap,
                is_elsewhere=last.is_elsewhere, gap_sigma=last.gap_sigma,
            ),
            share=share, log_prior=-0.5 * float(np.nansum(np.minimum(core / sigma, 0.0) ** 2)),
            added=0.3 * added, scale=max(100.0 * share / PARTS_OF_A_FILM, 0.2),
        )  # fmt: skip


def core_reading(core: CoreReading, elements: Sequence[str], technique: str) -> Reading:
    """Return the core as a reading [wt %], at most 100 in all."""
    found = np.flatnonzero(np.nan_to_num(core.observed.value) > 1e-3).tolist()
    scale = 100.0 / max(float(core.observed.value[found].sum()), 100.0)
    return Reading(
        values={elements[j]: float(core.observed.value[j]) * scale for j in found},
        sigma={elements[j]: min(float(core.observed.sigma[j]), 50.0) for j in found},
        technique=technique,
    )


def _terms(melts: Melts, core: CoreReading) -> FloatArray:
    """Return what the core's reading adds for each term [nats]: as read, or with something added to it."""
    terms = term_log_density(melts, core.observed)
    column = melts.element_of
    at = np.flatnonzero((core.added > 0.0)[column] & ~np.isnan(core.observed.value)[column] & ~melts.is_rest)
    if not at.size:
        return terms
    where = column[at]
    chance = core.added[where]
    density = _added_density(
        core.observed.value[where], core.observed.sigma[where], melts.low[at], melts.high[at], core.scale
    )
    terms[at] = np.logaddexp(np.log1p(-chance) + terms[at], np.log(chance) + np.log(density))
    return terms


def _added_density(
    value: FloatArray, sigma: FloatArray, low: FloatArray, high: FloatArray, scale: float
) -> FloatArray:
    """Return the density of a uniform spread with an exponential addition [1/wt %].

    Source: convolution of a uniform density on [low, high] with an exponential one of mean `scale`:
    (F(v - low) - F(v - high))/(high - low), F(x) = 1 - exp(-x/scale) for x > 0, else 0; the noise only softens
    its lower edge.
    """
    width = np.maximum(high - low, 1e-6)
    above_low = -np.expm1(-np.maximum(value - low, 0.0) / scale)
    above_high = -np.expm1(-np.maximum(value - high, 0.0) / scale)
    edge = normal_cdf((value - low) / sigma)
    return np.asarray(np.maximum((above_low - above_high) / width * edge, 1e-30))


def _stray_wt_pct(stage: Stage, melts: Melts) -> float:
    """Return what was read of elements that no grade names [wt %]."""
    return float(sum(x for symbol, x in stage.averaged.values.items() if symbol not in melts.elements))


def _stray_log_density(stage: Stage, melts: Melts) -> float:
    """Return the density of what was read of elements that no grade names [nats]: exponential about 1 %."""
    stray = [x for symbol, x in stage.averaged.values.items() if symbol not in melts.elements]
    return float(sum(np.log(0.3) - x for x in stray))
