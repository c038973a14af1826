"""What a skin of no list leaves in a reading: patches as the shots before read them, and unknown films.

No coat is looked up here. A reading may be a mixture of the core and of what an earlier shot read; or metal
under a little of anything, which can only add: elements that fell along the series belong to the layer,
those that rose to the core, and the reading bounds the core from both sides. Each assumption turns the
reading into a reading of the core, with the uncertainty that it brings, and that is judged as any reading
is, unlisted members of families included.
"""

import functools
import math
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from grade_library.matcher.evidence import Compiled, ReadingEvidence
from grade_library.matcher.hypotheses import NEVER
from grade_library.matcher.kinds import Kinds
from grade_library.matcher.likelihood import FAR_SIGMAS, Observed, of_values
from grade_library.matcher.melt import Melts
from grade_library.matcher.unlisted import broad_log_density, mixed_log_density, named_after_log_chance
from grade_library.normal import FloatArray, log_sum_exp, log_sum_exp_over, normal_cdf
from grade_library.reading import observed
from grade_library.skin.attenuation import Physics
from grade_library.skin.coatings import PLATING
from grade_library.skin.series import Stage

FILM_SHARES = (0.01, 0.03, 0.08, 0.2)
"""Shares of the reading that an unknown film is tried at."""
FILM_ODDS = (0.40, 0.30, 0.20, 0.10)
"""How often each is met where there is such a film at all (memory: most dirt is thin)."""
FILMS_TOLD_FIRST = (0.03, 0.2)
"""Those under which every kind of metal is looked at."""
MOST_FILM, THICK_FILM = 0.6, 0.05
"""No film is tried above the one; beneath one of the other and more, light metal is not told apart."""
MOST_KINDS, OUT_OF_QUESTION, UNLISTED_BEHIND = 14, 25.0, 4.0
"""So many kinds are looked at closely, none this far behind the first [nats]; unlisted members count for
less."""
PATCH_PARTS = (0.3, 0.6, 0.85, 1.0)
"""Shares of a patch are tried at these parts of the greatest share that the reading leaves room for."""
LEAST_PATCH = 0.004
"""A patch that the reading leaves no more room for than this is none."""
ADDED_BESIDE_PATCHES, LEAST_SCALE_WT_PCT = 0.3, 0.2
"""Beside patches a film adds this much more seldom, and by this much in the mean at least [wt %] (memory)."""
REMNANT_REL = 0.25
"""Standard deviation of what is left of a coat, against what an earlier shot read of it (memory)."""
SIGNIFICANT_WT_PCT = 3.0
"""An element of a coat that is read at this much bounds the share of a patch [wt %]."""
DIRT = frozenset({"Si", "Al", "Ca", "Fe", "Ti", "S", "P", "C", "Cl", "K", "Na", "Mg", "Ba", "O", "Zn", "Mn"})
"""What dust, rust, scale, oil and paint leave in a reading (common practice)."""
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
CORE_HOLDS_TOO = 0.03
"""Share of coated pieces of which the core itself holds plenty of an element that fell along the series:
nickel plate on nickel alloys, chromium on stainless (memory) ..."""
MADE_OF_WT_PCT, STILL_THERE_WT_PCT, EXPLAINED_REL = 5.0, 1.0, 0.3
"""... the coat of at least so much of it, the last reading of so much still [wt %], and what is left of the
coat explaining less than this part of that."""
STILL_A_SKIN = 0.02
"""From this share of a reading on, a remnant counts as skin."""
LIGHT_KEV = {"Mg": 1.25, "Al": 1.49, "Si": 1.74, "P": 2.01, "S": 2.31, "Cl": 2.62}
"""K alpha lines that a thin film swallows [keV] (xraylib, LineEnergy)."""
LIGHT_METAL_WT_PCT = 40.0
"""From this sum of light elements on, what a film swallows of them moves all others [wt %]."""
WEAKENINGS = (0.25, 0.7)
"""Optical depths of a film for the line of aluminium; that of another line goes with its energy to the power
-2.8 (photoelectric absorption between edges falls about so; see
tests/outside_checks/test_attenuation_published.py)."""
WEAKENING_ODDS = 0.25
"""How often a film beneath which light metal lies is thick enough for each of these (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cores:
    """The last reading as one of the core, under several assumptions of what else is in it."""

    value: FloatArray
    """Of the core [wt %], NaN where none was read, shape (n, n_elements)."""
    sigma: FloatArray
    """Its standard uncertainty [wt %], same shape."""
    share: FloatArray
    """Of the reading that is not the core, 0..1, shape (n,)."""
    log_prior: FloatArray
    """How often the assumption is met among skins of no list [nats], shape (n,)."""
    added: FloatArray
    """Chance that each element was added to, 0..1, shape (n, n_elements)."""
    scale: FloatArray
    """Mean of what was added [wt %], shape (n,)."""
    is_telling: NDArray[np.bool_]
    """One of the few under which every kind of metal is looked at, shape (n,)."""

    def part(self, which: NDArray[np.generic]) -> "Cores":
        """Return the same under some of the assumptions."""
        return Cores(**{one.name: getattr(self, one.name)[which] for one in fields(self)})

    def less_often(self, log_odds: float) -> "Cores":
        """Return the same, met less often [nats]."""
        return replace(self, log_prior=self.log_prior + log_odds)


def _together(parts: Sequence[Cores]) -> Cores:
    """Return the assumptions end to end."""
    return Cores(**{one.name: np.concatenate([getattr(p, one.name) for p in parts]) for one in fields(Cores)})


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
    core: Cores
    """The assumption that explains most, alone."""


def remnant(
    stages: Sequence[Stage], reading: ReadingEvidence, compiled: Compiled, physics: Physics, base: FloatArray
) -> Remnant:
    """Return how well a skin of no list explains the last stage of a series.

    Args:
        stages: The series; what came before the last stage tells what may be left of it.
        reading: What the last stage alone says of bare metal.
        compiled: What was worked out for the library.
        physics: How that technique looks at a surface.
        base: Prior and what else is known of every grade [nats], shape (n_grades,).

    Every kind of metal is looked at under a few assumptions first; those that come into question under all.
    """
    cores = _assumptions(stages, reading.readable.melts, physics)
    everything = np.arange(len(compiled.kinds.kinds))
    looked = _judged(cores.part(cores.is_telling), compiled.standing, everything, reading, compiled)
    kinds = _in_question(looked, compiled.kinds, base)
    is_asked = np.bincount(kinds, minlength=len(everything)) > 0
    rows = compiled.by_kind[is_asked[compiled.kinds.kind_of[compiled.by_kind]]]
    judged = _judged(cores, rows, kinds, reading, compiled)
    log_prior = cores.log_prior
    explained = log_sum_exp_over(judged.listed + base[judged.rows], 1)
    explained = np.logaddexp(explained, judged.members.max(axis=1) - math.log(len(base))) + log_prior
    weight = np.exp(explained - log_sum_exp(explained))
    stray = _stray_log_density(stages[-1], reading.readable.melts)
    listed, members = np.full(len(base), NEVER), np.full(len(everything), NEVER)
    listed[judged.rows] = log_sum_exp_over(judged.listed + log_prior[:, None], 0) + stray
    members[kinds] = log_sum_exp_over(judged.members + log_prior[:, None], 0) + stray
    no_kinds = broad_log_density(cores.value).sum(axis=1)
    return Remnant(
        listed=listed,
        members=members,
        no_kind=log_sum_exp(no_kinds + log_prior) + stray,
        skinned=float(weight[cores.share >= STILL_A_SKIN].sum()),
        share=float((weight * cores.share).sum()),
        core=cores.part(np.array([np.argmax(explained)])),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Judged:
    """Likelihoods under each assumption for the grades of some kinds [nats]."""

    rows: NDArray[np.int64]
    """Grades, shape (n_rows,)."""
    listed: FloatArray
    """Shape (n_assumptions, n_rows)."""
    members: FloatArray
    """Of an unlisted member of each kind, shape (n_assumptions, n_kinds)."""


def _in_question(looked: _Judged, kinds: Kinds, base: FloatArray) -> NDArray[np.int64]:
    """Return the kinds worth a closer look, in order; all kinds were looked at, one after the other."""
    first = np.flatnonzero(np.diff(kinds.kind_of[looked.rows], prepend=-1))
    best = np.maximum.reduceat((looked.listed + base[looked.rows]).max(axis=0), first)
    best = np.maximum(best, looked.members.max(axis=0) - math.log(len(base)) - UNLISTED_BEHIND)
    leading = np.argsort(-best, kind="stable")[:MOST_KINDS]
    return np.sort(leading[best[leading] > best.max() - OUT_OF_QUESTION])


def _judged(
    cores: Cores,
    rows: NDArray[np.int64],
    kinds: NDArray[np.int64],
    reading: ReadingEvidence,
    compiled: Compiled,
) -> _Judged:
    """Return what the assumptions say of some grades, in order of their kinds, and of those kinds' unlisted
    members.

    What was reported as a value is judged anew; what was not found or not reported stays as it was.
    """
    melts, model = reading.readable.melts, reading.readable.unlisted
    has_value = ~np.isnan(reading.observed.value)
    columns, others = np.flatnonzero(has_value), np.flatnonzero(~has_value)
    at, where = melts.terms_of(rows, columns)
    terms = _terms(melts, at, cores)
    # Rows come last, since they are many: (n_assumptions, n_columns, n_rows), and kinds in their place.
    as_read = reading.terms.take(at).take(where).sum(axis=0)
    listed = terms.take(where, axis=1).sum(axis=1) + (reading.of_grades[rows] - as_read)
    first = np.flatnonzero(np.diff(compiled.kinds.kind_of[rows], prepend=-1))
    sizes = np.diff(np.append(first, len(rows)))
    of_kind = np.add.reduceat(np.exp(terms, out=terms).take(where, axis=1), first, axis=2) / sizes
    of_group = (of_kind @ model.in_group[:, kinds].T)[..., compiled.kinds.group_of_kind[kinds]]
    broad = broad_log_density(cores.value[:, columns])[..., None]
    mixed = mixed_log_density(of_kind, of_group, broad, model.rest_weight.T[columns[:, None], kinds])
    members = mixed.sum(axis=1) + reading.unlisted[np.ix_(kinds, others)].sum(axis=1)
    members += named_after_log_chance(model, cores.value, 0.0)[:, kinds]
    return _Judged(rows=rows, listed=listed, members=members)


def _assumptions(stages: Sequence[Stage], melts: Melts, physics: Physics) -> Cores:
    last = observed(stages[-1].averaged, melts.elements)
    earlier = [observed(stage.averaged, melts.elements) for stage in stages[:-1]]
    added = _added(last, earlier, melts.elements)
    films = _films(last, added, _stray_wt_pct(stages[-1], melts), physics, melts.elements)
    if not earlier:
        return films
    found = [patches for one in earlier if (patches := _patches(last, one, added)) is not None]
    among = math.log((1.0 - NOTHING_LEFT) / (2.0 if found else 1.0))
    n_patches = sum(len(patches.share) for patches in found)
    cores = _together(
        [
            _as_read(last, math.log(NOTHING_LEFT)),
            films.less_often(among),
            *(patches.less_often(among - math.log(n_patches)) for patches in found),
        ]
    )
    strange = _strange(cores.share, last, earlier)
    return replace(cores, log_prior=cores.log_prior + np.where(strange, math.log(CORE_HOLDS_TOO), 0.0))


def _as_read(last: Observed, log_prior: float) -> Cores:
    """Return the reading as one of nothing but the core."""
    zero = np.zeros(1)
    return Cores(
        value=last.value[None], sigma=last.sigma[None], share=zero, log_prior=zero + log_prior,
        added=np.zeros((1, len(last.value))), scale=zero + 1.0, is_telling=zero > 0.0,
    )  # fmt: skip


def _strange(share: FloatArray, last: Observed, earlier: Sequence[Observed]) -> NDArray[np.bool_]:
    """Return for each share where the core would itself be made of what fell: the series is only on its
    way."""
    now = np.nan_to_num(last.value)
    most = np.max([np.nan_to_num(one.value) for one in earlier], axis=0)
    fell = np.flatnonzero(
        (most >= MADE_OF_WT_PCT) & (most - now > FALLEN_REL * most) & (now >= STILL_THERE_WT_PCT)
    )
    explained = np.maximum(share[:, None] * most[fell], 100.0 * share[:, None] / PARTS_OF_A_FILM)
    return np.asarray((explained < EXPLAINED_REL * now[fell]).any(axis=1))


@functools.lru_cache(maxsize=16)
def _usually_added(elements: tuple[str, ...]) -> FloatArray:
    """Return the chance that a film adds to each element."""
    return np.array(
        [
            ADDED_BY_DIRT if s in DIRT else ADDED_BY_PLATING if s in PLATING else ADDED_BY_OTHER
            for s in elements
        ]
    )


def _added(last: Observed, earlier: Sequence[Observed], elements: tuple[str, ...]) -> FloatArray:
    """Return the chance that a film added to each element, as the series tells."""
    usual = _usually_added(elements)
    if not earlier:
        return usual
    now = np.nan_to_num(last.value)
    most = np.max([np.nan_to_num(one.value) for one in earlier], axis=0)
    fell = most - now > np.maximum(FALLEN_WT_PCT, FALLEN_REL * most)
    rose = now - most > np.maximum(FALLEN_WT_PCT, FALLEN_REL * now)
    return np.where(fell, ADDED_WHERE_IT_FELL, np.where(rose, ADDED_WHERE_IT_ROSE, 0.5 * usual))


@functools.lru_cache(maxsize=16)
def _swallowed(elements: tuple[str, ...]) -> FloatArray:
    """Return how deep a film is for the line of each element, against that of aluminium; 0 where it swallows
    nothing."""
    return np.array([(LIGHT_KEV["Al"] / LIGHT_KEV[s]) ** 2.8 if s in LIGHT_KEV else 0.0 for s in elements])


def _films(
    last: Observed, added: FloatArray, stray: float, physics: Physics, elements: tuple[str, ...]
) -> Cores:
    """Return the core under films of every share: everything is scaled up by what the film takes."""
    film, swallowed = np.array(FILM_SHARES), _swallowed(elements)
    share = np.minimum(film + stray / 100.0, MOST_FILM)
    left = 1.0 - share[:, None]
    films = Cores(
        value=np.minimum(last.value / left, 100.0), sigma=last.sigma / left, share=share,
        log_prior=np.log(FILM_ODDS), added=np.tile(added, (len(film), 1)),
        scale=100.0 * film / PARTS_OF_A_FILM, is_telling=np.isin(film, FILMS_TOLD_FIRST),
    )  # fmt: skip
    if physics is not Physics.X_RAY or np.nansum(last.value[swallowed > 0.0]) < LIGHT_METAL_WT_PCT:
        return films
    thin = films.part(film < THICK_FILM).less_often(math.log(WEAKENING_ODDS))
    return _together([films, *(_strengthened(thin, np.exp(depth * swallowed)) for depth in WEAKENINGS)])


def _strengthened(cores: Cores, factor: FloatArray) -> Cores:
    """Return the cores with what a film swallowed of the light lines put back, scaled to what it was.

    Args:
        cores: As they were read.
        factor: By how much each element was read too low, shape (n_elements,).
    """
    value = cores.value * factor
    scale = np.nansum(cores.value, axis=1) / np.nansum(value, axis=1)
    return replace(cores, value=value * scale[:, None], sigma=cores.sigma * factor * scale[:, None])


def _patches(last: Observed, coat: Observed, added: FloatArray) -> Cores | None:
    """Return the core beside patches of what an earlier shot read; None where there is no room for any."""
    both = ~np.isnan(last.value) & ~np.isnan(coat.value)
    if not both.any():
        return None
    value, of_coat = last.value, np.nan_to_num(coat.value)
    # No share can take more out than there is: of what the coat has plenty of, the least ratio bounds it.
    plenty = (of_coat >= SIGNIFICANT_WT_PCT) & ~last.is_elsewhere
    there = (
        np.nan_to_num(value) + 2.0 * np.where(np.isnan(value), 0.0, last.sigma) + np.nan_to_num(last.below)
    )
    most = float(np.min(there[plenty] / of_coat[plenty], initial=0.75))
    if most < LEAST_PATCH:
        return None
    part = np.array(PATCH_PARTS)
    share = np.minimum(most * part, 0.75)
    taken, left = share[:, None] * of_coat, 1.0 - share[:, None]
    core = (value - taken) / left
    varying = (share[:, None] * coat.sigma) ** 2 + (REMNANT_REL * taken) ** 2
    sigma = np.sqrt(last.sigma**2 + varying) / left
    return Cores(
        value=np.clip(core, 1e-4, 100.0), sigma=sigma, share=share,
        log_prior=-0.5 * np.nansum(np.minimum(core / sigma, 0.0) ** 2, axis=1),
        added=np.tile(ADDED_BESIDE_PATCHES * added, (len(part), 1)),
        scale=np.maximum(100.0 * share / PARTS_OF_A_FILM, LEAST_SCALE_WT_PCT),
        is_telling=part == PATCH_PARTS[-2],
    )  # fmt: skip


def _terms(melts: Melts, at: NDArray[np.int64], cores: Cores) -> FloatArray:
    """Return what each core's reading adds for some terms [nats]: as read, or with something added to it;
    shape (n_cores, n_terms)."""
    column = melts.element_of[at]
    value, sigma = cores.value.take(column, axis=1), cores.sigma.take(column, axis=1)
    terms = of_values(melts, at, value, sigma)
    chance = np.where(melts.is_rest[at], 0.0, cores.added.take(column, axis=1))
    scale = cores.scale[:, None]
    density = _added_density(value, sigma, melts.low[at], melts.high[at], scale)
    density -= np.exp(terms, out=terms)
    density *= chance
    terms += density
    return np.asarray(np.log(terms, out=terms))


def _added_density(
    value: FloatArray, sigma: FloatArray, low: FloatArray, high: FloatArray, scale: FloatArray
) -> FloatArray:
    """Return the density of a uniform spread with an exponential addition [1/wt %].

    Source: convolution of a uniform density on [low, high] with an exponential one of mean `scale`:
    (F(v - low) - F(v - high))/(high - low), F(x) = 1 - exp(-x/scale) for x > 0, else 0; the noise only
    softens its lower edge.
    """
    width = np.maximum(high - low, 1e-6)
    above_low = -np.expm1(-np.maximum(value - low, 0.0) / scale)
    above_high = -np.expm1(-np.maximum(value - high, 0.0) / scale)
    density = (above_low - above_high) / width
    beyond = (value - low) / sigma
    soft = np.nonzero((beyond > 0.0) & (beyond < FAR_SIGMAS))
    density[soft] *= normal_cdf(beyond[soft])
    return np.asarray(np.maximum(density, 1e-30))


def _stray_wt_pct(stage: Stage, melts: Melts) -> float:
    """Return what was read of elements that no grade names [wt %]."""
    return float(sum(x for symbol, x in stage.averaged.values.items() if symbol not in melts.elements))


def _stray_log_density(stage: Stage, melts: Melts) -> float:
    """Return the density of what was read of elements that no grade names [nats]: exponential about 1 %."""
    stray = [x for symbol, x in stage.averaged.values.items() if symbol not in melts.elements]
    return float(sum(np.log(0.3) - x for x in stray))
