"""What a bay can refuse, what its buyer wants, and every way to write it wrongly."""

from pathlib import Path

import pytest

from console.yard.errors import YardFileError
from console.yard.placing.vetoes import refused_coatings
from console.yard.refused_elements import AT_ALL_WT_PCT
from grade_library.facts import Form, Surface
from grade_library.grade import Limit
from grade_library.library import GradeLibrary
from grade_library.skin.coatings import coatings_called
from tests.console.yard.conftest import SMALL_YARD, spoil, yard_of_text
from tests.yards import load_yard

FULL = """\
[[bay]]
code = "YBR"
name = "brass"
accepts = ["family: brass", "leaded brass", "Ivory"]
refuses_at_all = ["Lead", "be"]
refused_coatings = ["Chromium over nickel"]
refused_forms = ["turnings", "radiator"]
refused_to = "smx"
chemistry = { Cu = ">=60", Pb = "<=0.2", Sn = "0.1-0.3" }
price_per_kg = 4.4
buying_per_kg = 3.5
downgrade_per_kg = 2.7
bale = "1 t"
capacity = "6 t"
"""


def test_every_rule_of_a_bay_is_read(library: GradeLibrary) -> None:
    """Every rule of a bay arrives in its record."""
    bay = yard_of_text(f"{SMALL_YARD}\n{FULL}", library).bay("YBR")

    assert bay.refused_elements == {"Pb", "Be"}
    assert bay.refused_coatings == {"chromium over nickel"}
    assert bay.refused_forms == {Form.TURNINGS, Form.RADIATOR}
    assert bay.refused_to == "smx"
    assert bay.chemistry == {"Cu": Limit(low=60.0), "Pb": Limit(high=0.2), "Sn": Limit(low=0.1, high=0.3)}
    assert (bay.price_per_kg, bay.buying_per_kg, bay.downgrade_per_kg) == (4.4, 3.5, 2.7)
    assert (bay.bale_g, bay.capacity_g) == (1_000_000, 6_000_000)


def test_an_element_refused_at_all_refuses_the_grades_that_hold_it(library: GradeLibrary) -> None:
    """Leaded brass is out; cartridge brass, with lead up to 0.07 %, stays in."""
    bay = yard_of_text(f"{SMALL_YARD}\n{FULL}", library).bay("YBR")

    assert "C36000" in bay.grade_ids and not bay.takes("C36000")
    assert bay.takes("C26000")
    assert library.grade("C26000").limits["Pb"].high == 0.07 < AT_ALL_WT_PCT["Pb"]


def test_a_published_scrap_entry_selects_its_grades(library: GradeLibrary) -> None:
    """The name of a published scrap entry accepts every grade that bears it."""
    bay = yard_of_text(f"{SMALL_YARD}\n{FULL}", library).bay("YBR")

    ivory = {grade.grade_id for grade in library.grades if "Ivory" in grade.scrap}
    assert ivory and ivory <= bay.grade_ids


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('["Lead", "be"]', '["Laed"]', 'bay YBR, refuses_at_all: "Laed" is no element; did you mean lead?'),
        ('["Lead", "be"]', '["copper"]', "refuses_at_all: every grade that the bay accepts may hold it"),
        (
            '["Chromium over nickel"]',
            '["chromium on nickel"]',
            'bay YBR, refused_coatings: "chromium on nickel" is no coating that the library knows; '
            'did you mean "chromium over nickel"?',
        ),
        ('["turnings", "radiator"]', '["chips"]', 'bay YBR, refused_forms: "chips" is not one of sheet'),
        ('"smx"', '"SXX"', 'bay YBR, refused_to: "SXX" is no bay here; write one of STN, STM, SMX, HLD'),
        ('"smx"', '"YBR"', "bay YBR, refused_to: leads back to the bay itself (YBR > YBR)"),
        ('Pb = "<=0.2"', "Pb = 0.2", 'bay YBR, chemistry, Pb: 0.2 is no limit; write Pb = "<=0.4"'),
        ('Pb = "<=0.2"', 'Pb = "up to 0.2"', 'chemistry, Pb: limit "up to 0.2" is not understood: write'),
        ('Pb = "<=0.2"', 'Pb = "rest"', 'chemistry, Pb: "rest" sets no bound'),
        ('Sn = "0.1-0.3"', 'Sn = "0.3-0.1"', "chemistry, Sn: limit 0.3 to 0.1"),
        (
            'Sn = "0.1-0.3"',
            'Tin = "0.1"',
            "bay YBR, chemistry: Tin is not the symbol of an element, write Sn",
        ),
        ("downgrade_per_kg = 2.7", "downgrade_per_kg = 5", "downgrade_per_kg: 5 is above price_per_kg, 4.4"),
        ('capacity = "6 t"', 'capacity = "600 kg"', "capacity: 600 kg holds less than one bale"),
        ('capacity = "6 t"', "capacity = 6", "capacity: 6 is no text"),
        ("buying_per_kg = 3.5", 'buying_per_kg = "dear"', "buying_per_kg: 'dear' is no number"),
        ("buying_per_kg", "buing_per_kg", 'this key is not known; did you mean "buying_per_kg"?'),
        ("refuses_at_all", "element_limits = { Cu = 20 }\nrefuses_at_all", "element_limits: no grade that"),
    ],
)
def test_what_is_wrong_with_a_rule_is_named(library: GradeLibrary, old: str, new: str, said: str) -> None:
    """The message names the bay, the rule and what would be right."""
    assert FULL.count(old) == 1

    with pytest.raises(YardFileError) as caught:
        yard_of_text(f"{SMALL_YARD}\n{FULL.replace(old, new)}", library)

    assert said in str(caught.value)


def test_a_ring_of_bays_is_refused(library: GradeLibrary) -> None:
    """What A refuses goes to B, and what B refuses back to A: then nobody gets it."""
    text = SMALL_YARD.replace('accepts = ["316", "316L"]', 'accepts = ["316"]\nrefused_to = "SMX"')
    text = text.replace('accepts = ["stainless"]', 'accepts = ["stainless"]\nrefused_to = "STM"')

    with pytest.raises(YardFileError, match="STM > SMX > STM"):
        yard_of_text(text, library)


def test_a_buyer_by_name_may_get_the_refused(folder: Path, library: GradeLibrary) -> None:
    """The refused may go to a buyer by name in place of a bay."""
    spoil(folder, 'accepts = ["316", "316L"]', 'accepts = ["316"]\nrefused_to = "the mill at the river"')

    assert load_yard(folder, library).bay("STM").refused_to == "the mill at the river"


def test_money_can_be_hidden(folder: Path, library: GradeLibrary) -> None:
    """show_money = false is read, and true is usual."""
    assert load_yard(folder, library).show_money

    spoil(folder, 'currency = "EUR"', 'currency = "EUR"\nshow_money = false')

    assert not load_yard(folder, library).show_money


def test_every_surface_in_words_means_coatings_that_there_are(library: GradeLibrary) -> None:
    """A word for a surface that meant no coating would silently stop being refused."""
    for surface in set(Surface) - {Surface.BARE}:
        assert coatings_called(surface), surface

    yard = yard_of_text(SMALL_YARD.replace('["painted"]', '["plated", "painted"]'), library)
    assert {"chromium over nickel", "lead paint"} <= refused_coatings(yard.bay("STM"))
    assert not coatings_called(Surface.BARE)
