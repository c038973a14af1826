"""What x-rays make of a coating at each thickness: how the core fades, and what the film itself reads as."""

from dataclasses import dataclass

import numpy as np

from grade_library.normal import FloatArray
from grade_library.skin.attenuation import Film, attenuation
from grade_library.skin.coatings import Coating, Layer

FILM_PLACES = (0.0, 0.35, 0.7, 1.0)
"""Thicknesses of an even film: from the least (0) to the greatest (1) usual one, in logarithm. Before them
stands a skin in patches beside bare metal, which fades nothing of the metal beside it."""
PATCH_PLACE = 0.5
"""Thickness of the film where it stands in patches."""


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
