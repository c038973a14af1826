"""Physical properties from composition and from simple weighing: density, magnetism, conductivity."""

import math
from collections.abc import Mapping

from grade_library.elements import ELEMENTS
from grade_library.errors import ObservationError
from grade_library.facts import Measured

AIR_DENSITY_G_CM3 = 0.0012
"""Density of air near 20 °C at sea level [g/cm3] (memory: 0.001204 at 20 °C, 101.325 kPa)."""
IACS_RESISTIVITY_UOHM_CM = 172.41
"""% IACS times resistivity [µΩ cm]: 100 % IACS is 1.7241 µΩ cm at 20 °C (International Annealed Copper
Standard)."""
MS_PER_M_PER_IACS = 0.58
"""100 % IACS is 58.0 MS/m (same standard)."""

# Effective densities of a solute in a host lattice where the plain mixture fails, fitted to the published
# densities of C26000 and C28000 (zinc), aluminium bronzes, silicon bronzes, and 304 and 316 (iron in fcc
# stainless).
_ZINC_IN_BRASS = 7.67
_ALUMINIUM_IN_COPPER = 3.2
_SILICON_IN_COPPER = 3.5
_IRON_IN_AUSTENITE = 8.20


def density_by_mixture(wt_pct: Mapping[str, float]) -> float:
    """Return the density of an alloy from its composition [g/cm3]: specific volumes add.

    Args:
        wt_pct: Symbol -> mass fraction [wt %]; the sum is taken as 100 whatever it is.

    Raises:
        ObservationError: No element with a known density is given.

    Valid: within 0.5 % for wrought aluminium, cupronickel, leaded tin bronze, titanium, zinc-aluminium and
        most nickel alloys; 1.4 to 4.6 % too low for brass, aluminium and silicon bronze and austenitic
        stainless, which `density_of_alloy` corrects.
    Source: inverse rule of mixtures; element densities in elements.py.

    >>> round(density_by_mixture({"Cu": 70.0, "Zn": 30.0}), 2)
    8.32
    """
    return _mixture(wt_pct, {})


def density_of_alloy(wt_pct: Mapping[str, float], *, is_austenitic: bool = False) -> float:
    """Return the density of an alloy [g/cm3], with effective densities where the host lattice shrinks the
    solute.

    Args:
        wt_pct: Symbol -> mass fraction [wt %].
        is_austenitic: The iron is face-centred (300-series stainless and the like).

    Raises:
        ObservationError: No element with a known density is given.

    Valid: within about 0.6 % for brasses of 5 to 40 % zinc, 1 % for aluminium and silicon bronze, 0.5 % for
        304 and 316.
    Source: `density_by_mixture`, with partial densities fitted to published densities of C26000, C28000, 304
        and 316.

    >>> round(density_of_alloy({"Cu": 70.0, "Zn": 30.0}), 2)
    8.53
    """
    special: dict[str, float] = {}
    if wt_pct.get("Cu", 0.0) >= 50.0:
        special = {"Zn": _ZINC_IN_BRASS, "Al": _ALUMINIUM_IN_COPPER, "Si": _SILICON_IN_COPPER}
    elif is_austenitic:
        special = {"Fe": _IRON_IN_AUSTENITE}
    return _mixture(wt_pct, special)


def _mixture(wt_pct: Mapping[str, float], special: Mapping[str, float]) -> float:
    mass = volume = 0.0
    for symbol, share in wt_pct.items():
        density = special.get(symbol, ELEMENTS[symbol].density_g_cm3 if symbol in ELEMENTS else None)
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


def iacs_from_resistivity(uohm_cm: float) -> float:
    """Return the conductivity [% IACS] of a metal of the given resistivity [µΩ cm] at 20 °C.

    >>> round(iacs_from_resistivity(3.92), 2)
    43.98
    """
    return IACS_RESISTIVITY_UOHM_CM / uohm_cm


def iacs_at_20(iacs_pct: float, celsius: float, *, is_copper: bool) -> float:
    """Return the conductivity at 20 °C [% IACS] of a piece measured warm or cold.

    Args:
        iacs_pct: Conductivity as read [% IACS].
        celsius: Temperature of the piece [°C].
        is_copper: Copper or its alloys; aluminium otherwise.

    Valid: 0 to 60 °C; the slope of the resistivity is taken as that of the pure metal (Matthiessen's rule).
    Source: σ(t) = σ20/(1 + α(t−20)); α = 0.00393 at 100 % IACS copper, 0.00403 at 61 % aluminium (memory).
    """
    alpha = 0.00393 * iacs_pct / 100.0 if is_copper else 0.00403 * iacs_pct / 61.0
    return iacs_pct * (1.0 + alpha * (celsius - 20.0))


def eddy_depth_mm(frequency_hz: float, iacs_pct: float, *, permeability: float = 1.0) -> float:
    """Return the standard depth of penetration of an eddy-current probe [mm].

    Source: MIL-STD-1537C, 3.7.2: δ = 656.5/√(f·μr·σ), f in Hz, σ in % IACS.

    >>> round(eddy_depth_mm(60_000.0, 32.0), 3)
    0.474
    """
    return 656.5 / math.sqrt(frequency_hz * permeability * iacs_pct)
