"""A scale by wire, over a real pseudo-terminal."""

from dataclasses import replace

import pytest

from console.readings.scale.sent_line import SentWeight, compiled, weight_sent
from console.readings.scale.weighing import steady_mass_g
from console.readings.scale.wire import ScaleTrouble, ScaleWire
from tests.console.readings.wired import PATTERN, scale_at

WIRE = ScaleWire(port="", pattern=PATTERN, wait_s=0.5)
ASKED = replace(WIRE, ask="W\r\n")
LARGEST_G = 300_000


@pytest.mark.parametrize(
    ("sent", "grams"),
    [
        ((b"= 12.40 kg\r\n",), 12_400),
        ((b"  11.90 kg\r\n", b"  12.10 kg\r\n", b"= 12.40 kg\r\n"), 12_400),
        ((b"=3 lb\n",), 1361),
        ((b"= 0.82", b"0 kg\r"), 820),
        ((b"garbage\xff\xfe\r\n", b"= 5 kg\r\n"), 5000),
    ],
)
def test_the_steady_weight_is_taken(sent: tuple[bytes, ...], grams: int) -> None:
    """The first weight that stands still counts, in whole grams, whatever came before it or in pieces."""
    with scale_at(*sent) as wire:
        assert steady_mass_g(wire, LARGEST_G, "kg") == grams


def test_a_scale_that_wants_to_be_asked_is_asked() -> None:
    """What stands under ask is sent, again while the weight still moves."""
    with scale_at(b"  12.1 kg\r\n", b"= 12.4 kg\r\n", wire=replace(ASKED, wait_s=2.0)) as wire:
        assert steady_mass_g(wire, LARGEST_G, "kg") == 12_400


def test_without_a_sign_for_steady_three_alike_count() -> None:
    """A scale that does not say is steady when three lines in a row agree, and not before."""
    plain = replace(WIRE, pattern=r"(?P<weight>[0-9.]+)", unit="kg")
    with scale_at(b"1.0\n", b"1.2\n", b"1.4\n", b"1.4\n", b"1.4\n", wire=plain) as wire:
        assert steady_mass_g(wire, LARGEST_G, "kg") == 1400
    with scale_at(b"1.0\n", b"1.0\n", b"1.2\n", wire=plain) as wire, pytest.raises(ScaleTrouble):
        steady_mass_g(wire, LARGEST_G, "kg")


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ((), "sends nothing"),
        ((b"  12.1 kg\r\n", b"  12.4 kg\r\n"), "does not come to rest"),
        ((b"= -0.02 kg\r\n",), "below zero"),
        ((b"= 0.00 kg\r\n",), "nothing on it"),
        ((b"= 412 kg\r\n",), "412.00 kg, more than the 300.00 kg"),
        ((b"= 12.4 oz\r\n",), 'shows "oz"; set it to kg, g, lb or t'),
        ((b"= 12,4 kg\r\n",), '"12,4" is no number with a decimal point'),
        ((b"hello\r\n",), 'sends "hello"'),
        ((b"\xf0\x9f\x92\xa5\x00\r\n",), "does not read"),
        ((b"\x80" * 200,), "sends bytes and no lines"),
    ],
)
def test_what_is_wrong_is_said_in_one_line(sent: tuple[bytes, ...], said: str) -> None:
    """Silence, no rest, below zero, too much, a wrong unit and garbage each have their sentence."""
    with scale_at(*sent) as wire, pytest.raises(ScaleTrouble) as refusal:
        steady_mass_g(wire, LARGEST_G, "kg")

    assert said in str(refusal.value)
    assert "\n" not in str(refusal.value)
    assert str(refusal.value).isprintable()


def test_a_refusal_speaks_in_the_unit_of_the_yard() -> None:
    """A yard that weighs in pounds is told its limit in pounds, whatever the scale sends."""
    with scale_at(b"= 412.4 kg\r\n") as wire, pytest.raises(ScaleTrouble, match=r"909\.\d+ lb, more than"):
        steady_mass_g(wire, LARGEST_G, "lb")


def test_a_port_that_is_not_there_or_in_use_is_said() -> None:
    """A wrong name of the port and one that another program has are told with the name."""
    with pytest.raises(ScaleTrouble, match="/nowhere/tty9 cannot be opened"):
        steady_mass_g(replace(WIRE, port="/nowhere/tty9"), LARGEST_G, "kg")


def test_another_unit_than_the_one_set_is_refused() -> None:
    """A scale that somebody switched to pounds gives no weight."""
    said = "yard.toml says kg: set the scale back"
    pounds = scale_at(b"= 12.4 lb\r\n", wire=replace(WIRE, unit="kg"))
    with pounds as wire, pytest.raises(ScaleTrouble, match=said):
        steady_mass_g(wire, LARGEST_G, "kg")


def test_a_pattern_without_an_end_is_given_up() -> None:
    """Two ways for every letter are more tries than a year has moments; it is told in a moment."""
    pattern = r"^(?:a|aa)+$(?P<weight>x)"

    with pytest.raises(ScaleTrouble, match="does not come to an end"):
        weight_sent("a" * 60 + "b", WIRE, compiled(pattern))


def test_only_the_begin_of_a_long_line_is_looked_at() -> None:
    """A weight after 120 characters is not there."""
    with pytest.raises(ScaleTrouble, match="does not read"):
        weight_sent(" " * 120 + "= 12.4 kg", WIRE, compiled(PATTERN))


def test_a_comma_is_a_decimal_where_the_yard_says_so() -> None:
    """ "1,200" can be 1.2 or 1200: the setting decides, never a guess."""
    comma = replace(WIRE, decimal="comma")

    assert weight_sent("= 1,200 kg", comma, compiled(PATTERN)) == SentWeight(mass_g=1200, is_steady=True)
    with pytest.raises(ScaleTrouble, match="decimal comma"):
        weight_sent("= 1.200 kg", comma, compiled(PATTERN))
