"""Density, magnetism and conductivity against published figures and worked examples."""

import pytest
from uncertainties import ufloat

from grade_library.bench.magnetism import (
    atomic_pct_copper,
    curie_point_nickel_copper,
    ferrite_number,
    md30_nohara,
    wrc_equivalents,
)
from grade_library.bench.physics import (
    AIR_DENSITY_G_CM3,
    density_by_mixture,
    hydrostatic_density,
    water_density,
)


def _filled(base: str, others: dict[str, float]) -> dict[str, float]:
    return {**others, base: 100.0 - sum(others.values())}


def test_published_worked_example_of_aluminium_density() -> None:
    """Al with 3 % Cu, 1 % Fe, 0.5 % Mg is 2.77 g/cm3 (note on aluminium density, trading-signal.cn)."""
    assert density_by_mixture(_filled("Al", {"Cu": 3.0, "Fe": 1.0, "Mg": 0.5})) == pytest.approx(
        2.77, abs=0.005
    )


# Published: aluminium density chart, aluminium-sheet-plate.com, and amesweb "Density of Aluminum";
# compositions mid-range.
ALUMINIUM = {
    "1100": ({"Cu": 0.12, "Fe": 0.5, "Si": 0.3}, 2.71),
    "2011": ({"Cu": 5.5, "Bi": 0.4, "Pb": 0.4, "Fe": 0.3, "Si": 0.2}, 2.83),
    "2014": ({"Cu": 4.4, "Si": 0.8, "Mn": 0.8, "Mg": 0.5, "Fe": 0.3}, 2.80),
    "2024": ({"Cu": 4.4, "Mn": 0.6, "Mg": 1.5, "Fe": 0.25, "Si": 0.25}, 2.78),
    "3003": ({"Mn": 1.2, "Cu": 0.12, "Fe": 0.4, "Si": 0.3}, 2.73),
    "4032": ({"Si": 12.2, "Mg": 1.0, "Cu": 0.9, "Ni": 0.9, "Fe": 0.5}, 2.68),
    "5052": ({"Mg": 2.5, "Cr": 0.25, "Fe": 0.25, "Si": 0.15}, 2.68),
    "6061": ({"Mg": 1.0, "Si": 0.6, "Cu": 0.28, "Cr": 0.2, "Fe": 0.4}, 2.70),
    "7075": ({"Zn": 5.6, "Mg": 2.5, "Cu": 1.6, "Cr": 0.23, "Fe": 0.25, "Si": 0.2}, 2.81),
}


@pytest.mark.parametrize("grade", ALUMINIUM)
def test_density_by_mixture_meets_published_aluminium_densities(grade: str) -> None:
    """Within 0.6 % of the published density of wrought aluminium."""
    others, published = ALUMINIUM[grade]

    assert density_by_mixture(_filled("Al", others)) == pytest.approx(published, rel=0.006)


def test_water_density_of_tanaka() -> None:
    """Tanaka et al., Metrologia 38 (2001) 301: 997.0470 kg/m3 at 25 °C, 998.2067 at 20 °C, 992.2152 at 40
    °C."""
    assert 1000 * water_density(25.0) == pytest.approx(997.0470, abs=0.0002)
    assert 1000 * water_density(20.0) == pytest.approx(998.2067, abs=0.0002)
    assert 1000 * water_density(40.0) == pytest.approx(992.2152, abs=0.0002)


@pytest.mark.parametrize(
    ("air_g", "water_g", "sigma_g"), [(842.6, 741.0, 0.1), (50.0, 44.1, 0.05), (2711.0, 1710.0, 0.5)]
)
def test_hydrostatic_density_budget_agrees_with_uncertainties(
    air_g: float, water_g: float, sigma_g: float
) -> None:
    """Value and uncertainty equal what the uncertainties package propagates (JCGM 100)."""
    air, water = ufloat(air_g, sigma_g), ufloat(water_g, sigma_g)
    slope = (water_density(20.5) - water_density(19.5)) / 1.0
    rho_water = water_density(20.0) + slope * ufloat(0.0, 1.0)
    expected = air / (air - water) * (rho_water - AIR_DENSITY_G_CM3) + AIR_DENSITY_G_CM3

    found = hydrostatic_density(air_g, water_g, sigma_g=sigma_g)

    assert found.value == pytest.approx(expected.nominal_value, rel=1e-9)
    assert found.sigma == pytest.approx(expected.std_dev, rel=1e-6)


# Compositions and equivalents worked from the published formulas (WRC-1992: Kotecki and Siewert; DeLong
# 1973). c, n, si, mn, cr, ni, mo, cu -> WRC Creq, Nieq, DeLong Creq, Nieq
EQUIVALENTS = {
    "304 lean": ((0.05, 0.05, 0.5, 1.5, 18.2, 8.1, 0.2, 0.3), (18.40, 10.925)),
    "316": ((0.04, 0.05, 0.5, 1.5, 16.8, 10.2, 2.1, 0.3), (18.90, 12.675)),
    "305": ((0.05, 0.03, 0.5, 1.5, 18.0, 12.0, 0.2, 0.2), (18.20, 14.40)),
    "308L weld": ((0.02, 0.05, 0.4, 1.7, 19.9, 10.1, 0.1, 0.1), (20.00, 11.825)),
    "2205": ((0.02, 0.17, 0.5, 1.4, 22.3, 5.5, 3.1, 0.2), (25.40, 9.65)),
    "310": ((0.05, 0.05, 0.5, 1.5, 25.0, 20.0, 0.2, 0.1), (25.20, 22.775)),
}


@pytest.mark.parametrize("piece", EQUIVALENTS)
def test_chromium_and_nickel_equivalents(piece: str) -> None:
    """WRC-1992 equivalents come out as worked by hand."""
    (c, n, _si, _mn, cr, ni, mo, cu), expected = EQUIVALENTS[piece]

    wrc = wrc_equivalents(cr=cr, ni=ni, mo=mo, nb=0.0, c=c, n=n, cu=cu)

    assert wrc == pytest.approx(expected, abs=0.006)


def test_ferrite_number_tells_none_some_a_lot() -> None:
    """310 none, 304 and 308L some (3 to 12), 2205 a lot (20 to 70): common practice of weld metal."""
    numbers = {}
    for piece, ((c, n, _si, _mn, cr, ni, mo, cu), _expected) in EQUIVALENTS.items():
        numbers[piece] = float(ferrite_number(*wrc_equivalents(cr=cr, ni=ni, mo=mo, nb=0.0, c=c, n=n, cu=cu)))

    assert numbers["310"] == 0.0
    assert 3 < numbers["304 lean"] < 12
    assert 3 < numbers["308L weld"] < 12
    assert 20 < numbers["2205"] < 70


# c, n, si, mn, cr, ni, mo, cu -> Nohara 1977 at grain size 8 [°C]
MD30 = {
    "301": ((0.10, 0.04, 0.5, 1.2, 17.0, 7.0, 0.2, 0.2), 26.6),
    "304 lean": ((0.05, 0.05, 0.5, 1.5, 18.2, 8.1, 0.2, 0.3), -8.6),
    "304 rich": ((0.06, 0.06, 0.4, 1.7, 18.8, 9.5, 0.3, 0.4), -72.1),
    "305": ((0.05, 0.03, 0.5, 1.5, 18.0, 12.0, 0.2, 0.2), -106.8),
    "316": ((0.04, 0.05, 0.5, 1.5, 16.8, 10.2, 2.1, 0.3), -80.8),
    "310": ((0.05, 0.05, 0.5, 1.5, 25.0, 20.0, 0.2, 0.1), -441.0),
    "201": ((0.08, 0.15, 0.5, 6.5, 16.8, 4.5, 0.1, 0.3), 16.3),
}


@pytest.mark.parametrize("piece", MD30)
def test_md30_temperatures(piece: str) -> None:
    """Nohara (1977; EN 10088-1, annex C) comes out as worked by hand."""
    (c, n, si, mn, cr, ni, mo, cu), nohara = MD30[piece]

    found = md30_nohara(cr=cr, ni=ni, mo=mo, si=si, mn=mn, c=c, n=n, cu=cu, nb=0.0)
    assert found == pytest.approx(nohara, abs=0.5)


def test_curie_point_of_nickel_copper_crosses_room_temperature() -> None:
    """31.5 wt % Cu is 29.81 at %; over 28 to 34 % Cu the Curie point falls through the 20 to 50 °C that
    producers state."""
    assert atomic_pct_copper(31.5) == pytest.approx(29.81, abs=0.005)
    assert curie_point_nickel_copper(28.0) > 50.0
    assert curie_point_nickel_copper(34.0) < 20.0
    assert curie_point_nickel_copper(0.0) == pytest.approx(356.0, abs=3.0)
