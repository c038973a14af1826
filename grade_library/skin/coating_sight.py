"""How one coating looks to a technique: what it reads as, how metal fades beneath, which grades carry it."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray
from grade_library.skin.attenuation import Film, Physics, Seen, attenuation, seen_by_laser, seen_by_x_ray
from grade_library.skin.coatings import Coating, Layer

FILM_LOGIT_SIGMA = 0.8
"""How far the share of an even film strays from the one worked out for its thickness, in logits (memory)."""
SHARE_LOGITS = np.linspace(-9.0, 9.0, 37)
"""Places, in logits, at which the distribution of the skin's share on untouched surface is kept."""
UNUSUAL = 0.02
"""Share of coated pieces whose metal is none that usually carries the coating (memory)."""
STANDING = 3
"""So many of the commonest grades of a group stand for it beneath a coating."""
KEY_WT_PCT = 25.0
"""An element with this share of a layer marks the coating [wt % of what is seen]."""
FILM_PLACES = (0.0, 0.35, 0.7, 1.0)
"""Thicknesses of an even film: from the least (0) to the greatest (1) usual one, in logarithm. Before them
stands a skin in patches beside bare metal, which fades nothing of the metal beside it."""
PATCH_PLACE = 0.5
"""Thickness of the film where it stands in patches."""


@dataclass(frozen=True, kw_only=True, eq=False)
class CoatingSight:
    """One coating as a technique sees it, over the elements of a `Sight`."""

    coating: Coating
    layers: FloatArray
    """What each layer reads as [wt %] in patches and at each of `FILM_PLACES`, shape (n_layers, n_scales,
    n_elements); sums to 100."""
    spread: FloatArray
    """Standard deviation of it [wt %], same shape."""
    is_optional: NDArray[np.bool_]
    """Shape (n_layers,)."""
    rows: NDArray[np.int64]
    """Grades that may carry it."""
    log_weight: FloatArray
    """Logarithm of how often each of those carries it, given the coating, shape (n_rows,)."""
    fading: FloatArray
    """Transmission of each element's line for patches and at each of `FILM_PLACES`, shape (n_scales,
    n_elements)."""
    scaling: FloatArray
    """What scales the faded core back to 100 %, shape (n_scales, n_rows)."""
    film_logit: FloatArray
    """Logit of the skin's share that each of `FILM_PLACES` brings with it, shape (n_places, n_rows)."""
    film_logit_sigma: FloatArray
    """How far it strays, so that the places together leave no gap; same shape."""
    share_below: FloatArray
    """Chance that the skin's share in a shot on untouched surface is below each of `SHARE_LOGITS`, rising
    from 0 to 1."""
    keys: NDArray[np.int64]
    """Columns of the elements without one of which the coating is out of question."""
    place_of: NDArray[np.int64]
    """Place of each grade among `rows`, -1 where it is none of them, shape (n_grades,)."""
    is_usual: NDArray[np.bool_]
    """Whether each of `rows` stands for its group beneath it; one more at the end for grades that are none,
    shape (n_rows + 1,)."""
    usual_log_weight: FloatArray
    """`log_weight` with the weight of the whole group where a grade stands for it, same shape."""
    place: int = 0
    """Where it stands in `Sight.coatings`."""

    @property
    def n_scales(self) -> int:
        """In how many ways it can lie on metal: in patches, and as films of several thicknesses."""
        return len(self.fading)

    def beneath(self, likely: NDArray[np.int64]) -> NDArray[np.int64]:
        """Return the places among `rows` of the grades that stand for their groups, and of these rows of the
        library."""
        is_tried = self.is_usual.copy()
        is_tried[self.place_of[likely]] = True
        return np.flatnonzero(is_tried[:-1])

    @property
    def certain(self) -> FloatArray:
        """What each element comes to at least in a coating of one layer [wt %], 0 where it may be missing;
        shape (n_elements,)."""
        least = (self.layers[0] - 2.5 * self.spread[0]).min(axis=0)
        return np.where((least > 1.0) & (len(self.layers) == 1), least, 0.0)


def logit(share: FloatArray) -> FloatArray:
    """Return ln(s/(1-s)) of shares 0..1, bounded at ±14."""
    held = np.clip(share, 1e-6, 1.0 - 1e-6)
    found: FloatArray = np.log(held / (1.0 - held))
    return found


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmOptics:
    """One coating over the elements that a technique sees, in patches and at each of `FILM_PLACES`."""

    fading: FloatArray
    """What is left of each element's signal from the core, 0..1, shape (n_scales, n_elements)."""
    signal: FloatArray
    """The film's own signal, 0..1, shape (n_scales,); 0 for patches."""
    emphasis: FloatArray
    """By how much a thin film reads each element larger or smaller than it is in it: soft lines come out of a
    thin film almost whole; shape (n_layers, n_scales, n_elements)."""


def film_optics(coating: Coating, elements: tuple[str, ...], *, is_x_ray: bool) -> FilmOptics:
    """Return how a coating looks at each thickness.

    Args:
        coating: The coating; of constituents that lie side by side nothing fades.
        elements: What the technique sees.
        is_x_ray: False for a laser plasma, in which nothing fades: one scale, all ones.
    """
    n_layers, n_elements = len(coating.layers), len(elements)
    if not is_x_ray or coating.is_mixed:
        ones = np.ones((1, n_elements))
        return FilmOptics(fading=ones, signal=np.zeros(1), emphasis=np.ones((n_layers, 1, n_elements)))
    places = np.array([PATCH_PLACE, *FILM_PLACES])
    depth = np.zeros((len(places), n_elements))
    signal = np.zeros(len(places))
    emphasis = np.ones((n_layers, len(places), n_elements))
    for i, layer in enumerate(coating.layers):
        own = np.outer(layer.least_um * (layer.most_um / layer.least_um) ** places, _per_um(layer, elements))
        seen = sum(w for symbol, w in layer.wt_pct.items() if symbol in elements)
        part = np.array([layer.wt_pct.get(symbol, 0.0) for symbol in elements]) / seen
        given = 1.0 - np.exp(-own)
        emphasis[i] = given / np.maximum((given * part).sum(axis=1, keepdims=True), 1e-12)
        if not layer.is_optional:
            signal += (np.exp(-depth) * given * part).sum(axis=1)
            depth += own
    depth[0], signal[0] = 0.0, 0.0
    return FilmOptics(fading=np.exp(-np.minimum(depth, 200.0)), signal=signal, emphasis=emphasis)


def _per_um(layer: Layer, elements: tuple[str, ...]) -> FloatArray:
    """Return by how much each element's signal fades in a layer [1/µm]; the median where it has no line."""
    table = attenuation()
    film = Film(wt_pct=layer.wt_pct, density_g_cm3=layer.density_g_cm3, thickness_um=np.zeros(1))
    found = np.array([table.per_um(film, s) if s in table.line_kev else np.nan for s in elements])
    return np.where(np.isnan(found), np.median(found[~np.isnan(found)]), found)


class CoatingMaker:
    """Lays coatings out over the elements of one technique."""

    def __init__(
        self,
        library: GradeLibrary,
        elements: tuple[str, ...],
        mean: FloatArray,
        physics: Physics,
        unseen: frozenset[str],
        shares: FloatArray,
    ) -> None:
        self._groups = [grade.group for grade in library.grades]
        self._bases = [grade.base for grade in library.grades]
        self._elements = elements
        self._column = {symbol: j for j, symbol in enumerate(elements)}
        self._mean = mean
        self._physics = physics
        self._unseen = unseen
        self._shares = shares
        self._group_names, self._group_of = np.unique(self._groups, return_inverse=True)
        self._group_share = np.bincount(self._group_of, shares)
        """How often each group is met."""

    def make(self, coating: Coating) -> CoatingSight | None:
        """Return the coating as seen, None where the technique sees nothing of it."""
        layers = self._laid_out([layer.wt_pct for layer in coating.layers])
        spread = self._laid_out([layer.spread for layer in coating.layers])
        seen = layers.sum(axis=1, keepdims=True)
        if np.any(seen < 0.5):
            return None
        layers, spread = _scaled_to_100(layers, spread)
        by_group = self._by_group(coating)
        rows = np.flatnonzero(by_group > 0.0)
        if rows.size == 0:
            return None
        films = film_optics(coating, self._elements, is_x_ray=self._physics is Physics.X_RAY)
        faded = (self._mean[rows] @ films.fading.T).T
        expected = films.signal[1:, None] / np.maximum(films.signal[1:, None] + faded[1:] / 100.0, 1e-300)
        film_logit = np.clip(logit(expected), -9.0, 9.0)
        steps = np.gradient(film_logit, axis=0) if len(film_logit) > 1 else np.zeros_like(film_logit)
        log_weight = self._log_weight(by_group, rows)
        is_usual, usual_log_weight = self._standing_for_groups(rows, log_weight)
        place_of = np.full(len(by_group), -1)
        place_of[rows] = np.arange(len(rows))
        return CoatingSight(
            coating=coating,
            layers=layers[:, None, :] * films.emphasis,
            spread=spread[:, None, :] * films.emphasis,
            is_optional=np.array([layer.is_optional for layer in coating.layers]),
            rows=rows,
            log_weight=log_weight,
            fading=films.fading,
            scaling=self._mean[rows].sum(axis=1) / np.maximum(faded, 1e-300),
            film_logit=film_logit,
            film_logit_sigma=np.maximum(FILM_LOGIT_SIGMA, 0.6 * steps),
            share_below=self._share_below(coating),
            keys=self._keys(coating, layers),
            place_of=place_of,
            is_usual=is_usual,
            usual_log_weight=usual_log_weight,
        )

    def _laid_out(self, rows: Sequence[Mapping[str, float]]) -> FloatArray:
        """Return contents by element as an array [wt %], shape (n_rows, n_elements); what is not seen is
        left out."""
        found = np.zeros((len(rows), len(self._elements)))
        for i, contents in enumerate(rows):
            for symbol, content in contents.items():
                if symbol in self._column:
                    found[i, self._column[symbol]] = content
        return found

    def _by_group(self, coating: Coating) -> FloatArray:
        """Return how often the group of each grade carries the coating, a little where it is unusual.

        A metal of much the same element is not coated with it unless that is usual. The answer is the same
        for every technique: shots of several share the grades beneath a coating.
        """
        habit = np.array([coating.substrate_weight(group) for group in self._group_names])
        usual = habit[self._group_of]
        if coating.is_only_there:
            return usual
        strange = np.where(habit == 0.0, self._group_share, 0.0)
        floor = (UNUSUAL * habit.sum() * strange / max(strange.sum(), 1e-12))[self._group_of]
        certain = [layer for layer in coating.layers if not layer.is_optional]
        marks = {s for layer in certain for s, content in layer.wt_pct.items() if content >= KEY_WT_PCT}
        is_alike = np.array([base in marks for base in self._bases])
        return np.where(usual > 0.0, usual, np.where(is_alike, 0.0, floor))

    def _log_weight(self, by_group: FloatArray, rows: NDArray[np.int64]) -> FloatArray:
        """Return log P(grade | coating): the group by habit, the grade by how often it is met."""
        total = sum({self._groups[i]: by_group[i] for i in rows}.values())
        within = self._shares[rows] / self._group_share[self._group_of[rows]]
        found: FloatArray = np.log(by_group[rows] / total * within)
        return found

    def _standing_for_groups(
        self, rows: NDArray[np.int64], log_weight: FloatArray
    ) -> tuple[NDArray[np.bool_], FloatArray]:
        """Return which are the commonest grades of each group, with one more at the end, and the weights of
        all grades, with the group's shared among those."""
        groups = self._group_of[rows]
        places, weights = [], []
        for group in np.unique(groups):
            of_group = np.flatnonzero(groups == group)
            best = of_group[np.argsort(-log_weight[of_group], kind="stable")[:STANDING]]
            whole = np.logaddexp.reduce(log_weight[of_group]) - np.logaddexp.reduce(log_weight[best])
            places.append(best)
            weights.append(log_weight[best] + whole)
        standing, of_groups = np.concatenate(places), log_weight.copy()
        of_groups[standing] = np.concatenate(weights)
        is_usual = np.zeros(len(rows) + 1, dtype=bool)
        is_usual[standing] = True
        return is_usual, of_groups

    def _films(self, coating: Coating, factor: FloatArray, split: FloatArray) -> list[Film]:
        """Return the layers at n thicknesses: `factor` moves all, `split` moves each on its own, 0..1."""
        films = []
        for i, layer in enumerate(coating.layers):
            place = np.clip(0.6 * factor + 0.4 * split[i], 0.0, 1.0)
            least, most = 0.5 * layer.least_um, 1.3 * layer.most_um
            um = least * (most / least) ** place
            if layer.is_optional:
                um = np.where(split[i] > 0.5, um, 0.0)
            films.append(Film(wt_pct=layer.wt_pct, density_g_cm3=layer.density_g_cm3, thickness_um=um))
        return films

    def _keys(self, coating: Coating, layers: FloatArray) -> NDArray[np.int64]:
        """Return the columns of the elements without one of which the coating is out of question."""
        certain = [row for row, layer in zip(layers, coating.layers, strict=True) if not layer.is_optional]
        return np.flatnonzero(np.max(certain, axis=0) >= KEY_WT_PCT)

    def _share_below(self, coating: Coating) -> FloatArray:
        """Return the distribution of the skin's share over pieces of usual thickness."""
        cores = [] if coating.is_mixed else [self._commonest(group) for group in coating.substrates]
        met = [
            (row, w) for row, w in zip(cores, coating.substrates.values(), strict=False) if row is not None
        ]
        if not met:
            return 1.0 / (1.0 + np.exp(-SHARE_LOGITS))
        steps: FloatArray = np.linspace(0.5, 31.5, 32) / 32.0
        split = np.array([(steps * multiple) % 1.0 for multiple in (5.0, 11.0, 19.0)])
        contents = self._mean[[row for row, _ in met]].T[:, :, None]
        seen = self._seen(
            self._films(coating, steps, split), dict(zip(self._elements, contents, strict=True))
        )
        # Each draw stands for its neighbours: a ramp one logit wide.
        ramp = SHARE_LOGITS[:, None, None] - np.clip(logit(seen.skin_share), -8.0, 8.0) + 0.5
        weight = np.array([w for _, w in met])
        found: FloatArray = np.clip(ramp, 0.0, 1.0).mean(axis=2) @ weight / weight.sum()
        return found

    def _commonest(self, group: str) -> int | None:
        """Return the place of the grade of a group that is met most often."""
        rows = [i for i, name in enumerate(self._groups) if name == group]
        return max(rows, key=lambda i: self._shares[i]) if rows else None

    def _seen(self, films: list[Film], core: Mapping[str, float | FloatArray]) -> Seen:
        if self._physics is Physics.X_RAY:
            return seen_by_x_ray(films, core)
        shallow, deep = attenuation().laser_depth_um
        return seen_by_laser(films, core, math.sqrt(shallow * deep), self._unseen)


def _scaled_to_100(layers: FloatArray, spread: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return what is seen of each layer as 100 %, and how far each element then varies from piece to piece
    [wt %].

    Source: law of propagation for x_i/Σx, the x independent.
    """
    seen = layers.sum(axis=1, keepdims=True)
    part, variance = layers / seen, spread**2
    others = (variance.sum(axis=1, keepdims=True) - variance) * part**2
    return 100.0 * part, 100.0 / seen * np.sqrt((1.0 - part) ** 2 * variance + others)
