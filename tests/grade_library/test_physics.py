"""Physical properties: what is refused, and that the figures behave."""

import pytest

from grade_library.bench.magnet_odds import compile_magnet, magnet_odds
from grade_library.bench.physics import (
    density_by_mixture,
    hydrostatic_density,
    water_density,
)
from grade_library.errors import ObservationError
from grade_library.library import load


@pytest.mark.parametrize(
    ("air", "water"), [(100.0, 100.0), (100.0, 120.0), (0.0, 0.0), (float("nan"), 1.0), (50.0, -1.0)]
)
def test_an_impossible_weighing_is_refused(air: float, water: float) -> None:
    """A piece that is not lighter in water than in air has no density."""
    with pytest.raises(ObservationError, match="lighter in water"):
        hydrostatic_density(air, water)


def test_ice_and_steam_are_no_water() -> None:
    """The formula holds from 0 to 40 °C only."""
    with pytest.raises(ObservationError, match="0 to 40"):
        water_density(60.0)


def test_no_composition_no_density() -> None:
    """An empty composition is an error, not a density of zero."""
    with pytest.raises(ObservationError):
        density_by_mixture({})


def test_a_smaller_piece_is_weighed_less_surely() -> None:
    """The same scale tells a tenth of the piece ten times worse."""
    large, small = hydrostatic_density(842.6, 741.0), hydrostatic_density(84.26, 74.10)

    assert large.sigma is not None and small.sigma is not None
    assert small.sigma > 8 * large.sigma


def test_magnet_odds_are_chances_for_every_grade() -> None:
    """None, weak and strong sum to one and each stays possible, with and without a reading."""
    model = compile_magnet(load())

    for values in ({}, {"Cr": 18.0, "Ni": 8.0}, {"Cu": 31.0, "Ni": 65.0}, {"Cr": 60.0}):
        odds = magnet_odds(model, values)
        assert odds.sum(axis=1) == pytest.approx(1.0)
        assert (odds > 0.0).all()


def test_lean_304_pulls_more_easily_than_310() -> None:
    """Cold-work martensite: the leaner the austenite, the likelier a pull; castings pull by their ferrite."""
    library = load()
    model = compile_magnet(library)
    usual = magnet_odds(model, {})

    def pull(grade_id: str) -> float:
        return 1.0 - float(usual[library.index_of(grade_id), 0])

    assert pull("301") > pull("304") > pull("316") >= pull("310") - 1e-9
    assert pull("CF8") > 0.6
    assert pull("430") > 0.9


def test_the_reading_overrules_the_usual_composition() -> None:
    """A 304 read with 10.4 % nickel pulls less than one with 8.0 %."""
    library = load()
    model, row = compile_magnet(library), library.index_of("304")

    lean = magnet_odds(model, {"Cr": 18.0, "Ni": 8.0, "Mn": 1.2})[row, 0]
    rich = magnet_odds(model, {"Cr": 19.0, "Ni": 10.4, "Mn": 1.8})[row, 0]

    assert rich > lean + 0.2
