"""Element readings in every spelling, shots in their order, and impossible readings with the reason."""

import pytest

from console.entry.token_kind import TokenKind
from grade_library.elements import ELEMENTS
from grade_library.technique import profiles
from tests.console.entry.conftest import Reader


@pytest.mark.parametrize(
    "line",
    [
        "12kg cr18.2 ni8.1",
        "12kg cr 18.2 ni 8.1",
        "12kg cr=18.2 ni = 8.1",
        "12kg Cr18,2, Ni8,1",
        "12kg CR:18.2% NI8.1%",
        "12kg cr18.2ni8.1",
        "12 cr 18.2 ni 8.1",
        "cr 18.2 ni 8.1 12kg",
        "12kg Cr: 18.2 % Ni: 8.1 %",
        "12 cr 18.2 % ni 8.1 wt%",
        "12 cr18.2; ni8.1",
        "12 18,2 cr 8,1 ni",
        "12kg 18.2 % cr 8.1 % ni",
        "12 cr182000ppm ni 81000 ppm",
        "12 chromium 18.2 nickel 8.1",
        "12 18.2 chrome 8.1 nickel",
        "12 lab: chrom: 18,2 nickel: 8,1",
    ],
)
def test_every_spelling_of_a_reading(read: Reader, line: str) -> None:
    """Blanks, equal signs and commas make no difference to a reading."""
    parsed = read(line)

    assert parsed.problems == ()
    assert parsed.mass_g == 12_000
    assert [dict(shot.reading.values) for shot in parsed.facts.shots] == [{"Cr": 18.2, "Ni": 8.1}]


@pytest.mark.parametrize("word", ["pb<0.02", "pb <0.02", "pb < 0.02", "PB<,02"])
def test_below_detection(read: Reader, word: str) -> None:
    """An element below its detection limit is kept as such, not as a value."""
    reading = read(f"12kg cu89 {word}").facts.shots[0].reading

    assert dict(reading.below) == {"Pb": 0.02}
    assert dict(reading.values) == {"Cu": 89.0}


def test_not_detected_takes_the_usual_limit_of_the_technique(read: Reader) -> None:
    """ "Not detected" without a figure takes the detection limit of the technique."""
    for technique in ("xrf", "lab"):
        reading = read(f"12kg cu89 pb nd {technique}").facts.shots[0].reading

        assert reading.below["Pb"] == profiles()[technique].model("Pb").lod
        assert reading.technique == technique


def test_nd_with_a_number_is_neodymium(read: Reader) -> None:
    """Nd before a number is the element."""
    assert read("12kg fe66 nd 30").facts.shots[0].reading.values["Nd"] == 30.0


def test_an_uncertainty_is_kept(read: Reader) -> None:
    """The uncertainty that an analyser shows goes with the reading."""
    assert dict(read("12kg cr18.2+-0.3").facts.shots[0].reading.sigma) == {"Cr": 0.3}


def test_shots_keep_their_order_and_whether_the_spot_was_ground(read: Reader) -> None:
    """Shots stay in their order, and two strokes say that the spot was ground."""
    shots = read("1kg cr57 ni33 / cr20 ni70//cu61 zn36").facts.shots

    assert [max(shot.reading.values, key=shot.reading.values.__getitem__) for shot in shots] == [
        "Cr",
        "Ni",
        "Cu",
    ]
    assert [shot.is_ground for shot in shots] == [False, False, True]


def test_a_first_shot_can_be_on_a_ground_spot(read: Reader) -> None:
    """Two strokes before the first reading make it one on a ground spot."""
    shots = read("1kg // cu61 zn36").facts.shots

    assert [shot.is_ground for shot in shots] == [True]


def test_the_yard_names_the_usual_technique(read: Reader) -> None:
    """A reading that names no technique has the yard's own."""
    assert read("1kg cu61").facts.shots[0].reading.technique == "xrf"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("1kg ni60 cu60", "sum to 120.0 wt %"),
        ("1kg cr=150", "needs 0 to 100"),
        ("1kg xr18.2", '"Xr" is not the symbol of an element'),
        ("1kg cr18 cr19", "Cr stands twice"),
        ("1kg cr18 ni8 / ni90 fe30", "sum to 120.0"),
    ],
)
def test_an_impossible_reading_is_a_problem(read: Reader, line: str, said: str) -> None:
    """A reading that cannot be is a problem that says why."""
    parsed = read(line)

    assert len(parsed.problems) == 1
    assert said in parsed.problems[0]


def test_an_impossible_shot_leaves_the_others(read: Reader) -> None:
    """One impossible shot does not take the possible one with it."""
    assert len(read("1kg cr18 ni8 / ni90 fe30").facts.shots) == 1


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("5kg h2", TokenKind.HEFT),
        ("5kg h=0.01", TokenKind.READING),
        ("5kg sn", TokenKind.SCRATCH),
        ("sn 12.4", TokenKind.SCRATCH),
        ("5 sn 10", TokenKind.READING),
        ("5kg s7", TokenKind.CLAIM),
        ("5kg s=0.03", TokenKind.READING),
        ("5kg d2", TokenKind.CLAIM),
        ("5kg d2.0", TokenKind.DENSITY),
        ("5kg m2", TokenKind.MAGNET),
    ],
)
def test_one_word_two_meanings_is_settled_by_rule(read: Reader, line: str, kind: TokenKind) -> None:
    """A symbol needs its number right after it; reserved forms go first; a lone name of a grade is it."""
    parsed = read(line)

    assert parsed.problems == ()
    assert parsed.mass_g is not None
    assert kind in {token.kind for token in parsed.tokens}


def test_a_word_that_names_a_grade_is_a_reading_among_readings(read: Reader) -> None:
    """Ti64 is a reading among readings, and a name where it stands alone."""
    assert read("5kg ti64 al6 v4").facts.shots[0].reading.values == {"Ti": 64.0, "Al": 6.0, "V": 4.0}
    assert read("5kg ti64").facts.shots == ()


def test_only_the_shot_after_two_slashes_is_ground(read: Reader) -> None:
    """A single slash begins a shot on a spot as it lies there; "// /" is one sign typed in two goes."""
    one = read("5 ni82 cr17 // cu61 zn36 / cu60 zn35").facts.shots
    other = read("5 ni82 cr17 // / cu61 zn36").facts.shots

    assert [shot.is_ground for shot in one] == [False, True, False]
    assert [shot.is_ground for shot in other] == [False, True]


def test_a_value_that_cannot_be_leaves_the_others(read: Reader) -> None:
    """The rest of the shot is kept beside the problem, and the right value may follow the slip."""
    parsed = read("5 ni8.1 cr18.2+-0 cr18.2")

    assert len(parsed.problems) == 1 and "twice" not in parsed.problems[0]
    assert [dict(shot.reading.values) for shot in parsed.facts.shots] == [{"Ni": 8.1, "Cr": 18.2}]


NO_READING_BEHIND_A_FIGURE = frozenset({"In", "Th", "Nd", "Er", "At", "Ac", "Pa"})
"""A length, ordinals, a prefix, alternating current, pascals."""


@pytest.mark.parametrize("symbol", sorted(one for one in ELEMENTS if len(one) == 2 and one != "Fe"))
def test_a_value_before_its_symbol_is_a_reading_and_no_name_of_a_steel(read: Reader, symbol: str) -> None:
    """One value may stand before its symbol as well as behind it, whole or with a point: "12sn" and "2be"
    have the shape of the names of steels (EN 10027-1), and are none."""
    for value in ("0.6", "12", "97.6"):
        parsed = read(f"3kg {value}{symbol.casefold()} fe1.5 xrf")
        expected = {} if symbol in NO_READING_BEHIND_A_FIGURE else {symbol: float(value)}

        assert dict(parsed.facts.shots[0].reading.values) == {**expected, "Fe": 1.5}
        assert parsed.facts.claim is None


@pytest.mark.parametrize("word", ["2be", "12sn", "10al", "12si", "5pb", "97.6cu", "sn100", "sm100", "in40"])
def test_what_may_be_a_reading_alone_is_no_name_that_the_shape_alone_allows(read: Reader, word: str) -> None:
    """Alone on its line, a symbol with a figure up to 100 is a reading unless a metal has just this name."""
    parsed = read(f"3kg {word}")

    assert parsed.facts.claim is None
    assert len(parsed.facts.shots[0].reading.values) == 1


@pytest.mark.parametrize("word", ["40cr", "65mn", "sn490b", "9smn28", "42crmo4", "in718", "in100"])
def test_names_of_that_shape_stay_names(read: Reader, word: str) -> None:
    """Such names stay names: GB/T 3077, GB/T 699, JIS G 3136, EN 10027-1, and in the trade."""
    assert read(f"3kg {word}").facts.claim is not None


@pytest.mark.parametrize(
    "line", ["3kg w82 co8", "3kg w6 mo5", "3kg cu60 zn40", "3kg ni80 cr20", "3kg pb97 sb3"]
)
def test_two_readings_are_no_name(read: Reader, line: str) -> None:
    """Two elements with their contents are a reading, whatever the names of steels and solders look like."""
    parsed = read(line)

    assert parsed.facts.claim is None
    assert len(parsed.facts.shots[0].reading.values) == 2


@pytest.mark.parametrize("word", ["4s", "5v", "12n", "2in", "4th"])
def test_one_letter_behind_a_figure_is_no_element(read: Reader, word: str) -> None:
    """3004 was once 4S, 5 V is a battery, 2in a length: no sulfur, vanadium or indium was read."""
    assert read(f"3kg {word}").facts.shots == ()


@pytest.mark.parametrize("rest", ["fe bal", "Fe: bal.", "fe=rest", "rest fe", "iron balance", "bal Fe"])
def test_the_rest_is_what_the_others_leave(read: Reader, rest: str) -> None:
    """As on a certificate: what is not written in figures is reckoned, and less sure than a figure."""
    parsed = read(f"12kg cr18.2 ni8.1 {rest}")
    reading = parsed.facts.shots[0].reading

    assert parsed.problems == ()
    assert reading.values["Fe"] == pytest.approx(73.7)
    assert reading.sigma["Fe"] == 0.5
    assert any(token.meaning == "Fe the rest" for token in parsed.tokens)


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("3kg fe bal cu rest", "one element is the rest"),
        ("3kg cu60 zn45 fe bal", "the others come to 105 %"),
    ],
)
def test_a_rest_that_cannot_be_is_said(read: Reader, line: str, why: str) -> None:
    """Two rests, or others that leave nothing, are no reading, and the line says why."""
    parsed = read(line)

    assert why in " ".join(parsed.problems)
    assert parsed.facts.shots == ()


@pytest.mark.parametrize(
    ("line", "kg"),
    [
        ("copper 5.2", 5.2),  # the only figure is the weight
        ("5.2 cu", 5.2),
        ("5.2 cu 3 zn", 5.2),  # no other figure is the weight
        ("12.4 cu 18.2 ni 8.1", 12.4),  # symbols first
        ("3 copper 110", 3.0),  # a grade
    ],
)
def test_a_weight_or_a_grade_is_no_content(read: Reader, line: str, kg: float) -> None:
    """A figure beside one element's name stays what it was before."""
    parsed = read(line)

    assert parsed.mass_g == 1000 * kg
    assert "Cu 5.2 %" not in [token.meaning for token in parsed.tokens]


@pytest.mark.parametrize("weight", ["12.4", "12.4kg"])
def test_symbols_are_first_where_a_figure_follows_the_last(read: Reader, weight: str) -> None:
    """ "cr 18.2 ni 8.1 mo 2.1" is not "18.2 ni 8.1 mo"."""
    reading = read(f"{weight} cr 18.2 ni 8.1 mo 2.1").facts.shots[0].reading

    assert dict(reading.values) == {"Cr": 18.2, "Ni": 8.1, "Mo": 2.1}


@pytest.mark.parametrize(
    "line", ["3kg copper 110 nickel 200", "3kg 110 copper 200 nickel", "3kg iron copper 1 %"]
)
def test_names_with_the_numbers_of_grades_are_no_reading(read: Reader, line: str) -> None:
    """Above 100 a figure is a grade's, and a per cent may be of its name."""
    assert not any(token.kind is TokenKind.READING for token in read(line).tokens)


@pytest.mark.parametrize("line", ["3kg titanium 6 aluminium 4 vanadium", "titanium 6 aluminium 4 vanadium"])
def test_before_a_last_name_without_a_figure_the_figures_are_first(read: Reader, line: str) -> None:
    """The titanium alloy is never read as 6 % of titanium."""
    assert not any("Ti 6 %" in token.meaning or "Al 4 %" in token.meaning for token in read(line).tokens)


@pytest.mark.parametrize("note", ["; gate 3", " ; p2.5", "; no 5", "; ni8 gate"])
def test_a_note_stays_a_note(read: Reader, note: str) -> None:
    """Only a content with a point right behind a figure makes the sign a comma."""
    parsed = read(f"3kg 304 bar{note}")

    assert parsed.note == note.lstrip(" ;") and not parsed.facts.shots
