"""Taking a coating out of a reading: for every grade, the layer shares that explain the reading best."""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from grade_library.normal import FloatArray, normal_cdf
from grade_library.skin.attenuation import Physics
from grade_library.skin.coating_sight import logit
from grade_library.skin.sight import Beneath, ShotView, Sight

MOST_SHARE = 0.9999
"""A reading that shows nothing of the core at all still gets this share of skin."""
IMPURITY_WT_PCT = 0.03
"""Platings are not pure: standard deviation of any element in a layer [wt %] (memory)."""
X_RAY_MODEL_REL = 0.02
"""Software that takes layered metal for solid is off by about this much of each value (memory)."""
FADING_MODEL_REL = 0.12
"""Of what an element of the core loses by fading, how well it is known (memory)."""
GAP_WT_PCT, GAP_REL = 1.0, 0.5
"""How far what the reported elements leave of 100 can be trusted: so many wt %, and this part of it
(memory)."""
ROUNDS = 2
SWEEPS = 6
LEAST_SHARE = 0.004
"""A coating that no shot leaves room for this share of is not tried; a skin of less is none."""
PRESENT = 1e-4
"""Least share of a layer that counts as there."""
PATCHES = 0.25
"""Share of untouched x-ray shots whose skin is in patches, worn or otherwise unlike an even film (memory)
..."""
PATCHES_WHEN_GROUND = 0.6
"""... and of those on a ground spot."""
ROBUST_SIGMAS = 4.0
OPTIONAL_LAYER = 0.4
"""Chance that a piece has a layer that many go without (memory)."""


WORN_OFF = 0.03
"""Chance that a layer which no such coating goes without is gone from untouched surface (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Unmixed:
    """The best shares of some coatings' layers in one reading, for every grade that may carry them."""

    shares: FloatArray
    """Of each layer, 0..1, shape (n_rows, n_layers)."""
    scale: NDArray[np.int64]
    """Which of the film's thicknesses fits best, shape (n_rows,)."""
    log_fit: FloatArray
    """Quick, Gaussian measure of the fit [nats], shape (n_rows,)."""
    log_room: FloatArray
    """Logarithm of the width of the fit in the shares: what the freedom is worth, shape (n_rows,)."""

    @property
    def total(self) -> FloatArray:
        """Share of all layers together, shape (n_rows,)."""
        found: FloatArray = self.shares.sum(axis=1)
        return found

    def added(self, sight: Sight, coating: NDArray[np.int64]) -> FloatArray:
        """Return what the skin adds to the reading [wt %], shape (n_rows, n_elements).

        Args:
            sight: What the technique sees.
            coating: Place in it of the coating that each grade is beneath, shape (n_rows,).
        """
        layers = sight.together.layers[:, :, self.scale, coating]
        found: FloatArray = np.einsum("nl,len->ne", self.shares, layers)
        return found

    @classmethod
    def end_to_end(cls, parts: "Sequence[Unmixed]") -> "Unmixed":
        """Return several of them as one."""
        return cls(**{one.name: np.concatenate([getattr(p, one.name) for p in parts]) for one in fields(cls)})

    def part(self, rows: slice | NDArray[np.int64]) -> "Unmixed":
        """Return the same for some rows."""
        return Unmixed(
            shares=self.shares[rows],
            scale=self.scale[rows],
            log_fit=self.log_fit[rows],
            log_room=self.log_room[rows],
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Before:
    """What happened to the spot before a shot."""

    is_ground: bool
    """Ground since the shot before, or before the first one."""
    is_first: bool = True
    """Nothing was shot before."""
    total: FloatArray | None = None
    """Share of the skin in the shot before, shape (n_rows,); None for the first shot."""


def unmix(sight: Sight, beneath: Beneath, shot: ShotView, before: Before) -> Unmixed:
    """Return the shares of each coating's layers in a reading, for every grade beneath it, end to end.

    Weighted least squares over the elements that are reported, layers not below zero; the weights hold the
    noise, the spread of the melts and that of the coating. Coatings are solved together, since it is the
    number of array operations that costs.

    Args:
        sight: What the technique sees.
        beneath: The coatings and the grades beneath them.
        shot: The reading.
        before: What happened to the spot; the share in the shot before, end to end for all coatings.
    """
    problem = _laid_out(sight, beneath, shot)
    core, core_variance = problem.core, problem.core_variance
    tilt = [layer - core[..., : layer.shape[-1]] for layer in problem.layers]
    off = problem.reading - core
    shares = problem.first_shares
    for _ in range(ROUNDS):
        left = 1.0 - shares.sum(axis=0)
        variance = core_variance * (left * left)
        variance += problem.noise
        variance += model_variance(sight, problem.reading, left)
        for share, its_spread in zip(shares, problem.spread, strict=False):
            variance[..., : its_spread.shape[-1]] += (share * share)[:, : its_spread.shape[-1]] * its_spread
        normal = _solve(tilt, off, problem.weight / variance, shares)
    for share, its_tilt in zip(shares, tilt, strict=False):
        off[..., : its_tilt.shape[-1]] -= share[:, : its_tilt.shape[-1]] * its_tilt
    fit = _log_fit(off, variance, problem.weight)
    room = _log_room(shares, normal)
    width = np.exp(room / np.maximum((shares > PRESENT).sum(axis=0), 1))
    is_optional = sight.together.is_optional[:, beneath.kinds][:, None]
    is_layer = sight.together.is_layer[:, beneath.kinds][:, None]
    room += _log_split(shares, is_layer, is_optional, before)
    outer = np.where(is_optional, 0.0, shares).sum(axis=0)
    room += log_share_prior(beneath, shares.sum(axis=0), outer, width, before)
    return _best_scale(shares, fit, room)


def gap_variance(gap: float) -> float:
    """Return how far what a reading leaves of 100 can be trusted [wt %²]."""
    return (GAP_WT_PCT + GAP_REL * gap) ** 2


def model_variance(sight: Sight, reading: FloatArray, share: FloatArray) -> FloatArray | float:
    """Return the variance that comes of taking layered metal for solid [wt %²]."""
    if sight.physics is not Physics.X_RAY:
        return 0.0
    return np.asarray((4.0 * X_RAY_MODEL_REL * reading) ** 2 * (share * (1.0 - share)) ** 2)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Problem:
    """A reading to be unmixed: the reported elements, and what was not reported as one more column.

    What is summed over comes before the rows, which are many.
    """

    reading: FloatArray
    """Shape (n_columns, 1, 1) [wt %]."""
    noise: FloatArray
    """Variance of it [wt %²], same shape."""
    layers: Sequence[FloatArray]
    """For each layer, shape (n_columns, n_scales, n_rows that have it) [wt %]."""
    spread: Sequence[FloatArray]
    """Variance of them [wt %²]."""
    core: FloatArray
    """Shape (n_columns, n_scales, n_rows) [wt %]."""
    core_variance: FloatArray
    weight: FloatArray
    """Shape (n_columns, 1, n_rows)."""
    first_shares: FloatArray
    """Where the search begins, shape (n_layers, n_scales, n_rows)."""


def _laid_out(sight: Sight, beneath: Beneath, shot: ShotView) -> _Problem:
    # What was looked for and not found is left to the last column here, and judged exactly later.
    columns = np.flatnonzero(~np.isnan(shot.value))
    together, of_row, n_scales = sight.together, beneath.coating_of, beneath.coatings[0].n_scales
    # Small tables of these coatings and elements, shape (..., n_columns, n_scales, n_coatings), then by row.
    cut = (columns[:, None, None], np.arange(n_scales)[:, None], beneath.places)
    fading, lost = together.fading[cut].take(of_row, axis=-1), together.lost[cut].take(of_row, axis=-1)
    layers, spread = together.layers[(slice(None), *cut)], together.spread[(slice(None), *cut)]
    layers = _with_last(layers, 100.0 - layers.sum(axis=1, keepdims=True))
    spread = _with_last(spread**2 + IMPURITY_WT_PCT**2, np.zeros_like(layers[:, :1]))
    fading *= together.scaling[:n_scales, beneath.pairs]
    at = (beneath.rows, columns[:, None])
    core = sight.mean[at][:, None] * fading
    lost *= core
    lost *= FADING_MODEL_REL
    core_variance = sight.variance[at][:, None] * fading**2 + lost**2
    weight = np.ones((len(columns) + 1, 1, len(of_row)))
    weight[:-1, 0] = sight.weight[at]
    n_rows = beneath.n_rows_of_layers
    is_layer = together.is_layer[:, beneath.places].take(of_row, axis=-1)
    return _Problem(
        reading=np.append(shot.value[columns], shot.gap)[:, None, None],
        noise=np.append(shot.sigma[columns] ** 2, gap_variance(shot.gap))[:, None, None],
        layers=[layer.take(of_row[:n], axis=-1) for layer, n in zip(layers, n_rows, strict=False)],
        spread=[variance.take(of_row[:n], axis=-1) for variance, n in zip(spread, n_rows, strict=False)],
        core=_with_last(core, 100.0 - core.sum(axis=0, keepdims=True)),
        core_variance=_with_last(core_variance, np.ones((1, *core.shape[1:]))),
        weight=weight,
        first_shares=np.repeat((0.6 * is_layer / is_layer.sum(axis=0))[:, None], n_scales, axis=1),
    )


def _with_last(of_reported: FloatArray, last: FloatArray) -> FloatArray:
    """Return the columns with one more behind them."""
    return np.concatenate([of_reported, last], axis=of_reported.ndim - 3)


def _solve(tilt: Sequence[FloatArray], off: FloatArray, weight: FloatArray, shares: FloatArray) -> FloatArray:
    """Improve the shares in place, layer by layer, none below 0; return the normal equations.

    Args:
        tilt: What a whole share of each layer changes, for the first rows, which have it, shape (n_columns,
            n_scales, n_rows that have it).
        off: What is to be explained, shape (n_columns, n_scales, n_rows).
        weight: Of each element, same shape.
        shares: Shape (n_layers, n_scales, n_rows).

    Returns:
        Shape (n_layers, n_layers, n_scales, n_rows), 0 where a row has no such layer.
    """
    normal, right = _equations(tilt, off, weight, shares)
    ends = [one.shape[-1] for one in tilt]
    # Each layer takes what the others leave of it.
    steps = []
    for i, whole in enumerate(right):
        left = np.empty_like(whole)
        beside = [(j, min(ends[i], ends[j])) for j in range(len(tilt)) if j != i]
        parts = [
            (left[:, :m], normal[i, j, :, :m] / normal[i, i, :, :m], shares[j, :, :m]) for j, m in beside
        ]
        steps.append((left, whole, parts, shares[i, :, : ends[i]]))
    for _ in range(SWEEPS if len(tilt) > 1 else 1):
        for left, whole, parts, share in steps:
            left[...] = whole
            for part, factor, other in parts:
                part -= factor * other
            np.maximum(left, 0.0, out=share)
    total = shares.sum(axis=0)
    shares *= np.where(total > MOST_SHARE, MOST_SHARE / np.maximum(total, 1e-9), 1.0)
    return normal


def _equations(
    tilt: Sequence[FloatArray], off: FloatArray, weight: FloatArray, shares: FloatArray
) -> tuple[FloatArray, list[FloatArray]]:
    """Return the normal equations, and what each layer would take alone."""
    normal = np.zeros((len(shares), *shares.shape))
    normal[range(len(shares)), range(len(shares))] = 1.0
    right = []
    for i, one in enumerate(tilt):
        end = one.shape[-1]
        weighted = one * weight[..., :end]
        for j, other in enumerate(tilt[i:], i):
            reach = other.shape[-1]
            normal[i, j, :, :reach] += np.einsum("efg,efg->fg", weighted[..., :reach], other)
            normal[j, i] = normal[i, j]
        right.append(np.einsum("efg,efg->fg", weighted, off[..., :end]) / normal[i, i, :, :end])
    return normal, right


def _log_fit(off: FloatArray, variance: FloatArray, weight: FloatArray) -> FloatArray:
    """Return the Gaussian measure of the fit [nats], with tails that fall as an exponential beyond
    `ROBUST_SIGMAS`; shape (n_scales, n_rows).

    Args:
        off: What is not explained [wt %], shape (n_columns, n_scales, n_rows); written over.
        variance: Of it, same shape; written over.
        weight: Of each element, shape (n_columns, 1, n_rows).
    """
    z = np.abs(off, out=off)
    z /= np.sqrt(variance)
    near = np.minimum(z, ROBUST_SIGMAS)
    z -= near
    near *= near
    variance *= 2.0 * np.pi
    near += np.log(variance, out=variance)
    near *= 0.5
    near += z
    near *= weight
    return np.asarray(-near.sum(axis=0))


def _log_room(shares: FloatArray, normal: FloatArray) -> FloatArray:
    """Return the logarithm of the width of the fit over the layers present, shape (n_scales, n_rows)."""
    n = len(shares)
    present = shares > PRESENT
    kept = np.where(present[:, None] & present[None, :], normal, 0.0)
    for i in range(n):
        kept[i, i] = np.where(present[i], kept[i, i], 1.0)
    if n == 1:
        det = kept[0, 0]
    elif n == 2:
        det = kept[0, 0] * kept[1, 1] - kept[0, 1] ** 2
    else:
        det = kept[0, 0] * (kept[1, 1] * kept[2, 2] - kept[1, 2] ** 2)
        det -= kept[0, 1] * (kept[0, 1] * kept[2, 2] - kept[1, 2] * kept[0, 2])
        det += kept[0, 2] * (kept[0, 1] * kept[1, 2] - kept[1, 1] * kept[0, 2])
    # No share is freer than 0 to 1, however little the reading says of it.
    room: FloatArray = 0.5 * (present.sum(axis=0) * np.log(2.0 * np.pi) - np.log(np.maximum(det, 1e-6)))
    return np.minimum(room, 0.0)


_LOG_FACTORIAL = np.log([1.0, 1.0, 1.0, 2.0])


def _log_split(
    shares: FloatArray, is_layer: NDArray[np.bool_], is_optional: NDArray[np.bool_], before: Before
) -> FloatArray:
    """Return what the split between layers is worth: all splits alike, (n-1)!/total^(n-1)."""
    present = shares > PRESENT
    count = present.sum(axis=0)
    total = np.maximum(shares.sum(axis=0), 0.05)
    split = _LOG_FACTORIAL[count] - np.maximum(count - 1, 0) * np.log(total)
    worn_off = WORN_OFF if before.is_first and not before.is_ground else 1.0
    there = np.where(is_optional, np.log(OPTIONAL_LAYER), 0.0)
    gone = np.where(is_optional, np.log(1.0 - OPTIONAL_LAYER), np.where(is_layer, np.log(worn_off), 0.0))
    return np.asarray(split + np.where(present, there, gone).sum(axis=0))


def log_share_prior(
    beneath: Beneath, total: FloatArray, outer: FloatArray, width: FloatArray, before: Before
) -> FloatArray:
    """Return the logarithm of the density of the skin's share before the reading is seen.

    Args:
        beneath: The coatings and the grades beneath them.
        total: Share of all layers, shape (n_scales, n_rows).
        outer: Share of the layers that no such coating goes without, same shape.
        width: Within which the reading tells it, same shape; the density is the mean over it.
        before: What happened to the spot.
    """
    n_scales = len(total)
    if before.is_ground and before.total is not None:
        patches = np.log(density_after_grind(total[0], before.total))
    elif n_scales == 1:
        low, high = _around(total[0], width[0])
        chance = beneath.together.chance_between(beneath.kinds, low, high)
        patches = np.log(chance / (high - low) + 1e-12)
    else:
        patches = np.zeros_like(total[0])
    if n_scales == 1:
        return patches[None]
    in_patches = PATCHES_WHEN_GROUND if before.is_ground else PATCHES
    # An even film of a given thickness brings its own share with it; a strike beneath it hides the core only.
    low, high = _around(outer[1:], width[1:])
    usual = beneath.together.film_logit[:, beneath.pairs]
    sigma = beneath.together.film_logit_sigma[:, beneath.pairs]
    film = normal_cdf((logit(high) - usual) / sigma) - normal_cdf((logit(low) - usual) / sigma)
    prior = np.empty_like(total)
    prior[0] = patches + np.log(in_patches)
    prior[1:] = np.log(np.maximum(film, 0.0) / (high - low) + 1e-12)
    prior[1:] += np.log((1.0 - in_patches) / (n_scales - 1))
    if before.total is not None and before.is_ground:
        prior[1:] += np.where(total[1:] <= 1.05 * before.total + 0.02, 0.0, np.log(0.1))
    return prior


def density_after_grind(share: FloatArray, before: FloatArray) -> FloatArray:
    """Return the density of the share of patches after a grind: up to that before evenly, seldom anything.

    Args:
        share: Share of the skin, 0..1.
        before: The same before the grind, same shape.
    """
    most = np.maximum(1.02 * before, 0.02)
    return np.asarray(np.where(share <= most, 0.9 / most, 0.0) + 0.1)


def _around(share: FloatArray, width: FloatArray) -> tuple[FloatArray, FloatArray]:
    low = np.maximum(share - 0.5 * width, 0.0)
    return low, np.maximum(np.minimum(share + 0.5 * width, 1.0), low + 1e-6)


def _best_scale(shares: FloatArray, fit: FloatArray, room: FloatArray) -> Unmixed:
    """Return for every grade the film thickness that fits best; thicknesses that fit as well add to it."""
    both = fit + room
    best = np.argmax(both, axis=0)
    rows = np.arange(fit.shape[1])
    top = both[best, rows]
    together = top + np.log(np.exp(both - top).sum(axis=0))
    return Unmixed(
        shares=shares[:, best, rows].T,
        scale=best.astype(np.int64),
        log_fit=together,
        log_room=room[best, rows] + together - top,
    )
