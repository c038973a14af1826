"""What a thin film does to light elements, and what a mixture of skin and core reads as, against xraylib."""

import numpy as np
import pytest
import xraylib

from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.library import load
from grade_library.matcher.matching import identify
from grade_library.skin.remnant import LIGHT_KEV


@pytest.mark.parametrize("symbol", sorted(LIGHT_KEV))
def test_light_lines_have_the_energies_of_the_tables(symbol: str) -> None:
    """K alpha energies of light elements. Source: xraylib, LineEnergy."""
    z = xraylib.SymbolToAtomicNumber(symbol)

    assert LIGHT_KEV[symbol] == pytest.approx(xraylib.LineEnergy(z, xraylib.KA_LINE), abs=0.006)


@pytest.mark.parametrize("absorber", ["Cr", "Fe", "Ni", "Cu", "Zn"])
@pytest.mark.parametrize("symbol", ["Si", "P", "S", "Cl"])
def test_a_film_weakens_light_lines_about_as_the_energy_to_the_power_of_minus_2_8(
    absorber: str, symbol: str
) -> None:
    """Optical depth of a film for one line against that for aluminium, between the edges. Source: xraylib,
    CS_Total."""
    z = xraylib.SymbolToAtomicNumber(absorber)
    depth = {s: xraylib.CS_Total(z, LIGHT_KEV[s]) for s in ("Al", symbol)}

    assert (LIGHT_KEV["Al"] / LIGHT_KEV[symbol]) ** 2.8 == pytest.approx(
        depth[symbol] / depth["Al"], rel=0.15
    )


def test_aluminium_beneath_a_thin_nickel_film_stays_aluminium() -> None:
    """0.1 µm of nickel over an alloy of 6061's middle swallows most of a third of the aluminium line and
    none of the copper's. Source: Beer-Lambert law with xraylib, CS_Total and ElementDensity; composition AMS
    and ASTM B209, middle."""
    core = {"Al": 97.9, "Mg": 1.0, "Si": 0.6, "Cu": 0.28, "Cr": 0.2}
    nickel, um = xraylib.SymbolToAtomicNumber("Ni"), 0.1
    seen = {}
    for symbol, x in core.items():
        kev = xraylib.LineEnergy(xraylib.SymbolToAtomicNumber(symbol), xraylib.KA_LINE)
        depth = (
            xraylib.CS_Total(nickel, kev)
            * xraylib.ElementDensity(nickel)
            * um
            * 1e-4
            / np.sin(np.radians(55))
        )
        seen[symbol] = x * float(np.exp(-depth))
    seen["Ni"] = 2.0
    total = sum(seen.values())
    values = {symbol: 100.0 * x / total for symbol, x in seen.items() if x > 0.05}

    shot = Shot(reading=Reading(values=values, technique="xrf"), is_ground=True)
    verdict = identify(PieceFacts(shots=(shot,)), load())

    by_group = {m.group: 0.0 for m in verdict.families}
    for member in verdict.families:
        by_group[member.group] += member.probability
    assert by_group["aluminium"] > 0.95
