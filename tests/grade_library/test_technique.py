"""Technique profiles: what is seen, how well, and a yard's own."""

import tomllib
from importlib import resources

import pytest

from grade_library.elements import ELEMENTS
from grade_library.errors import GradeDataError
from grade_library.technique import profiles, profiles_from


def test_x_rays_see_no_carbon_and_a_laser_sees_no_nitrogen() -> None:
    """The light elements that decide 304 from 304L are unseen by x-ray; laser sees carbon but not
    nitrogen."""
    assert {"C", "N", "Be", "Li", "B"} <= profiles()["xrf"].unseen
    assert "C" not in profiles()["libs"].unseen
    assert "N" in profiles()["libs"].unseen
    assert not profiles()["lab"].unseen


def test_uncertainty_grows_from_the_floor_to_a_share_of_the_value() -> None:
    """Near zero the uncertainty is a, far above it is b times the value: 18 % Cr by x-ray is 0.2 to 0.3."""
    model = profiles()["xrf"].model("Cr")

    assert model.sigma(0.0) == pytest.approx(model.a)
    assert model.sigma(100.0) == pytest.approx(100.0 * model.b, rel=0.01)
    assert 0.2 <= model.sigma(18.0) <= 0.3


def test_every_figure_names_a_known_source() -> None:
    """Each error model and overlap of the data file cites memory or a source that the file lists."""
    text = (resources.files("grade_library") / "data" / "techniques.toml").read_text("utf-8")
    table = tomllib.loads(text)
    listed = set(table.pop("sources"))

    for key, profile in table.items():
        blocks = [profile["usual"], *profile["elements"].values(), *profile.get("overlaps", [])]
        assert all(block["source"] in listed for block in blocks), key
        assert set(profile["elements"]) <= set(ELEMENTS), key


def test_a_detection_limit_is_never_below_the_scatter_of_a_blank() -> None:
    """A limit below 1.645 standard deviations of a blank would call noise an element (Currie)."""
    for profile in profiles().values():
        for model in (profile.usual, *profile.elements.values()):
            assert model.lod >= 1.645 * model.a


def test_a_yards_own_profile_starts_from_a_shipped_one() -> None:
    """`like` takes over everything that the yard does not state itself."""
    own = profiles_from(
        {
            "bench2": {
                "like": "xrf",
                "label": "old analyser",
                "elements": {"Pb": {"a": 0.1, "b": 0.1, "lod": 0.2}},
            }
        }
    )

    assert own["bench2"].label == "old analyser"
    assert own["bench2"].sigma("Pb", 0.0) == pytest.approx(0.1)
    assert own["bench2"].sigma("Cr", 18.0) == own["xrf"].sigma("Cr", 18.0)
    assert own["bench2"].unseen == own["xrf"].unseen


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ({"x": {"elements": {}}}, "needs `like`"),
        ({"x": {"like": "xrf", "elements": {"PB": {"a": 1, "b": 0, "lod": 1}}}}, "not a chemical element"),
        ({"x": {"like": "xrf", "elements": {"Pb": {"a": 0, "b": 0, "lod": 1}}}}, "above 0"),
        ({"x": {"like": "xrf", "elements": {"Pb": {"a": 0.1, "b": 3, "lod": 1}}}}, "0 to 1"),
        ({"x": {"like": "xrf", "elements": {"Pb": {"a": 0.1, "b": 0.1}}}}, "lod"),
        ({"x": {"like": "xrf", "unsen": []}}, "unsen"),
        ({"x": 3}, "needs a table"),
    ],
)
def test_a_wrong_profile_is_refused_with_its_name(table: dict[str, object], message: str) -> None:
    """The message names the technique and what would be right."""
    with pytest.raises(GradeDataError, match=message) as caught:
        profiles_from(table)

    assert "technique x" in str(caught.value)


def test_a_failed_daily_check_widens_a_profile() -> None:
    """Widening Cr twofold doubles its uncertainty and leaves the others and the original alone."""
    shipped = profiles()["xrf"]

    wide = shipped.widened({"Cr": 2.0})

    assert wide.sigma("Cr", 18.0) == pytest.approx(2.0 * shipped.sigma("Cr", 18.0))
    assert wide.sigma("Ni", 8.0) == shipped.sigma("Ni", 8.0)
