"""Bench facts as entry-line words, and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.entry.editing.bench_text import bench_as_words
from console.entry.parse import parse_line
from grade_library.facts import BenchFacts, Form, Heft, MagnetPull, Measured, Spark, Surface
from grade_library.grade import Colour
from grade_library.library import load
from grade_library.naming.names import NameIndex

NAMES = NameIndex(load())
MEASURED = st.builds(
    Measured,
    value=st.integers(100_000, 2_000_000).map(lambda value: value / 100_000),
    sigma=st.none() | st.integers(1, 100).map(lambda value: value / 100),
)


def maybe(kind: type) -> st.SearchStrategy[object]:
    return st.none() | st.sampled_from(list(kind))


BENCH = st.builds(
    BenchFacts,
    magnet=maybe(MagnetPull),
    colour=maybe(Colour),
    scratch=maybe(Colour),
    heft=maybe(Heft),
    form=maybe(Form),
    surfaces=st.frozensets(st.sampled_from(list(Surface))),
    has_attachments=st.booleans(),
    spark=maybe(Spark),
    density_g_cm3=st.none() | MEASURED,
    iacs_pct=st.none() | MEASURED,
)


@given(BENCH)
def test_the_words_parse_to_the_same_facts(bench: BenchFacts) -> None:
    """Whatever the columns of a file say, its words on the entry line say the same, before a reading too."""
    line = " ".join(["12.4kg", *bench_as_words(bench), "cr=18.2"])

    parsed = parse_line(line, names=NAMES, yard=None)

    assert parsed.problems == ()
    assert parsed.facts.bench == bench
    assert parsed.facts.shots[0].reading.values == {"Cr": 18.2}


@pytest.mark.parametrize("density", [2.0, 3.0, 7.0, 8.0])
def test_a_whole_density_is_no_grade(density: float) -> None:
    """D2, D3 and D7 are tool steels: a density always has its point."""
    words = bench_as_words(BenchFacts(density_g_cm3=Measured(value=density)))

    parsed = parse_line(" ".join(["12.4kg", *words]), names=NAMES, yard=None)

    assert parsed.facts.claim is None
    assert parsed.facts.bench.density_g_cm3 == Measured(value=density)


def test_every_colour_has_a_word() -> None:
    """Also the ones that the screen seldom sees."""
    for colour in Colour:
        assert bench_as_words(BenchFacts(colour=colour))[0].startswith("k")
