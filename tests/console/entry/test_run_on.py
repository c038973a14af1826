"""Blanks that a sorter in a hurry leaves out before short forms and bays."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.entry.parsed import ParsedLine
from tests.console.entry.conftest import Reader


def said(parsed: ParsedLine) -> tuple[object, ...]:
    """Return what a line says, however it is written."""
    tokens = tuple((token.kind, token.meaning) for token in parsed.tokens)
    return tokens, parsed.mass_g, parsed.count, parsed.bay_code, parsed.is_hold, parsed.facts.shots


@pytest.mark.parametrize(
    ("run_on", "spaced"),
    [
        ("12.4.e+b", "12.4 .e +b"),
        ("12.4kg.s", "12.4kg .s"),
        ("12.4m0kd", "12.4 m0 kd"),
        ("12.4ybr", "12.4 ybr"),
        ("12.4ybr.s", "12.4 ybr .s"),
        ("2.6?", "2.6 ?"),
        ("5 304.sm0", "5 304 .s m0"),
        ("5 304m0", "5 304 m0"),
        ("5 63s.e", "5 63s .e"),
        ("5 titanium.t", "5 titanium .t"),
        ("5 cr18.2ni8.1.sm0", "5 cr18.2ni8.1 .s m0"),
        ("5 cr18.2ni8.1m0", "5 cr18.2ni8.1 m0"),
        ("5M0KD", "5 m0 kd"),
    ],
)
def test_a_blank_may_be_left_out_before_a_short_form_or_a_bay(run_on: str, spaced: str, read: Reader) -> None:
    """What is run together says exactly what the words say with blanks between them."""
    assert said(read(run_on)) == said(read(spaced))
    assert not read(run_on).problems


@pytest.mark.parametrize(
    "line",
    [
        *("5 42crmo4+a", "5 16mncr5+a", "5 1.4301", "5 356.0", "3kg 304", "5 d2.5", "5 s7", "5 al99.5"),
        *("5 x52", "5 64-28", "5 60-40", "5 90/10", "5 cr18.2h2", "3x 5", "5 e.g", "5 tool.ob", "5 zz.s"),
        *("5sn", "5cu", "5 scrapm0"),
    ],
)
def test_what_means_something_as_it_stands_or_nothing_in_parts_stays_whole(line: str, read: Reader) -> None:
    """Tempers, norm numbers, readings and words that nobody knows are no run of short forms."""
    words = line.split()

    assert [token.text for token in read(line).tokens if token.text in words] == words


PARTS = st.permutations([".s", "+p", "m0", "h4", "z2", "ky"])


@given(parts=PARTS, count=st.integers(1, 6))
def test_any_run_of_short_forms_is_that_of_its_words(parts: list[str], count: int, read: Reader) -> None:
    """In whatever order and however many, behind a weight."""
    some = parts[:count]

    assert said(read("5" + "".join(some))) == said(read(" ".join(["5", *some])))


def test_a_bay_that_is_called_like_a_run_is_the_bay(read: Reader) -> None:
    """A code goes before the short forms that it is made of, and a unit before a code."""
    assert read("5kg").mass_g == 5_000
    assert read("5 hld").bay_code == "HLD"
