"""A thing and a metal on one line: what each of them says, by one rule for all of them."""

import pytest

from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine
from grade_library.facts import Form
from grade_library.library import load
from grade_library.naming.names import NameIndex

NAMES = NameIndex(load())


def read(line: str) -> ParsedLine:
    """Return what the line says where no yard is known."""
    return parse_line(line, names=NAMES, yard=None)


def metals(line: str) -> set[str]:
    """Return the groups of the grades that the line names."""
    claim = read(line).facts.claim
    return set() if claim is None else {load().grade(one).group for one in claim.grade_ids}


SAID = {
    "steel": ("scaffold tube", "Gerüstrohr", "tubo innocenti", "horseshoe", "glissière de sécurité"),
    "aluminium": ("aluminium scaffold tube", "Gerüstrohr Alu", "scaffold pole aluminium", "Aluhufeisen"),
    "copper": ("Kupferrinne", "Rinne aus Kupfer", "still"),
    "brass": ("Messingbeschlag", "candelabro de latón", "bougeoir laiton", "candelabro in ottone"),
    "stainless": ("Edelstahlspüle", "lavello in acciaio inox", "échappement inox", "inox horseshoe"),
    "cast iron": ("cast iron pump housing", "tambour de frein", "Gusswanne"),
}
"""Group -> lines that name it: a thing by what it usually is, or the metal that is said beside it."""


def test_a_metal_that_is_said_decides_before_the_usual_one() -> None:
    """A thing is of its usual metal where none is said, else of the one that is said."""
    said = {(group, word): metals(f"12.4 {word}") for group, words in SAID.items() for word in words}

    wrong = {key: found for key, found in said.items() if found != {key[0]}}
    assert wrong == {}


@pytest.mark.parametrize(
    "line", ["12.4 Spüle", "12.4 Autokühler", "12.4 radiatore auto", "12.4 pump housing"]
)
def test_a_thing_of_many_metals_asks(line: str) -> None:
    """What may as well be of another metal is asked, with metals to choose from."""
    asked = read(line).asked

    assert asked is not None
    assert len(asked.offers) >= 3


def test_the_housing_of_a_unit_is_no_unit() -> None:
    """A housing beside the name of a unit has a metal of its own: asked, or the one that is said."""
    asked = read("12.4 starter motor housing")
    said = read("12.4 aluminium starter motor housing")

    assert asked.asked is not None
    assert said.facts.claim is not None
    assert said.facts.claim.label == "aluminium"


def test_a_skin_of_zinc_answers_what_a_thing_is_of() -> None:
    """Zinc skin lies on steel or iron, so a galvanised gutter is not asked for its metal."""
    assert read("12.4 grondaia").asked is not None
    assert read("12.4 grondaia zincata").problems == ()


def test_a_thing_tells_its_form_beside_another_metal() -> None:
    """A scaffold tube is a tube, of whatever metal it is."""
    assert read("12.4 scaffold tube").facts.bench.form is Form.TUBE
    assert read("12.4 aluminium scaffold tube").facts.bench.form is Form.TUBE


def test_of_two_things_the_piece_is_the_one_that_is_spoken_of() -> None:
    """The last thing is the piece, behind a word that joins the first: "cymbal from horseshoe"."""
    assert metals("12.4 trumpet horseshoe") == {"steel"}
    assert metals("12.4 cymbal from horseshoe") == {"bronze"}
