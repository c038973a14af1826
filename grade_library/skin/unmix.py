"""Taking a coating out of a reading: for every grade, the layer shares that explain the reading best."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from grade_library.matcher.likelihood import Observed
from grade_library.normal import FloatArray, normal_cdf
from grade_library.skin.sight import CoatingSight, Physics, Sight, logit

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
class ShotView:
    """One reading over the elements of a `Sight`; all of shape (n_elements,)."""

    value: FloatArray
    """Mass fraction [wt %]; NaN where none is reported."""
    sigma: FloatArray
    below: FloatArray
    """Detection limit [wt %] of an element looked for and not found; NaN elsewhere."""
    gap: float
    """What the reported elements leave of 100 [wt %], >= 0."""
    gap_sigma: float
    """Standard uncertainty of the gap [wt %]."""

    def part(self, first: int, last: int) -> Observed:
        """Return some columns as `Observed`."""
        return Observed(
            value=self.value[first:last],
            sigma=self.sigma[first:last],
            below=self.below[first:last],
            gap=self.gap,
            gap_sigma=self.gap_sigma,
            is_elsewhere=np.zeros(last - first, dtype=bool),
        )


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


def unmix(sight: Sight, coatings: Sequence[CoatingSight], shot: ShotView, before: Before) -> Unmixed:
    """Return the shares of each coating's layers in a reading, for every grade of its `rows`, end to end.

    Weighted least squares over the elements that are reported, layers not below zero; the weights hold the
    noise, the spread of the melts and that of the coating. Coatings are solved together, since it is the
    number of array operations that costs.

    Args:
        sight: What the technique sees.
        coatings: Coatings alike in their layers and in the number of thicknesses (`shape_of`).
        shot: The reading.
        before: What happened to the spot; the share in the shot before, end to end for all coatings.
    """
    problem = _laid_out(sight, coatings, shot)
    layers, core, core_variance = problem.layers, problem.core, problem.core_variance
    tilt = [layer - core for layer in layers]
    off = problem.reading - core
    shares = np.full((len(layers), *core.shape[1:]), 0.6 / len(layers))
    for _ in range(ROUNDS):
        left = 1.0 - shares.sum(axis=0)
        variance = core_variance * (left * left)
        variance += problem.noise + model_variance(sight, problem.reading, 1.0 - left)
        for share, its_spread in zip(shares, problem.spread, strict=True):
            variance += share * share * its_spread
        normal = _solve(tilt, off, problem.weight / variance, shares)
    for share, its_tilt in zip(shares, tilt, strict=True):
        off -= share * its_tilt
    z = np.abs(off, out=off)
    z /= np.sqrt(variance)
    beyond = np.where(z > ROBUST_SIGMAS, 0.5 * ROBUST_SIGMAS**2 + (z - ROBUST_SIGMAS), 0.5 * z * z)
    variance *= 2.0 * np.pi
    beyond += 0.5 * np.log(variance, out=variance)
    fit = -(problem.weight * beyond).sum(axis=0)
    room = _log_room(shares, normal)
    width = np.exp(room / np.maximum((shares > PRESENT).sum(axis=0), 1))
    is_optional = coatings[0].is_optional
    room += _log_split(shares, is_optional, before)
    outer = shares[~is_optional].sum(axis=0)
    room += log_share_prior(coatings, shares.sum(axis=0), outer, width, before)
    return _best_scale(shares, fit, room)


def shape_of(coating: CoatingSight) -> tuple[object, ...]:
    """Return what coatings that are solved together have in common."""
    return (*coating.is_optional, len(coating.fading))


def places_of(coatings: Sequence[CoatingSight]) -> list[tuple[int, int]]:
    """Return where the grades of each coating begin and end."""
    ends = np.cumsum([0, *(len(coating.rows) for coating in coatings)])
    return list(pairwise(ends.tolist()))


def gap_variance(gap: float) -> float:
    """Return how far what a reading leaves of 100 can be trusted [wt %²]."""
    return (GAP_WT_PCT + GAP_REL * gap) ** 2


def model_variance(sight: Sight, reading: FloatArray, share: FloatArray) -> FloatArray | float:
    """Return the variance that comes of taking layered metal for solid [wt %²]."""
    if sight.physics is not Physics.X_RAY:
        return 0.0
    found: FloatArray = (X_RAY_MODEL_REL * reading * 4.0 * share * (1.0 - share)) ** 2
    return found


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Problem:
    """A reading to be unmixed: the reported elements, and what was not reported as one more column."""

    reading: FloatArray
    """Shape (n_columns, 1, 1) [wt %]."""
    noise: FloatArray
    """Variance of it [wt %²], same shape."""
    layers: FloatArray
    """Shape (n_layers, n_columns, n_scales, n_rows) [wt %]: what is summed over comes before the rows, which
    are many."""
    spread: FloatArray
    """Variance of it [wt %²]."""
    core: FloatArray
    """Shape (n_columns, n_scales, n_rows) [wt %]."""
    core_variance: FloatArray
    weight: FloatArray
    """Shape (n_columns, 1, n_rows)."""


def _laid_out(sight: Sight, coatings: Sequence[CoatingSight], shot: ShotView) -> _Problem:
    # What was looked for and not found is left to the last column here, and judged exactly later.
    columns = np.flatnonzero(~np.isnan(shot.value))
    counts = [len(coating.rows) for coating in coatings]

    def of_each_row(name: str) -> FloatArray:
        kept = np.stack(
            [getattr(coating, name)[..., columns].swapaxes(-2, -1) for coating in coatings], axis=-1
        )
        return np.repeat(kept, counts, axis=-1)

    at = np.ix_(columns, np.concatenate([coating.rows for coating in coatings]))
    fading = of_each_row("fading")
    factor = fading * np.concatenate([coating.scaling for coating in coatings], axis=1)
    core = sight.mean.T[at][:, None] * factor
    most = np.stack([coating.fading.max(axis=1) for coating in coatings], axis=1)
    lost = 1.0 - fading / np.repeat(most, counts, axis=1)
    core_variance = sight.variance.T[at][:, None] * factor**2 + (FADING_MODEL_REL * core * lost) ** 2
    layers = of_each_row("layers")
    spread = of_each_row("spread") ** 2 + IMPURITY_WT_PCT**2
    reading, noise = shot.value[columns], shot.sigma[columns] ** 2
    return _Problem(
        reading=np.append(reading, shot.gap)[:, None, None],
        noise=np.append(noise, gap_variance(shot.gap))[:, None, None],
        layers=_with_last(layers, 100.0 - layers.sum(axis=-3, keepdims=True)),
        spread=_with_last(spread, np.zeros((len(spread), 1, *spread.shape[2:]))),
        core=_with_last(core, 100.0 - core.sum(axis=-3, keepdims=True)),
        core_variance=_with_last(core_variance, np.ones((1, *core_variance.shape[1:]))),
        weight=_with_last(sight.weight.T[at], np.ones((1, sum(counts))))[:, None],
    )


def _with_last(of_reported: FloatArray, last: FloatArray) -> FloatArray:
    """Return the columns with one more behind them."""
    return np.concatenate([of_reported, last], axis=max(of_reported.ndim - 3, 0))


def _solve(tilt: list[FloatArray], off: FloatArray, weight: FloatArray, shares: FloatArray) -> FloatArray:
    """Improve the shares in place, layer by layer, none below 0; return the normal equations.

    Args:
        tilt: What a whole share of each layer changes, shape (n_columns, n_scales, n_rows).
        off: What is to be explained, same shape.
        weight: Of each element, same shape.
        shares: Shape (n_layers, n_scales, n_rows).

    Returns:
        Shape (n_layers, n_layers, n_scales, n_rows).
    """
    n = len(tilt)
    normal = np.empty((n, *shares.shape))
    right = np.empty_like(shares)
    for i in range(n):
        weighted = tilt[i] * weight
        right[i] = np.einsum("efg,efg->fg", weighted, off)
        for j in range(i, n):
            normal[i, j] = normal[j, i] = np.einsum("efg,efg->fg", weighted, tilt[j])
        normal[i, i] += 1.0
    # Each layer takes what the others leave of it: with the layer's own part taken out, that is one product.
    others = normal.copy()
    for i in range(n):
        right[i] /= normal[i, i]
        others[i] /= normal[i, i]
        others[i, i] = 0.0
    for _ in range(SWEEPS if n > 1 else 1):
        for i in range(n):
            left = right[i] - (others[i] * shares).sum(axis=0) if n > 1 else right[i]
            np.maximum(left, 0.0, out=shares[i])
    total = shares.sum(axis=0)
    shares *= np.where(total > MOST_SHARE, MOST_SHARE / np.maximum(total, 1e-9), 1.0)
    return normal


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


def _log_split(shares: FloatArray, is_optional: NDArray[np.bool_], before: Before) -> FloatArray:
    """Return what the split between layers is worth: all splits alike, (n-1)!/total^(n-1)."""
    present = shares > PRESENT
    count = present.sum(axis=0)
    split: FloatArray = _LOG_FACTORIAL[count] - np.maximum(count - 1, 0) * np.log(
        np.maximum(shares.sum(axis=0), 0.05)
    )
    for i, one in enumerate(present):
        if is_optional[i]:
            split = split + np.where(one, np.log(OPTIONAL_LAYER), np.log(1.0 - OPTIONAL_LAYER))
        elif before.is_first and not before.is_ground:
            split = split + np.where(one, 0.0, np.log(WORN_OFF))
    return split


def log_share_prior(
    coatings: Sequence[CoatingSight], total: FloatArray, outer: FloatArray, width: FloatArray, before: Before
) -> FloatArray:
    """Return the logarithm of the density of the skin's share before the reading is seen.

    Args:
        coatings: The coatings, alike in the number of thicknesses.
        total: Share of all layers, shape (n_scales, n_rows).
        outer: Share of the layers that no such coating goes without, same shape.
        width: Within which the reading tells it, same shape; the density is the mean over it.
        before: What happened to the spot.
    """
    n_scales = len(total)
    if before.is_ground and before.total is not None:
        most = np.maximum(1.02 * before.total, 0.02)
        patches = np.log(np.where(total[0] <= most, 0.9 / most, 0.0) + 0.1)
    elif n_scales == 1:
        low, high = _around(total[0], width[0])
        chance = [
            coating.chance_between(low[first:last], high[first:last])
            for coating, (first, last) in zip(coatings, places_of(coatings), strict=True)
        ]
        patches = np.log(np.concatenate(chance) / (high - low) + 1e-12)
    else:
        patches = np.zeros_like(total[0])
    if n_scales == 1:
        return patches[None]
    in_patches = PATCHES_WHEN_GROUND if before.is_ground else PATCHES
    # An even film of a given thickness brings its own share with it; a strike beneath it hides the core only.
    low, high = _around(outer[1:], width[1:])
    usual = np.concatenate([coating.film_logit for coating in coatings], axis=1)
    sigma = np.concatenate([coating.film_logit_sigma for coating in coatings], axis=1)
    film = normal_cdf((logit(high) - usual) / sigma) - normal_cdf((logit(low) - usual) / sigma)
    prior = np.empty_like(total)
    prior[0] = patches + np.log(in_patches)
    prior[1:] = np.log(np.maximum(film, 0.0) / (high - low) + 1e-12)
    prior[1:] += np.log((1.0 - in_patches) / (n_scales - 1))
    if before.total is not None and before.is_ground:
        prior[1:] += np.where(total[1:] <= 1.05 * before.total + 0.02, 0.0, np.log(0.1))
    return prior


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
