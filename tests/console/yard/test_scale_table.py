"""The table [piece_scale.wire] of yard.toml."""

import re
from pathlib import Path
from typing import Any

import pytest

from console.readings.scale.wire import Parity, ScaleWire
from console.yard.errors import YardFileError
from console.yard.file.fields import Fields
from console.yard.file.scale_table import EXAMPLE, read_scale
from console.yard.yard import Scale
from tests.conftest import DEMO_YARD

SCALE = {"name": "bench", "division": "20 g", "largest": "60 kg"}
PATTERN = r"(?P<weight>[0-9.]+) (?P<unit>kg)"


def wire_of(**table: Any) -> ScaleWire | None:
    fields = Fields("yard.toml", {"piece_scale": {**SCALE, "wire": table}})
    return read_scale(fields, "piece_scale", is_of_pieces=True).wire


def test_everything_that_can_be_set() -> None:
    """Each key of the table reaches the wire; what is left out has a default."""
    wire = wire_of(
        port="COM3", pattern=PATTERN, baud=4800, bits=7, parity="Even", stop_bits=2, unit="lb",
        decimal="comma", ask="W\r\n", wait_seconds=5,
    )  # fmt: skip

    assert wire == ScaleWire(
        port="COM3", pattern=PATTERN, baud=4800, bits=7, parity=Parity.EVEN, stop_bits=2, unit="lb",
        decimal="comma", ask="W\r\n", wait_s=5.0,
    )  # fmt: skip
    assert wire_of(port="COM3", pattern=PATTERN) == ScaleWire(port="COM3", pattern=PATTERN)


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ({"pattern": PATTERN}, "port: is missing"),
        ({"port": "COM3"}, "pattern: needs a regular expression"),
        ({"port": "COM3", "pattern": "(?P<weight>[0-9"}, "is no regular expression"),
        ({"port": "COM3", "pattern": "[0-9.]+"}, "has no group"),
        ({"port": "COM3", "pattern": "(?P<weight>1)(?P<net>2)"}, '"net" is not one of weight, unit, stable'),
        ({"port": "COM3", "pattern": "(?P<weight>1)" + "x" * 200}, "at most 200"),
        ({"port": "COM3", "pattern": "(?P<weight>1)"}, "unit: is missing"),
        ({"port": "COM3", "pattern": PATTERN, "unit": "oz"}, '"oz" is not one of kg'),
        ({"port": "COM3", "pattern": PATTERN, "baud": 9601}, "9601 is not one of 300"),
        ({"port": "COM3", "pattern": PATTERN, "bits": True}, "True is not one of 7, 8"),
        ({"port": "COM3", "pattern": PATTERN, "ask": "gewicht ä"}, "ASCII characters"),
        ({"port": "COM3", "pattern": PATTERN, "speed": 1}, "this key is not known"),
    ],
)
def test_what_is_wrong_is_named(table: dict[str, Any], said: str) -> None:
    """The message names the table, the key and what would be right."""
    with pytest.raises(YardFileError, match=r"piece_scale, wire") as refusal:
        wire_of(**table)

    assert said in str(refusal.value)


def test_the_ticket_scale_has_no_wire() -> None:
    """Weights of pieces come from the bench."""
    fields = Fields("yard.toml", {"ticket_scale": {**SCALE, "wire": {}}})

    with pytest.raises(YardFileError, match="wire: this key is not known"):
        read_scale(fields, "ticket_scale", is_of_pieces=False)


def test_the_examples_that_are_shown_can_be_taken() -> None:
    """The pattern of the message, and the commented table of the demo yard."""
    import tomllib

    assert wire_of(port="COM3", **tomllib.loads(EXAMPLE)) is not None
    text = (Path(DEMO_YARD) / "yard.toml").read_text(encoding="utf-8")
    block = text[text.index("# [piece_scale.wire]") : text.index("[ticket_scale]")]
    table = tomllib.loads(re.sub(r"^# ", "", block, flags=re.MULTILINE))["piece_scale"]["wire"]
    assert wire_of(**table) is not None


def test_the_ticket_scale_has_a_word_and_may_weigh_heavy_pieces() -> None:
    """The word is p where none is written; a unit or a figure is refused with what would be right."""

    def scale_of(**table: Any) -> Scale:
        return read_scale(
            Fields("yard.toml", {"ticket_scale": SCALE | table}), "ticket_scale", is_of_pieces=False
        )

    assert (scale_of().word, scale_of().weighs_heavy_pieces) == ("p", False)
    assert (scale_of(word="Big").word, scale_of(heavy_pieces=True).weighs_heavy_pieces) == ("big", True)
    for wrong in ("kg", "p2", "a" * 13):
        with pytest.raises(YardFileError, match="letters, and no unit"):
            scale_of(word=wrong)
