"""Bench facts: the short way and the words mean the same, and contradictions are asked back."""

import pytest

from console.entry.token_kind import TokenKind
from console.entry.vocabulary import ATTACHED, COLOUR_LETTERS, VOCABULARY, ReservedWord, reserved
from grade_library.elements import ELEMENTS
from grade_library.facts import BenchFacts, Form, Heft, MagnetPull, Spark, Surface
from grade_library.grade import Colour
from tests.console.entry.conftest import Reader

_FIELD = {
    TokenKind.MAGNET: "magnet",
    TokenKind.COLOUR: "colour",
    TokenKind.SCRATCH: "scratch",
    TokenKind.HEFT: "heft",
    TokenKind.FORM: "form",
    TokenKind.SPARK: "spark",
}


@pytest.mark.parametrize("row", VOCABULARY, ids=lambda row: row.short)
def test_every_way_to_type_a_word_means_the_same(read: Reader, row: ReservedWord) -> None:
    """Each way to type a fact gives exactly this fact, with a weight beside it.

    A form stands with a magnet: by itself a tap or a tool is asked for its metal.
    """
    for word in (row.short, *row.words):
        parsed = read(f"12.4kg m0 {word}" if row.kind is TokenKind.FORM else f"12.4kg {word}")

        assert parsed.problems == (), word
        assert parsed.mass_g == 12_400
        kinds = [token.kind for token in parsed.tokens if token.text != "m0" or row.value is MagnetPull.NONE]
        assert kinds == [TokenKind.WEIGHT, row.kind], word
        bench = parsed.facts.bench
        if row.kind in _FIELD:
            assert getattr(bench, _FIELD[row.kind]) is row.value, word
        elif row.kind is TokenKind.SURFACE:
            if row.value == ATTACHED:
                assert bench.has_attachments
            else:
                assert bench.surfaces == {row.value}
        elif row.kind is TokenKind.HOLD:
            assert parsed.is_hold


def test_every_fact_of_the_bench_can_be_typed_with_two_keys() -> None:
    """Every member of every closed set has a short form of at most two keys."""
    values = {row.value: row.short for row in VOCABULARY if row.kind is not TokenKind.TECHNIQUE}
    for member in (*MagnetPull, *Heft, *Form, *Surface, *Spark):
        assert len(values[member]) == 2
    assert set(COLOUR_LETTERS) == set(Colour)


def test_no_form_of_two_letters_is_a_unit() -> None:
    """ "kg" stays a weight."""
    assert reserved("kg") is None


def test_plain_colour_is_the_surface_and_scratch_the_metal(read: Reader) -> None:
    """A colour by itself is what is seen, after "scratch" what lies below."""
    bench = read("5 grey scratch yellow").facts.bench

    assert (bench.colour, bench.scratch) == (Colour.GREY, Colour.YELLOW)


def test_a_colour_within_a_name_is_no_colour(read: Reader) -> None:
    """The yellow of yellow brass is its name; the colour beside it is a fact."""
    parsed = read("5 yellow brass red")

    assert parsed.facts.bench.colour is Colour.RED
    assert parsed.facts.claim is not None and parsed.facts.claim.label == "yellow brass"


def test_surfaces_add_up(read: Reader) -> None:
    """Several surfaces and attachments stand beside each other."""
    bench = read("5 painted rusty att").facts.bench

    assert bench.surfaces == {Surface.PAINTED, Surface.RUSTY}
    assert bench.has_attachments


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("5 m0 magnetic", "keep one magnet"),
        ("5 ky red", "keep one surface colour"),
        ("5 h1 heavy", "keep one heft"),
        ("5 sheet wire", "keep one form"),
        ("5 xrf libs", "keep one technique"),
        ("5 axc ybr", "keep one bay"),
        ("5 hold ybr", "hold and bay YBR"),
    ],
)
def test_contradictions_are_asked_back(read: Reader, line: str, said: str) -> None:
    """Two facts that exclude each other are asked back."""
    assert said in read(line).problems[0]


def test_the_same_fact_twice_is_no_contradiction(read: Reader) -> None:
    """One fact in two words is one fact."""
    assert read("5 m0 nonmag").facts.bench == BenchFacts(magnet=MagnetPull.NONE)


@pytest.mark.parametrize("line", ["5 valve casting", "5 casting valve"])
def test_what_it_is_and_how_it_was_made_go_together(read: Reader, line: str) -> None:
    """What a piece is and that it was cast are no contradiction."""
    parsed = read(line)

    assert parsed.problems == ()
    assert parsed.facts.bench.form is Form.CASTING


def test_density_and_conductivity(read: Reader) -> None:
    """Density and conductivity are taken with their uncertainty where it is typed."""
    bench = read("5kg d8,45 iacs43+-1").facts.bench

    assert bench.density_g_cm3 is not None and bench.density_g_cm3.value == 8.45
    assert bench.iacs_pct is not None
    assert (bench.iacs_pct.value, bench.iacs_pct.sigma) == (43.0, 1.0)


@pytest.mark.parametrize("word", ["d84.5", "d0.1", "iacs300", "iacs0", "d8.4+-0"])
def test_impossible_measurements_are_problems(read: Reader, word: str) -> None:
    """A figure that no metal has is a problem, and no fact."""
    parsed = read(f"5kg {word}")

    assert len(parsed.problems) == 1
    assert parsed.facts.bench == BenchFacts()


@pytest.mark.parametrize(("line", "code"), [("5 axc", "AXC"), ("5 @YBR", "YBR"), ("hld 5", "HLD")])
def test_a_bay_is_chosen_by_its_code(read: Reader, line: str, code: str) -> None:
    """A code, with @ or without, chooses its bay."""
    assert read(line).bay_code == code


def test_an_unknown_bay_names_those_there_are(read: Reader) -> None:
    """A bay that is not there is answered with those there are."""
    assert read("5 @zzz").problems == ('no bay "zzz"; there are AXC, YBR, HLD',)


def test_the_note_is_kept_and_never_looked_up(read: Reader) -> None:
    """Behind the semicolon everything is text, whatever else it could mean."""
    parsed = read("5 304 ; m0 [red] 99kg; more")

    assert parsed.note == "m0 [red] 99kg; more"
    assert (parsed.mass_g, parsed.facts.bench) == (5_000, BenchFacts())


@pytest.mark.parametrize(
    ("word", "near"), [("sheeet", "sheet"), ("paintd", "painted"), ("bras", "brass"), ("stel", "steel")]
)
def test_an_unknown_word_names_the_nearest_known_one(read: Reader, word: str, near: str) -> None:
    """A slip of the finger is answered with the nearest word, and not taken for it."""
    parsed = read(f"5 {word}")

    assert parsed.problems[0].startswith(f"'{word}' not understood: {near}")
    assert parsed.tokens[-1].kind is TokenKind.UNKNOWN
    assert parsed.tokens[-1].offers[0] == near


def test_no_reserved_word_is_a_symbol_with_its_number() -> None:
    """Short forms that have the shape of a reading (h1..h5) are settled in favour of the short form."""
    shaped = {
        row.short for row in VOCABULARY if row.short[:-1].capitalize() in ELEMENTS and row.short[-1].isdigit()
    }
    assert shaped == {"h1", "h2", "h3", "h4", "h5"}


@pytest.mark.parametrize(
    ("typed", "density", "sigma"),
    # Brass, aluminium and lead at their handbook densities, weighed in water of 18 °C: m_w = m - V * 0.9986.
    [("d842.6/741.0", 8.27, 0.01), ("d270.0/170.2", 2.70, 0.005), ("density=1134/1034,2", 11.34, 0.04)],
)
def test_weights_in_air_and_water_are_a_density(
    read: Reader, typed: str, density: float, sigma: float
) -> None:
    """The density is what Archimedes says, no surer than the last figure typed and the water's warmth."""
    measured = read(f"12.4 {typed}").facts.bench.density_g_cm3

    assert measured is not None and measured.sigma is not None
    assert measured.value == pytest.approx(density, abs=0.02)
    assert sigma / 3 < measured.sigma < 3 * sigma


@pytest.mark.parametrize(
    ("typed", "said"), [("d741/842", "lighter in water than in air"), ("d842/820", "slipped point")]
)
def test_weights_that_no_metal_has_are_asked_back(read: Reader, typed: str, said: str) -> None:
    """A piece that weighs more in water, or hardly less, is a slip and no fact."""
    parsed = read(f"12.4 {typed}")

    assert parsed.facts.bench.density_g_cm3 is None
    assert said in " ".join(parsed.problems)
