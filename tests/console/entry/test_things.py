"""A thing and a metal on one line: what each of them says, by one rule for all of them."""

import pytest

from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine
from grade_library.facts import Form, MagnetPull
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


@pytest.mark.parametrize(
    ("line", "piece"),
    [
        ("4 fridge electric motor", "electric motor"),
        ("4 electric motor from fridge", "electric motor"),
        ("4 electric motor of a washing machine", "electric motor"),
        ("4 moteur électrique de frigo", "electric motor"),
        ("4 frigo", "refrigerator"),
        ("4 refrigerator circuit board", "circuit board"),
        ("4 circuit board from refrigerator", "circuit board"),
    ],
)
def test_of_two_units_the_piece_is_not_the_one_that_it_is_from(line: str, piece: str) -> None:
    """A unit beside another that it was taken out of is named, on whichever side of it that stands."""
    claim = read(line).facts.claim

    assert claim is not None and claim.material_ids == (piece,)


@pytest.mark.parametrize(
    "line",
    [
        "6.1 copper pipe with solder",
        "6.1 solder copper pipe",
        "6.1 brass tap solder",
        "6.1 Kupferrohr mit Lötzinn",
    ],
)
def test_solder_beside_a_metal_hangs_on_the_piece(line: str) -> None:
    """Solder beside another metal is an attachment of the piece, and the metal stays the name."""
    parsed = read(line)

    assert parsed.problems == ()
    assert parsed.facts.bench.has_attachments
    assert metals(line) in ({"copper"}, {"brass"})


@pytest.mark.parametrize("line", ["3 solder", "3 lead solder", "3 tin solder", "3 Lötzinn"])
def test_solder_by_itself_is_the_piece(line: str) -> None:
    """Solder is the name of the piece where no other metal is said."""
    parsed = read(line)

    assert parsed.facts.claim is not None
    assert not parsed.facts.bench.has_attachments


@pytest.mark.parametrize(
    ("line", "pull"),
    [
        ("1.2 bright tube, magnet weak", MagnetPull.WEAK),
        ("1.2 tube weak magnet", MagnetPull.WEAK),
        ("1.2 tube Magnet schwach", MagnetPull.WEAK),
        ("1.2 tube magnet strong", MagnetPull.STRONG),
        ("1.2 strong magnet tube", MagnetPull.STRONG),
        ("1.2 tube magnet yes", MagnetPull.STRONG),
        ("1.2 tube magnet none", MagnetPull.NONE),
        ("1.2 tube no magnet", MagnetPull.NONE),
        ("1.2 tube magnet no", MagnetPull.NONE),
    ],
)
def test_magnet_and_what_it_does_is_the_bench_fact(line: str, pull: MagnetPull) -> None:
    """The magnet with its pull beside it, either way round, names no metal."""
    parsed = read(line)

    assert (parsed.facts.bench.magnet, parsed.facts.claim, parsed.problems) == (pull, None, ())


def test_a_magnet_by_itself_is_a_piece() -> None:
    """A magnet with no pull beside it is what was thrown away, one or several."""
    assert {"2 magnet", "2 magnets"} == {line for line in ("2 magnet", "2 magnets") if read(line).facts.claim}


@pytest.mark.parametrize(
    ("line", "group"),
    [
        ("640-28 pallet of steel", "steel"),
        ("640 skid of brass", "brass"),
        ("640 bin of brass", "brass"),
        ("640 Palette Stahl", "steel"),
        ("640 Kiste Messing", "brass"),
        ("640 Gitterbox Alu", "aluminium"),
        ("640 caisse laiton", "brass"),
        ("640 palette acier", "steel"),
        ("640 cassa ottone", "brass"),
        ("640 caja latón", "brass"),
    ],
)
def test_what_a_load_stands_in_says_nothing_of_the_metal(line: str, group: str) -> None:
    """A pallet or a box beside a metal is a remark."""
    named = {load().grade(one).group for one in read(line).facts.claim.grade_ids}

    assert read(line).problems == ()
    assert group in named


@pytest.mark.parametrize(
    ("line", "label"),
    [
        ("30 persiana de acero", "steel"),
        ("30 steel roller shutter", "steel"),
        ("3 cerradura", "lock"),
        ("3 brass padlock", "lock"),
        ("30 persiana de aluminio", "roller blind"),
    ],
)
def test_a_metal_that_is_said_decides_before_simple_goods(line: str, label: str) -> None:
    """Goods of several metals are of the one that is said, and keep their name where it is their own."""
    parsed = read(line)

    assert parsed.problems == ()
    assert parsed.facts.claim is not None
    assert parsed.facts.claim.label == label
