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
        ("30 steel window frame", "steel"),
        ("3 brass padlock", "brass"),
        ("30 persiana de aluminio", "roller blind"),
    ],
)
def test_a_metal_that_is_said_decides_before_simple_goods(line: str, label: str) -> None:
    """Goods of several metals are of the one that is said, and keep their name where it is their own."""
    parsed = read(line)

    assert parsed.problems == ()
    assert parsed.facts.claim is not None
    assert parsed.facts.claim.label == label


@pytest.mark.parametrize(
    "line", ["12.4 propeller cu60 zn38", "12.4 wheelbarrow al98 mg1", "12.4 Schubkarre cr18 ni8"]
)
def test_a_reading_decides_before_what_a_thing_usually_is(line: str) -> None:
    """What was read says more of the metal than the name of a thing: nothing is claimed or asked."""
    parsed = read(line)

    assert parsed.problems == () and parsed.facts.claim is None
    assert parsed.facts.shots


def test_a_test_of_the_metal_answers_what_is_asked_of_a_thing() -> None:
    """A thing of several metals is not asked for its metal where a magnet or a colour was typed."""
    assert read("12.4 bicycle").asked is not None
    assert read("12.4 bicycle m2").problems == ()


@pytest.mark.parametrize(
    ("line", "group"),
    [
        ("12.4 stainless widget", "stainless"),
        ("12.4 brass thingummy", "brass"),
        ("12.4 bathroom wheelbarrow", "steel"),
        ("12.4 alte Schubkarre", "steel"),
    ],
)
def test_an_unknown_word_beside_a_metal_or_thing_is_a_note(line: str, group: str) -> None:
    """A line that names its metal is not kept up by a word that nobody knows."""
    assert metals(line) == {group}
    assert read(line).problems == ()


@pytest.mark.parametrize(
    "line",
    [
        "12.4 horseshoe twine",
        "12.4 brass effect",
        "12.4 copper bottomed",
        "12.4 304 widget",
        "12.4 brass chrme",
        "12.4 brass widget thingummy",
        "12.4 wheelbarrow thingummy",
        "12.4 brass wg",
    ],
)
def test_a_word_that_may_mean_another_metal_or_piece_is_asked(line: str) -> None:
    """Beside a number, at the place of the piece, like a surface, in doubt, or one of two: it is asked."""
    assert read(line).asked is not None


def test_what_holds_the_pieces_is_not_the_piece() -> None:
    """A box of old keys is keys, of whatever the box is; a leg of a table is a leg."""
    said = read("12.4 box of horseshoes").facts.claim

    assert said is not None and said.label.startswith("horseshoe")


@pytest.mark.parametrize("line", ["12.4 bath pipe", "12.4 tubo de brasero", "12.4 scissors sheet"])
def test_a_form_of_a_thing_is_no_thing(line: str) -> None:
    """The pipe of a bath is a pipe of any metal."""
    parsed = read(line)

    assert parsed.problems == () and parsed.facts.bench.form is not None
    assert parsed.facts.claim is None


def test_a_form_alone_is_of_its_usual_metal() -> None:
    """Screws are of steel as a rule, until anything else is said of them."""
    alone, tested = read("12.4 screws").facts, read("12.4 screws ky").facts

    assert alone.claim is not None and "steel" in alone.claim.label and alone.bench.form is Form.FASTENER
    assert tested.claim is None and tested.bench.form is Form.FASTENER


@pytest.mark.parametrize(
    ("line", "group"),
    [
        ("12.4 rusty bath", {"steel", "cast iron"}),
        ("12.4 rusty bicycle", {"steel"}),
        ("12.4 gegossene Heizung Guss", {"cast iron"}),
    ],
)
def test_a_skin_or_a_casting_answers_what_a_thing_is_of(line: str, group: set[str]) -> None:
    """Rust lies on iron, and what is cast of a thing that may be cast iron is that."""
    assert metals(line) <= group | {"steel", "cast iron"} and metals(line)


@pytest.mark.parametrize(
    "word", ["better", "satellite", "missing", "money", "came", "contractor", "replacement", "Durchmesser"]
)
def test_an_everyday_word_names_no_metal(word: str) -> None:
    """A word that only looks like a metal's, a plural or the end of a thing's name is never taken for it."""
    assert read(f"12.4 {word}").facts.claim is None


@pytest.mark.parametrize("word", ["Umwälzpumpe", "Coladose", "Kabelreste", "Holzkiste", "Schlauchschellen"])
def test_the_end_of_a_joined_word_or_its_plural_is_understood(word: str) -> None:
    """German joins what a thing is for before it; plurals follow by rule."""
    assert all("not understood" not in token.problem for token in read(f"12.4 {word}").tokens)


@pytest.mark.parametrize("size", ["15mm", "22 mm", "6ft", "40 litre"])
def test_how_large_a_piece_is_says_nothing_of_its_metal(size: str) -> None:
    """A size is neither a second weight nor an unknown word."""
    parsed = read(f"12.4 {size} copper pipe")

    assert parsed.problems == () and parsed.mass_g == 12_400
    assert metals(f"12.4 {size} copper pipe") == {"copper"}


@pytest.mark.parametrize(
    ("line", "label"),
    [
        ("5.5 cable alu pvc", "Twang"),
        ("5.5 alu cable pvc", "Twang"),
        ("5.5 copper cable plastic", "cable"),
        ("5 cable pvc", "cable"),
    ],
)
def test_plastic_beside_a_cable_is_what_is_round_it(line: str, label: str) -> None:
    """A cable stays a cable; bays that take no attachments do not take it."""
    facts = read(line).facts

    assert facts.claim is not None and facts.claim.label == label
    assert facts.bench.has_attachments


def test_plastic_by_itself_and_of_a_thing_is_plastic() -> None:
    """A tap of plastic is no metal."""
    for line in ("3 plastic", "3 tap plastic"):
        claim = read(line).facts.claim
        assert claim is not None and claim.material_ids == ("plastic",)


def test_al_is_aluminium_where_it_joins_nothing() -> None:
    """The symbol of the metal, and in "tubo al piombo" a small word."""
    assert metals("7.7 al painted") == {"aluminium"}
    assert metals("5 tubo al piombo") == {"lead"}
    assert read("5 al wobble").asked is not None


@pytest.mark.parametrize("line", ["640 h-beam", "12 I-beam", "5 beams", "3 girder", "5 nuts"])
def test_a_form_that_is_a_thing_by_itself_is_of_its_usual_metal(line: str) -> None:
    """A girder by any name is steel as a rule; beside a metal it only tells the form."""
    claim = read(line).facts.claim

    assert claim is not None and claim.is_usual and metals(line) == {"steel"}
    assert metals(f"{line} aluminium") == {"aluminium"}


@pytest.mark.parametrize("line", ["12.8 motor 3 phase", "12.8 3 phase motor", "3 phase motor 12.8"])
def test_the_phases_of_a_motor_are_no_weight(line: str) -> None:
    """They say which motor it is, wherever they stand."""
    parsed = read(line)

    assert (parsed.mass_g, parsed.problems) == (12_800, ())
    assert parsed.facts.claim is not None and parsed.facts.claim.material_ids == ("electric motor",)


@pytest.mark.parametrize(
    ("line", "group", "hangs"),
    [
        ("7.5 pipe lead w/ brass union", "lead", True),
        ("7.5 brass tap with steel bolt", "brass", True),
        ("7 Kupferrohr mit Messing", "copper", True),
        ("11 aluminium bucket w handle", "aluminium", False),
        ("5 steel w/o rust", "steel", False),
    ],
)
def test_what_a_piece_comes_with_is_not_the_piece(line: str, group: str, hangs: bool) -> None:
    """Another metal behind "with" hangs on it; "w" between two words is no tungsten, "w/" no further shot."""
    parsed = read(line)

    assert parsed.problems == () and metals(line) == {group}
    assert (parsed.facts.bench.has_attachments, parsed.facts.shots) == (hangs, ())


def test_tungsten_is_still_a_metal() -> None:
    """By itself, and as a reading."""
    claim = read("12 w").facts.claim
    assert claim is not None and claim.label == "tungsten"
    assert read("3 ni8 w 5").facts.shots[0].reading.values == {"Ni": 8.0, "W": 5.0}


@pytest.mark.parametrize("line", ["13 radiator alu cu", "13 alu cu radiator", "11 cu alu radiator"])
def test_symbols_within_a_name_are_read_as_the_metals(line: str) -> None:
    """Said short or long, in any order: one thing, one answer."""
    claim = read(line).facts.claim

    assert claim is not None and claim.label == "aluminium-copper radiator"


@pytest.mark.parametrize(("line", "group"), [("5 316 pump", "stainless"), ("5 pump brass", "brass")])
def test_the_metal_of_a_pump_decides_before_the_pump(line: str, group: str) -> None:
    """Who says which metal it is means the metal; by itself it is a pump."""
    assert metals(line) == {group}
    pump = read("5 pump").facts.claim
    assert pump is not None and pump.material_ids == ("pump",)


@pytest.mark.parametrize(
    ("word", "offered"),
    [
        ("tap", "zamak"),
        ("taps", "brass"),
        ("can", "tin can"),
        ("rad", "aluminium radiator"),
        ("fitting", "brass"),
        ("cyl head", "cast iron"),
        ("heater matrix", "copper-brass radiator"),
        ("door handles", "zinc"),
        ("earth rod", "steel"),
        ("caliper", "cast iron"),
        ("knee joint", "cobalt"),
        ("ball valve", "stainless"),
        ("evaporator", "aluminium-copper radiator"),
    ],
)
def test_a_thing_of_several_metals_is_asked_by_itself(word: str, offered: str) -> None:
    """Alone it is a question with its answers."""
    asked = read(f"12.4 {word}").asked

    assert asked is not None and any(offered in one for one in asked.offers), asked


def test_a_form_beside_its_metal_or_a_test_of_it_asks_nothing() -> None:
    """A tap that is said to be of a metal, or that was looked at, is a fitting and no question."""
    for line in ("12.4 tap stainless", "12.4 m0 tap", "12.4 tap ky", "12.4 can m2", "12.4 tap cu60 zn38"):
        parsed = read(line)
        assert parsed.asked is None and parsed.facts.bench.form in (Form.FITTING, Form.CAN), line


@pytest.mark.parametrize(
    ("words", "material"),
    [
        ("wriggly tin", "galvanised sheet"),
        ("tin sheets", "galvanised sheet"),
        ("switchboard", "electronic scrap"),
        ("fuse box", "electronic scrap"),
        ("phone", "mobile phone"),
        ("silver plated tray", "silver-plated ware"),
        ("ram sticks", "memory modules"),
        ("car rad cu brass", "copper-brass radiator"),
    ],
)
def test_a_thing_is_no_metal_that_its_name_only_mentions(words: str, material: str) -> None:
    """A tin roof is no tin, a plated tray no silver, and sticks of memory say nothing of a magnet."""
    parsed = read(f"12.4 {words}")

    assert parsed.problems == () and parsed.facts.claim is not None
    assert parsed.facts.claim.material_ids == (material,)
    assert parsed.facts.bench.magnet is None


def test_rolled_zinc_is_zinc_whatever_the_weight() -> None:
    """ "5 sheet zinc" weighs five; it is no alloy of that number."""
    for line in ("5 sheet zinc", "12 zinc sheet", "3 rolled zinc"):
        parsed = read(line)
        assert parsed.mass_g == 1000 * int(line.split()[0])
        assert parsed.facts.claim is not None and parsed.facts.claim.label == "Titanium zinc"


def test_a_symbol_behind_a_thing_that_is_asked_is_its_metal() -> None:
    """ "sink al" is of aluminium; "tubo al piombo" is of lead."""
    assert metals("12.4 sink al") == metals("12.4 tap al") == {"aluminium"}
    assert metals("12.4 tubo al piombo") == {"lead"}


@pytest.mark.parametrize("word", ["coil", "scrap", "ingot"])
def test_a_weight_before_a_word_that_names_no_metal_is_the_weight(word: str) -> None:
    """ "12 coil" weighs twelve and "20 scrap" twenty: neither is an alloy of that number."""
    for weight in (12, 17, 20, 23, 28):
        parsed = read(f"{weight} {word}")
        assert parsed.mass_g == 1000 * weight and parsed.facts.claim is None
    assert read("12 81 metal").facts.claim is not None


def test_numbers_of_a_house_are_no_code_word() -> None:
    """A code word of the circular that is a word of every day does not name what it only begins."""
    parsed = read("0.4 house numbers")

    assert parsed.asked is not None and parsed.facts.claim is None
