"""An alloy is of the metal that it holds most of; what is mostly of none that the library has waits.

Source: EN 10020 (steel holds more iron than any other element) and ISO 197-1 (copper predominates in a copper
alloy), both from memory.
"""

import numpy as np
import pytest

from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.library import load
from grade_library.matcher.evidence import compiled_for
from grade_library.matcher.matching import identify
from grade_library.matcher.unlisted import SHORT_WT_PCT, UnlistedModel, named_after_log_chance
from grade_library.technique import profiles
from tests.benchmarks.left_out import without


@pytest.mark.parametrize(
    ("values", "technique"),
    [
        # Mass of alkaline cells, read through a torn can: oxides of manganese and zinc (common practice).
        ({"Mn": 55.0, "Zn": 40.0, "Fe": 5.0}, "xrf"),
        ({"U": 99.7}, "xrf"),
        # Cement and plaster in a pipe (common practice).
        ({"Ca": 70.0, "Si": 20.0, "Fe": 6.0, "S": 4.0}, "xrf"),
        # Rare-earth metal of a lighter flint works, no iron in it yet (memory).
        ({"La": 50.0, "Ce": 35.0, "Nd": 10.0, "Pr": 5.0}, "xrf"),
    ],
)
def test_what_is_mostly_of_no_metal_of_the_library_is_of_no_family(
    values: dict[str, float], technique: str
) -> None:
    """No steel or copper leads where the reading is mostly something else."""
    facts = PieceFacts(shots=(Shot(reading=Reading(values=values, technique=technique)),))
    verdict = identify(facts, without(without(load(), "ferroalloy"), "minor metal"))

    assert verdict.no_family > 0.6
    assert all(member.unlisted < 0.05 for member in verdict.families)
    main = max(values, key=lambda symbol: values[symbol])
    assert (f"mostly {main}, as no metal of the library is" in verdict.warnings) is (values[main] >= 50.0)


def test_beneath_a_skin_that_was_ground_the_core_is_named_by_the_same_law() -> None:
    """Tin over ferro-manganese (Mn 75, Fe 25 of the core; memory): no steel beneath it."""
    tinned = Shot(reading=Reading(values={"Sn": 90.0, "Cu": 8.0}))
    ground = Shot(reading=Reading(values={"Mn": 70.0, "Fe": 25.0, "Sn": 4.0}), is_ground=True)
    verdict = identify(PieceFacts(shots=(tinned, ground)), load())

    assert sum(member.probability for member in verdict.families if member.group == "steel") < 0.05


def test_of_a_steel_nothing_is_said_to_be_mostly_of_another_metal() -> None:
    """Iron is the metal of many grades."""
    verdict = identify(PieceFacts(shots=(Shot(reading=Reading(values={"Fe": 98.0, "Mn": 1.0})),)), load())

    assert not any(warning.startswith("mostly") for warning in verdict.warnings)


def _model() -> UnlistedModel:
    library = load()
    return compiled_for(library).readable(library, profiles()["lab"]).unlisted


def _chance(family: str, values: dict[str, float], stray: float = 0.0) -> float:
    """Return what the law says of a family [nats], of its kinds the one that it suits best."""
    model, elements = _model(), load().elements
    content = np.full(len(elements), np.nan)
    for symbol, x in values.items():
        content[elements.index(symbol)] = x
    at = [k for k, kind in enumerate(model.kinds.kinds) if kind.family == family]
    return float(named_after_log_chance(model, content, stray)[at].max())


def test_the_element_that_predominates_names_the_metal() -> None:
    """More iron than any other is steel; a little less is seldom steel, and much less never."""
    assert _chance("structural steel", {"Fe": 51.0, "Mn": 49.0}) == 0.0
    assert _chance("structural steel", {"Fe": 47.0, "Mn": 53.0}) == pytest.approx(-6.0 / SHORT_WT_PCT)
    assert _chance("structural steel", {"Fe": 20.0, "V": 80.0}) == -20.0
    assert _chance("copper", {"Fe": 99.0, "Cu": 1.0}) == -20.0
    # Nickel-iron is of both, as listed grades of the family are.
    assert _chance("soft-magnetic alloy", {"Fe": 20.0, "Ni": 80.0}) == 0.0
    assert _chance("soft-magnetic alloy", {"Fe": 52.0, "Ni": 48.0}) == 0.0


def test_what_was_not_read_may_be_the_metal_itself() -> None:
    """Chromium and nickel alone leave room for iron; an element that no grade names takes that room."""
    assert _chance("austenitic stainless", {"Cr": 18.0, "Ni": 8.0}) == 0.0
    assert _chance("austenitic stainless", {"Cr": 18.0, "Ni": 8.0}, stray=70.0) < -15.0
