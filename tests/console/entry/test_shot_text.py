"""Shots as entry-line text, and back."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from console.entry.parse import parse_line
from console.entry.splitting import split_line
from console.readings.shot_text import shots_as_line
from grade_library.elements import ELEMENTS
from grade_library.facts import Reading, Shot
from grade_library.library import load
from grade_library.naming.names import NameIndex

NAMES = NameIndex(load())
WT_PCT = st.integers(0, 100_000).map(lambda value: value / 10_000)


@st.composite
def readings(draw: st.DrawFn, technique: str) -> Reading:
    symbols = draw(st.lists(st.sampled_from(sorted(ELEMENTS)), min_size=1, max_size=8, unique=True))
    found = draw(st.integers(0, len(symbols)))
    values = {symbol: draw(WT_PCT) for symbol in symbols[:found]}
    stated = [symbol for symbol in values if draw(st.booleans())]
    return Reading(
        values=values,
        below={symbol: draw(WT_PCT) for symbol in symbols[found:]},
        sigma={symbol: draw(WT_PCT.filter(bool)) for symbol in stated},
        technique=technique,
    )


@st.composite
def series(draw: st.DrawFn) -> tuple[Shot, ...]:
    technique = draw(st.sampled_from(["xrf", "libs", "lab"]))
    one = st.builds(Shot, reading=readings(technique), is_ground=st.booleans())
    return tuple(draw(st.lists(one, min_size=1, max_size=4)))


@given(series())
@example((Shot(reading=Reading(values={}, below={"H": 10.0}, technique="xrf")),))  # H10 is a grade
def test_the_text_parses_to_the_same_shots(shots: tuple[Shot, ...]) -> None:
    """Whatever an analyser read, its text on the entry line says the same, with all grade names known."""
    parsed = parse_line(f"12.4kg {shots_as_line(shots, 'xrf')}", names=NAMES, yard=None)

    assert parsed.problems == ()
    assert parsed.facts.shots == shots
    assert parsed.mass_g == 12_400


def test_no_shot_is_no_text() -> None:
    """Without a shot there is nothing to write on the line."""
    assert shots_as_line([], "xrf") == ""


def test_two_techniques_are_refused() -> None:
    """Shots of two techniques cannot stand on one line."""
    both = [Shot(reading=Reading(values={"Cr": 1.0}, technique=key)) for key in ("xrf", "lab")]

    with pytest.raises(ValueError, match="xrf, lab"):
        shots_as_line(both, "xrf")


def test_slashes_are_cut_where_a_shot_begins() -> None:
    """One or two before a word or after one stand alone, more are no sign of a shot."""

    def words(line: str) -> list[str]:
        return [word.text for word in split_line(line).words]

    assert words("//lab ni8") == ["//", "lab", "ni8"]
    assert words("ni8.1/ cr18// fe70") == ["ni8.1", "/", "cr18", "//", "fe70"]
    assert words("bar/rod ni8///") == ["bar/rod", "ni8///"]
    assert words("///x //") == ["///x", "//"]
