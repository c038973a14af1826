"""The attenuation table against xraylib, and transmissions against worked numbers."""

import math

import numpy as np
import pytest
import xraylib

from grade_library.elements import ELEMENTS
from grade_library.skin.attenuation import Film, attenuation, seen_by_x_ray

L_LINES = {"Ba", "Ta", "W", "Au", "Pb", "Bi"}


@pytest.mark.parametrize("symbol", attenuation().line_kev)
def test_line_energies_are_those_of_xraylib(symbol: str) -> None:
    """Source: xraylib, LineEnergy, weighted K alpha or L alpha."""
    line = xraylib.LA_LINE if symbol in L_LINES else xraylib.KA_LINE
    assert attenuation().line_kev[symbol] == pytest.approx(
        xraylib.LineEnergy(ELEMENTS[symbol].number, line), abs=0.002
    )


@pytest.mark.parametrize("absorber", attenuation().mass_attenuation)
def test_coefficients_are_those_of_xraylib(absorber: str) -> None:
    """Every figure within 0.5 % of the total cross section. Source: xraylib, CS_Total."""
    table = attenuation()
    energies = {**table.line_kev, "soft": 20.0, "hard": 40.0}
    for line, kev in energies.items():
        published = xraylib.CS_Total(ELEMENTS[absorber].number, kev)
        assert table.coefficient(absorber, line) == pytest.approx(published, rel=5e-3), line


@pytest.mark.parametrize(
    ("films", "transmission"),
    [
        ([("Zn", 7.13, 12.0)], 0.270),
        ([("Ni", 8.90, 20.0), ("Cr", 7.19, 0.25)], 0.089),
        ([("Ni", 8.90, 10.0)], 0.317),
    ],
)
def test_escape_of_iron_through_platings(films: list[tuple[str, float, float]], transmission: float) -> None:
    """Fe K alpha leaving at 45° through zinc 12 µm, nickel 20 µm with chromium 0.25 µm, nickel 10 µm.

    Source: derived from total cross sections of xraylib 4.3.0 (worked numbers; no published table).
    """
    table = attenuation()
    depth = sum(rho * table.coefficient(symbol, "Fe") * um * 1e-4 for symbol, rho, um in films)
    assert math.exp(-depth / table.sin_takeoff) == pytest.approx(transmission, abs=0.002)


@pytest.mark.parametrize(
    ("symbol", "density", "um", "core", "percent"),
    [
        ("Zn", 7.13, (5, 8, 12, 25), "Fe", (42, 62, 79, 97)),
        ("Ni", 8.90, (5, 10, 20, 40), "Fe", (49, 76, 95, 100)),
        ("Ni", 8.90, (5, 10), "Cu", (42, 66)),
        ("Sn", 7.30, (5,), "Cu", (37,)),
        ("Sn", 7.30, (8,), "Fe", (92,)),
        ("Cd", 8.65, (5, 8, 12.7), "Fe", (70, 94, 100)),
        ("Ag", 10.49, (5, 20), "Cu", (54, 100)),
        ("Cr", 7.19, (25,), "Fe", (100,)),
    ],
)
def test_share_of_the_coating_in_the_reading(
    symbol: str, density: float, um: tuple[float, ...], core: str, percent: tuple[int, ...]
) -> None:
    """What part of a reading a plating of standard thickness makes up, to 1.5 % of the reading.

    Source: derived with xraylib 4.3.0 from 1 - exp(-χt) and exp(-χt) at 45°, tube at 20 keV, 40 keV for tin,
    cadmium and silver (worked numbers; no published table).
    """
    film = Film(wt_pct={symbol: 100.0}, density_g_cm3=density, thickness_um=np.array(um, dtype=float))
    share = 100.0 * seen_by_x_ray([film], {core: 100.0}).skin_share
    assert share == pytest.approx(np.array(percent), abs=1.5)


def test_a_plated_fitting_worked_from_cross_sections() -> None:
    """0.3 µm chromium over 8 µm nickel over brass with 63 % copper: every signal from xraylib, CS_Total.

    Fading of a line in a film χ t = ρ t (µ(20 keV) + µ(line)) / sin 45°; the film gives 1 - exp(-χt), what
    lies beneath exp(-χt) of itself, and the sum of all signals is scaled to 100 (Beer-Lambert law).
    """
    films = [("Cr", 7.19, 0.3), ("Ni", 8.90, 8.0)]
    core = {"Cu": 63.0, "Zn": 37.0}
    number = xraylib.SymbolToAtomicNumber
    signal = {}
    for line in ("Cr", "Ni", "Cu", "Zn"):
        kev = xraylib.LineEnergy(number(line), xraylib.KA_LINE)
        above, found = 1.0, 0.0
        for symbol, density, um in films:
            both = sum(xraylib.CS_Total(number(symbol), energy) for energy in (20.0, kev))
            left = math.exp(-density * um * 1e-4 * both / math.sin(math.radians(45.0)))
            found += above * (1.0 - left) * (100.0 if symbol == line else 0.0)
            above *= left
        signal[line] = found + above * core.get(line, 0.0)
    total = sum(signal.values())

    layers = [Film(wt_pct={s: 100.0}, density_g_cm3=rho, thickness_um=np.array([um])) for s, rho, um in films]
    seen = seen_by_x_ray(layers, core)

    for line, value in signal.items():
        assert float(seen.wt_pct[line][0]) == pytest.approx(100.0 * value / total, abs=0.3)
    assert float(seen.skin_share[0]) == pytest.approx((signal["Cr"] + signal["Ni"]) / total, abs=0.003)
