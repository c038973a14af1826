"""How films fade what lies beneath them."""

import numpy as np
import pytest

from grade_library.skin.attenuation import Film, attenuation, seen_by_laser, seen_by_x_ray


def film(symbol: str, density: float, *um: float) -> Film:
    return Film(wt_pct={symbol: 100.0}, density_g_cm3=density, thickness_um=np.array(um))


def test_no_film_reads_the_core() -> None:
    """Without films the reading is the metal."""
    seen = seen_by_x_ray([film("Ni", 8.9, 0.0)], {"Cu": 70.0, "Zn": 30.0})
    assert seen.wt_pct["Cu"][0] == pytest.approx(70.0)
    assert seen.skin_share[0] == pytest.approx(0.0, abs=1e-12)


def test_the_share_of_the_skin_rises_with_its_thickness_to_one() -> None:
    """A thicker film hides more, and a very thick one everything."""
    share = seen_by_x_ray([film("Zn", 7.13, 1, 5, 12, 25, 500)], {"Fe": 100.0}).skin_share
    assert np.all(np.diff(share) > 0)
    assert share[-1] > 0.999


def test_nickel_hides_the_zinc_of_brass_more_than_its_copper() -> None:
    """Zinc's line lies just above nickel's edge and copper's below it: plated brass reads rich in copper."""
    seen = seen_by_x_ray([film("Ni", 8.9, 8.0)], {"Cu": 63.0, "Zn": 37.0})
    assert seen.wt_pct["Cu"][0] / seen.wt_pct["Zn"][0] > 2.0 * 63.0 / 37.0


def test_layers_fade_what_lies_beneath_in_their_order() -> None:
    """A quarter micrometre of chromium shows the nickel beneath; both together hide iron."""
    chromium, nickel = film("Cr", 7.19, 0.25), film("Ni", 8.9, 20.0)
    seen = seen_by_x_ray([chromium, nickel], {"Fe": 100.0})
    assert 1.0 < seen.wt_pct["Cr"][0] < 6.0
    assert seen.wt_pct["Ni"][0] > 85.0
    assert seen.wt_pct["Fe"][0] < 10.0


def test_elements_without_a_line_are_not_seen_by_x_rays() -> None:
    """Carbon and oxygen of a paint fade the metal but read as nothing."""
    paint = Film(wt_pct={"C": 60.0, "O": 40.0}, density_g_cm3=1.2, thickness_um=np.array([80.0]))
    seen = seen_by_x_ray([paint], {"Fe": 99.0, "Si": 1.0})
    assert set(seen.wt_pct) == {"Fe", "Si"}
    assert seen.wt_pct["Si"][0] < 0.5


def test_a_laser_sees_a_few_micrometres() -> None:
    """Twenty micrometres of nickel hide everything from a plasma that digs two and a half."""
    thin, thick = seen_by_laser([film("Ni", 8.9, 1.0, 20.0)], {"Fe": 100.0}, 2.5, frozenset()).skin_share
    assert 0.2 < thin < 0.5
    assert thick > 0.999


def test_an_absorber_without_a_row_takes_its_neighbour() -> None:
    """Chlorine of a cutting fluid fades like sulfur."""
    table = attenuation()
    assert table.coefficient("Cl", "Fe") == table.coefficient("S", "Fe")
