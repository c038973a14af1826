"""The coatings: complete, cited, and known to the cautions."""

import copy
import tomllib
from importlib import resources

import pytest

from grade_library.cautions import all_cautions, cautions_for
from grade_library.errors import GradeDataError
from grade_library.facts import PieceFacts
from grade_library.grade import Colour
from grade_library.skin.coatings import (
    ANY_GROUP,
    Coating,
    all_coatings,
    coating_named,
    coatings_from,
    sources,
)
from grade_library.verdict import SkinVerdict, Verdict

ASKED_FOR = (
    "chromium over nickel",
    "nickel",
    "electroless nickel",
    "tin",
    "tin-lead",
    "silver",
    "gold",
    "hot-dip zinc",
    "zinc",
    "zinc-nickel",
    "cadmium",
    "copper flash",
    "hard chromium",
    "phosphate",
    "anodising",
    "aluminised",
    "terne",
    "white paint",
    "zinc primer",
    "lead paint",
    "barium paint",
    "chromate primer",
    "dirt",
    "rust",
    "cutting fluid",
    "oxide",
    "lacquer",
    "weld metal",
    "braze metal",
)


def table() -> dict[str, object]:
    data = resources.files("grade_library") / "data" / "coatings.toml"
    return tomllib.loads(data.read_text("utf-8"))


def test_every_coating_that_a_yard_meets_is_there() -> None:
    """Platings, zincs, paints, dirt and joints all have an entry."""
    assert {coating.name for coating in all_coatings()} >= set(ASKED_FOR)


@pytest.mark.parametrize("coating", all_coatings(), ids=lambda coating: coating.name)
def test_an_entry_says_all_that_a_sorter_needs(coating: Coating) -> None:
    """Elements, thickness, substrates, look, way through and what it is taken for are stated."""
    assert coating.layers and coating.substrates
    assert all(layer.wt_pct and 0 < layer.least_um <= layer.most_um for layer in coating.layers)
    assert all(layer.density_g_cm3 > 0.5 for layer in coating.layers)
    for words in (coating.look, coating.through, coating.reads_as):
        assert len(words) >= 3
    assert set(coating.sources.values()) <= set(sources())


@pytest.mark.parametrize("coating", all_coatings(), ids=lambda coating: coating.name)
def test_its_cautions_exist(coating: Coating) -> None:
    """A caution named for a coating is a caution."""
    known = {caution.caution_id: caution for caution in all_cautions()}
    for caution_id in coating.cautions:
        assert caution_id in known


@pytest.mark.parametrize(
    ("coating", "caution_id"),
    [
        ("cadmium", "CD"),
        ("tin-lead", "PB"),
        ("terne", "PB"),
        ("lead paint", "PB"),
        ("hard chromium", "CR6"),
        ("chromate primer", "CR6"),
        ("zinc", "ZN"),
        ("hot-dip zinc", "ZN"),
        ("zinc-nickel", "ZN"),
        ("zinc primer", "ZN"),
    ],
)
def test_a_dangerous_coating_fires_its_caution(coating: str, caution_id: str) -> None:
    """The caution stands with the piece as soon as its coating is suspected."""
    skin = SkinVerdict(
        is_suspected=True, coating=coating, probability=0.9, shares=(0.9,), has_arrived=False, core=()
    )
    verdict = Verdict(candidates=(), unlisted=1.0, skin=skin)

    fired = {caution.caution_id for caution in cautions_for(verdict=verdict, facts=PieceFacts())}

    assert caution_id in coating_named(coating).cautions
    assert caution_id in fired


def test_every_coating_of_a_caution_is_a_coating() -> None:
    """cautions.toml names no coating that the library cannot suspect, "chromate" films apart."""
    names = {coating.name for coating in all_coatings()} | {"chromate"}
    for caution in all_cautions():
        assert caution.coatings <= names


def test_a_coating_on_any_group_counts_for_groups_that_are_not_named() -> None:
    """Dirt lies on everything, chromium plating only where it is usual."""
    dirt, chromium = coating_named("dirt"), coating_named("chromium over nickel")
    assert dirt.substrate_weight("cobalt") == dirt.substrates[ANY_GROUP] > 0
    assert chromium.substrate_weight("cobalt") == 0.0


def test_white_platings_hide_a_yellow_metal() -> None:
    """The colours of a plating are those of its surface, not of the metal beneath."""
    assert Colour.YELLOW not in coating_named("chromium over nickel").colours
    assert Colour.GOLDEN in coating_named("gold").colours


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"met": 1.5}, "met"),
        ({"substrates": {"cheese": 1}}, "cheese"),
        ({"layers": [{"wt_pct": {"Xx": 100}, "um": [1, 2]}]}, "Xx"),
        ({"layers": [{"wt_pct": {"Sn": 100}, "um": [5, 2]}]}, "um"),
        ({"layers": [{"wt_pct": {"Sn": 40}, "um": [1, 2]}]}, "sums"),
        ({"sources": {"um": "hearsay"}}, "hearsay"),
        ({"colours": ["mauve"]}, "mauve"),
    ],
)
def test_a_broken_entry_names_coating_and_value(change: dict[str, object], words: str) -> None:
    """A wrong figure is found at loading, with the coating and the value in the message."""
    broken = copy.deepcopy(table())
    broken["tin"].update(change)  # type: ignore[attr-defined]
    with pytest.raises(GradeDataError, match=rf"\[tin\].*{words}"):
        coatings_from(broken)


def test_a_missing_value_is_named() -> None:
    """An entry without its look says so."""
    broken = copy.deepcopy(table())
    del broken["zinc"]["look"]  # type: ignore[attr-defined]
    with pytest.raises(GradeDataError, match=r"\[zinc\]: look is missing"):
        coatings_from(broken)
