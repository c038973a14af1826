"""Physical properties from composition and from simple weighing: density, magnetism, conductivity."""

import math
from collections.abc import Mapping
from types import MappingProxyType

from grade_library.elements import ELEMENTS
from grade_library.errors import ObservationError
from grade_library.facts import Measured

AIR_DENSITY_G_CM3 = 0.0012
"""Density of air near 20 °C at sea level [g/cm3] (memory: 0.001204 at 20 °C, 101.325 kPa)."""


IACS_RESISTIVITY_UOHM_CM = 172.41
"""% IACS times resistivity [µΩ cm]: 100 % IACS is 1.7241 µΩ cm at 20 °C (International Annealed Copper
Standard)."""


def density_by_mixture(
    wt_pct: Mapping[str, float], effective: Mapping[str, float] = MappingProxyType({})
) -> float:
    """Return the density of an alloy from its composition [g/cm3]: specific volumes add.

    Args:
        wt_pct: Symbol -> mass fraction [wt %]; the sum is taken as 100 whatever it is.
        effective: Density of an element in this metal [g/cm3], where it is not that of the element itself.

    Raises:
        ObservationError: No element with a known density is given.

    Valid: within 0.5 % for wrought aluminium, cupronickel, leaded tin bronze, titanium, zinc-aluminium and
        most nickel alloys; 1.4 to 4.6 % too low for brass, aluminium and silicon bronze and austenitic
        stainless, whose atoms pack closer.
    Source: inverse rule of mixtures; element densities in elements.py.

    >>> round(density_by_mixture({"Cu": 70.0, "Zn": 30.0}), 2)
    8.32
    """
    mass = volume = 0.0
    for symbol, share in wt_pct.items():
        own = ELEMENTS[symbol].density_g_cm3 if symbol in ELEMENTS else None
        density = effective.get(symbol, own)
        if density is not None and share > 0.0:
            mass += share
            volume += share / density
    if volume <= 0.0:
        raise ObservationError("no density without a composition: name at least one metal with its wt %")
    return mass / volume


def water_density(celsius: float) -> float:
    """Return the density of air-free water [g/cm3].

    Args:
        celsius: Water temperature [°C], 0..40.

    Raises:
        ObservationError: The temperature lies outside 0..40 °C.

    Valid: 0 to 40 °C, a few 1e-6; bucket water is off by about 1e-4.
    Source: Tanaka et al., Metrologia 38 (2001) 301-309, equation 1.

    >>> round(water_density(25.0), 6)
    0.997047
    """
    if not 0.0 <= celsius <= 40.0:
        raise ObservationError(f"water at {celsius:g} °C: needs 0 to 40")
    a1, a2, a3, a4, a5 = -3.983035, 301.797, 522528.9, 69.34881, 999.97495
    return a5 * (1.0 - (celsius + a1) ** 2 * (celsius + a2) / (a3 * (celsius + a4))) / 1000.0


def hydrostatic_density(
    air_g: float,
    water_g: float,
    *,
    celsius: float = 20.0,
    sigma_g: float = 0.1,
    sigma_celsius: float = 1.0,
) -> Measured:
    """Return the density of a piece weighed in air and hanging in water [g/cm3], with its standard
    uncertainty.

    Args:
        air_g, water_g: Readings of the scale in air and with the piece under water [g], 0 <= water_g < air_g.
        celsius, sigma_celsius: Water temperature [°C], 0..40, and its standard uncertainty.
        sigma_g: Standard uncertainty of each weighing [g].

    Raises:
        ObservationError: The piece weighs as much in water as in air, or a value is impossible.

    Valid: solid, clean, non-porous pieces; trapped air or a hollow always makes the result too low.
    Source: ρ = m_a/(m_a−m_w)·(ρ_w−ρ_air) + ρ_air; uncertainty by the law of propagation (JCGM 100, 5.1.2).

    >>> found = hydrostatic_density(842.6, 741.0)
    >>> round(found.value, 3), round(found.sigma, 4)
    (8.27, 0.011)
    """
    if not (math.isfinite(air_g) and math.isfinite(water_g) and 0.0 <= water_g < air_g):
        raise ObservationError(
            f"{air_g:g} g in air and {water_g:g} g in water: the piece must be lighter in water than in air"
        )
    rho_water = water_density(celsius)
    displaced = air_g - water_g
    buoyant = rho_water - AIR_DENSITY_G_CM3
    value = air_g / displaced * buoyant + AIR_DENSITY_G_CM3
    terms = (
        water_g / displaced**2 * buoyant * sigma_g,
        air_g / displaced**2 * buoyant * sigma_g,
        air_g / displaced * _water_slope(celsius) * sigma_celsius,
    )
    return Measured(value=value, sigma=math.hypot(*terms))


def _water_slope(celsius: float) -> float:
    """Return how the density of water changes with its temperature [g/cm3 per °C]."""
    below, above = max(celsius - 0.5, 0.0), min(celsius + 0.5, 40.0)
    return (water_density(above) - water_density(below)) / (above - below)
