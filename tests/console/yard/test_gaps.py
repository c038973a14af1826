"""Overlaps and gaps of the bays over the whole library, and how they are shown."""

import json
from dataclasses import replace

import pytest

from console.yard.placing.bays_text import bays_json, bays_text
from console.yard.placing.gaps import can_take, survey
from console.yard.yard import Yard
from grade_library.library import GradeLibrary
from tests.console.yard.conftest import SMALL_YARD, yard_of_text


@pytest.fixture
def yard(library: GradeLibrary) -> Yard:
    return yard_of_text(SMALL_YARD, library)


def test_every_grade_is_counted_once(library: GradeLibrary, yard: Yard) -> None:
    """Each grade is in a gap, in an overlap, or taken by exactly one bay."""
    found = survey(yard, library)
    lost = [grade_id for part in found.gaps for grade_id in part.grade_ids]
    shared = [grade_id for part in found.overlaps for grade_id in part.grade_ids]
    bays = [bay for bay in yard.bays if not bay.is_hold]
    takers = {grade.grade_id: sum(can_take(bay, grade) for bay in bays) for grade in library.grades}

    assert sorted(lost) == sorted(grade_id for grade_id, count in takers.items() if count == 0)
    assert sorted(shared) == sorted(grade_id for grade_id, count in takers.items() if count > 1)
    assert found.total == len(library) == found.taken + len(lost)


def test_an_overlap_names_its_bays_the_dearest_first(library: GradeLibrary, yard: Yard) -> None:
    """Metal that several bays take is listed with them, the dearest first."""
    part = next(part for part in survey(yard, library).overlaps if "316" in part.grade_ids)

    assert part.bay_codes == ("STM", "STN", "SMX")
    assert (part.family, part.series) == ("austenitic stainless", "300")
    assert not part.is_whole


def test_a_gap_says_which_bay_refuses_what_it_accepts(library: GradeLibrary, yard: Yard) -> None:
    """302HQ holds more copper than STN allows; without the mixed bay nobody takes it."""
    without_mixed = replace(yard, bays=tuple(bay for bay in yard.bays if bay.code != "SMX"))

    part = next(part for part in survey(without_mixed, library).gaps if "302HQ" in part.grade_ids)

    assert part.bay_codes == ("STN",)


def test_a_bay_that_takes_everything_leaves_no_gap(library: GradeLibrary) -> None:
    """Where a bay takes everything there is no gap."""
    yard = yard_of_text(SMALL_YARD.replace('accepts = ["stainless"]', 'accepts = ["everything"]'), library)

    assert survey(yard, library).gaps == ()
    assert "    none" in bays_text(yard, survey(yard, library))


def test_the_text_fits_and_names_rules_overlaps_and_gaps(library: GradeLibrary, yard: Yard) -> None:
    """The text of the bays fits into 80 columns and names all parts in order."""
    lines = bays_text(yard, survey(yard, library), 80)
    text = "\n".join(lines)

    assert max(map(len, lines)) <= 80
    assert "refuses  200; a piece with Cu above 0.75 [wt %]; attachments" in text
    assert "price    sells at 1.40, downgraded 0.40 EUR/kg" in text
    assert text.index("metal that several bays take") < text.index("gaps: metal that no bay takes")
    assert "    titanium, all 54" in lines
    assert "undecided pieces wait here" in text


def test_hidden_money_is_not_shown(library: GradeLibrary, yard: Yard) -> None:
    """With money hidden no price is in the text or in the figures."""
    hidden = replace(yard, show_money=False)
    found = survey(hidden, library)

    assert "EUR" not in "\n".join(bays_text(hidden, found))
    assert "price_per_kg" not in bays_json(hidden, found)["bays"][0]


def test_a_bay_that_sells_below_its_buying_price_says_so(library: GradeLibrary) -> None:
    """A bay that loses on every kilogram says so once."""
    yard = yard_of_text(
        SMALL_YARD.replace("price_per_kg = 2.3", "price_per_kg = 2.3\nbuying_per_kg = 2.5"), library
    )

    text = " ".join(" ".join(bays_text(yard, survey(yard, library))).split())
    assert text.count("SELLS BELOW WHAT IS PAID FOR IT") == 1


def test_json_holds_the_same(library: GradeLibrary, yard: Yard) -> None:
    """The figures hold the bays in order, and gaps and accepted grades add up to the library."""
    found = survey(yard, library)
    row = json.loads(json.dumps(bays_json(yard, found)))

    assert [bay["code"] for bay in row["bays"]] == ["STN", "STM", "SMX", "HLD"]
    assert row["grades"] == len(library)
    assert sum(len(part["grades"]) for part in row["gaps"]) == row["grades"] - row["grades_taken"]
    assert row["bays"][0]["element_limits_wt_pct"] == {"Cu": 0.75}
