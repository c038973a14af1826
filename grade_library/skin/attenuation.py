"""What an analyser reads of metal beneath films: how x-rays fade, how deep a laser plasma digs."""

import functools
import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from importlib import resources
from types import MappingProxyType

import numpy as np

from grade_library.errors import GradeDataError
from grade_library.normal import FloatArray
from grade_library.technique import Profile

UM_PER_CM = 1.0e4


class Physics(StrEnum):
    """What kind of look a technique takes at a surface."""

    X_RAY = "x-ray"
    LASER = "laser"
    BULK = "bulk"
    """A certificate or a sample dissolved: no skin."""


def physics_of(profile: Profile) -> Physics:
    """Return how a technique meets a surface, from what it can see."""
    if not profile.normalises:
        return Physics.BULK
    return Physics.X_RAY if "Li" in profile.unseen else Physics.LASER


@dataclass(frozen=True, slots=True, kw_only=True)
class Film:
    """One layer on a metal, at one thickness or at many."""

    wt_pct: Mapping[str, float]
    """Symbol -> mass fraction [wt %]."""
    density_g_cm3: float
    thickness_um: FloatArray
    """Thickness [µm], >= 0, shape (n,)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Attenuation:
    """The table of data/attenuation.toml."""

    line_kev: Mapping[str, float]
    """Symbol -> energy of the line by which the element is read [keV]."""
    mass_attenuation: Mapping[str, Mapping[str, float]]
    """Absorber -> symbol of the line, or "soft" and "hard" for the tube -> coefficient [cm2/g]."""
    sin_incident: float
    sin_takeoff: float
    hard_from_kev: float
    """Lines from this energy on are excited by the hard end of the tube's spectrum [keV]."""
    laser_depth_um: tuple[float, float]
    """Least and greatest depth within which a laser plasma takes 63 % of its matter [µm]."""

    def coefficient(self, absorber: str, line: str) -> float:
        """Return the mass attenuation coefficient [cm2/g] of an absorber for a line, or for the tube.

        Args:
            absorber: Symbol of an element of the film; one that is not in the table counts as its neighbour.
            line: Symbol of the element read, or "soft" or "hard".
        """
        return self.mass_attenuation[_STAND_INS.get(absorber, absorber)][line]

    def per_um(self, film: Film, symbol: str) -> float:
        """Return by how much the signal of an element fades in a film, way in and way out [1/µm]."""
        tube = "hard" if self.line_kev[symbol] >= self.hard_from_kev else "soft"
        total = sum(film.wt_pct.values())
        way_in = sum(w * self.coefficient(absorber, tube) for absorber, w in film.wt_pct.items()) / total
        way_out = sum(w * self.coefficient(absorber, symbol) for absorber, w in film.wt_pct.items()) / total
        linear = film.density_g_cm3 * (way_in / self.sin_incident + way_out / self.sin_takeoff)
        return linear / UM_PER_CM


_STAND_INS = MappingProxyType({"Cl": "S", "K": "Ca", "Sr": "Zn", "H": "C", "N": "O", "Co": "Ni", "Sb": "Sn"})
"""Minor elements of dirt, fluids and paint that stand in no row of their own: the nearest row in atomic
number."""


@functools.cache
def attenuation() -> Attenuation:
    """Return the shipped table.

    Raises:
        GradeDataError: A row has not as many figures as there are lines.

    >>> attenuation().coefficient("Ni", "Fe")
    91.26
    """
    data = resources.files("grade_library") / "data" / "attenuation.toml"
    table = tomllib.loads(data.read_text("utf-8"))
    lines = {symbol: kev for symbol, kev in table["line_kev"].items() if symbol != "source"}
    columns = [*lines, "soft", "hard"]
    rows: dict[str, Mapping[str, float]] = {}
    for absorber, figures in table["mass_attenuation_cm2_g"].items():
        if absorber == "source":
            continue
        if len(figures) != len(columns):
            raise GradeDataError(
                f"attenuation.toml, {absorber}: {len(figures)} figures, needs {len(columns)}"
            )
        rows[absorber] = MappingProxyType(dict(zip(columns, map(float, figures), strict=True)))
    geometry = table["geometry"]
    shallow, deep = geometry["laser_depth_um"]
    return Attenuation(
        line_kev=MappingProxyType(lines),
        mass_attenuation=MappingProxyType(rows),
        sin_incident=math.sin(math.radians(geometry["incident_degrees"])),
        sin_takeoff=math.sin(math.radians(geometry["takeoff_degrees"])),
        hard_from_kev=float(geometry["hard_from_kev"]),
        laser_depth_um=(float(shallow), float(deep)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What an analyser reads of a metal beneath films, at n thicknesses."""

    wt_pct: Mapping[str, FloatArray]
    """Symbol -> reading [wt %], scaled to 100, shape (n,)."""
    skin_share: FloatArray
    """Share of the reading that comes from the films, 0..1, shape (n,)."""


def seen_by_x_ray(films: Sequence[Film], core: Mapping[str, float | FloatArray]) -> Seen:
    """Return what x-rays read through films [wt %].

    Args:
        films: From the outside in; each thickness of the same shape (n,).
        core: Composition of the metal beneath [wt %]; for several metals each content of shape (n_metals, 1),
            and what is seen then of shape (n_metals, n).

    Valid: a pseudo-bulk reading, each signal relative to that of the pure, thick material; one energy stands
    for the
        tube and no secondary excitation is counted. Good to a tenth of the share; handheld software differs.
    Source: signal of a film 1 - exp(-χt), of what lies beneath exp(-χt), χ = (µ(E0)/sin ψ1 + µ(Ei)/sin ψ2)·ρ.

    >>> nickel = Film(wt_pct={"Ni": 100.0}, density_g_cm3=8.9, thickness_um=np.array([5.0, 20.0]))
    >>> np.round(seen_by_x_ray([nickel], {"Fe": 100.0}).skin_share, 2)
    array([0.49, 0.95])
    """
    table = attenuation()
    signal: dict[str, FloatArray] = {}
    from_films: dict[str, FloatArray] = {}
    zero = np.zeros_like(films[0].thickness_um) if films else np.zeros(1)
    symbols = {s for film in films for s in film.wt_pct} | set(core)
    for symbol in sorted(s for s in symbols if s in table.line_kev):
        depth = zero
        total = zero
        for film in films:
            fading = table.per_um(film, symbol) * film.thickness_um
            share = film.wt_pct.get(symbol, 0.0) / sum(film.wt_pct.values())
            total = total + 100.0 * share * np.exp(-depth) * (1.0 - np.exp(-fading))
            depth = depth + fading
        from_films[symbol] = total
        signal[symbol] = total + core.get(symbol, 0.0) * np.exp(-depth)
    return _scaled(signal, from_films)


def seen_by_laser(
    films: Sequence[Film], core: Mapping[str, float | FloatArray], depth_um: float, unseen: frozenset[str]
) -> Seen:
    """Return what a laser plasma reads of films and metal [wt %].

    Args:
        films: From the outside in; each thickness of the same shape (n,).
        core: Composition of the metal beneath [wt %]; for several metals as with x-rays.
        depth_um: Depth within which the plasma takes 63 % of its matter [µm], > 0.
        unseen: Elements whose lines the plasma does not show.

    Valid: matter is weighted by exp(-z/depth); craters of real lasers are bowls of 1 to 10 µm (memory).
    """
    zero = np.zeros_like(films[0].thickness_um) if films else np.zeros(1)
    top = zero
    signal: dict[str, FloatArray] = {}
    from_films: dict[str, FloatArray] = {}
    for film in films:
        bottom = top + film.thickness_um
        weight = np.exp(-top / depth_um) - np.exp(-bottom / depth_um)
        total = sum(film.wt_pct.values())
        for symbol, content in film.wt_pct.items():
            if symbol not in unseen:
                from_films[symbol] = from_films.get(symbol, zero) + 100.0 * content / total * weight
        top = bottom
    for symbol in set(core) | set(from_films):
        if symbol not in unseen:
            beneath = core.get(symbol, 0.0) * np.exp(-top / depth_um)
            signal[symbol] = from_films.get(symbol, zero) + beneath
    return _scaled(signal, from_films)


def _scaled(signal: Mapping[str, FloatArray], from_films: Mapping[str, FloatArray]) -> Seen:
    total = np.maximum(sum(signal.values()), 1e-12)
    films = sum((from_films[s] for s in signal if s in from_films), np.zeros_like(total))
    wt_pct = {symbol: 100.0 * value / total for symbol, value in signal.items()}
    return Seen(wt_pct=MappingProxyType(wt_pct), skin_share=films / total)
