"""Whose metal may go to whose buyer."""

from dataclasses import replace

import pytest

from console.yard.file.yard_file import load_yard
from console.yard.selling.outlets import outlets_of, refusals
from console.yard.yard import Yard
from grade_library.facts import Surface
from grade_library.library import GradeLibrary
from tests.conftest import DEMO_YARD


@pytest.fixture(scope="module")
def demo_yard(library: GradeLibrary) -> Yard:
    return load_yard(DEMO_YARD, library)


def test_metal_goes_only_where_all_of_it_is_taken(demo_yard: Yard) -> None:
    """Clean extrusions may go into low-copper and mixed metal, never the other way or into another metal."""
    axc, amx = demo_yard.bay("AXC"), demo_yard.bay("AMX")

    assert "ALO" not in refusals(axc, demo_yard)
    assert "AMX" not in refusals(axc, demo_yard)
    assert refusals(amx, demo_yard)["AXC"].startswith("does not take all")
    assert "STN" in refusals(axc, demo_yard)
    assert "AXC" not in refusals(axc, demo_yard)


def test_what_a_buyer_refuses_outright_is_never_hidden(demo_yard: Yard) -> None:
    """A bay that lets paint in sends nothing to a buyer who refuses paint, whatever its metal."""
    axc = demo_yard.bay("AXC")
    painted = replace(axc, code="PNT", refused_surfaces=frozenset())

    assert "painted" in refusals(painted, demo_yard)["AXC"]
    assert "refuses outright" in refusals(painted, demo_yard)["ALO"]
    assert Surface.PAINTED in axc.refused_surfaces


def test_a_richer_piece_than_a_buyer_takes_keeps_the_bay_out(demo_yard: Yard) -> None:
    """The limit of one piece holds in a blend too."""
    rich = replace(demo_yard.bay("AXC"), code="RCH", element_limits={"Cu": 0.8, "Zn": 0.3})

    assert refusals(rich, demo_yard)["ALO"] == "takes no piece with more than 0.4 % Cu"


def test_bays_with_a_price_are_outlets_with_their_limits(demo_yard: Yard) -> None:
    """The hold bay is none; limits of the bay are those of the load."""
    outlets = {one.name: one for one in outlets_of(demo_yard)}

    assert "HLD" not in outlets
    assert [(one.name, one.high) for one in outlets["AXC"].limits] == [("Cu<=0.25", 0.25), ("Zn<=0.15", 0.15)]
