"""Reads a scale of yard.toml, and how it is wired up where it is."""

import re

from console.ground.mass import UNIT_WORDS, UNITS_G
from console.readings.scale.wire import GROUPS, LONGEST_PATTERN, Parity, ScaleWire
from console.yard.file.fields import Fields
from console.yard.yard import Scale

_KEYS = ("port", "pattern", "baud", "bits", "parity", "stop_bits", "unit", "decimal", "ask", "wait_seconds")
_BAUDS = (300, 600, 1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200)
_LONGEST_ASK = 20
USUAL_WORD, LONGEST_WORD = "p", 12
EXAMPLE = r"pattern = '(?P<stable>ST)?,.*?(?P<weight>[+-]? *[0-9.]+) *(?P<unit>kg|lb|g)'"


def read_scale(fields: Fields, key: str, *, is_of_pieces: bool) -> Scale:
    """Return one of the yard's scales.

    Args:
        fields: The whole file.
        key: Name of its table.
        is_of_pieces: The bench scale, which may be wired; the other one has a word on the entry line.

    Raises:
        YardFileError: Something is missing or wrong; the message says what would be right.
    """
    if key not in fields.table:
        raise fields.wrong(
            key, f'is missing; write [{key}] with name, division = "20 g" and largest = "60 kg"'
        )
    scale = fields.sub(key)
    more = ("wire",) if is_of_pieces else ("word", "heavy_pieces")
    scale.refuse_unknown(("name", "division", "largest", *more))
    division, largest = scale.mass_g("division"), scale.mass_g("largest")
    if division >= largest:
        raise scale.wrong(
            "division",
            f"{scale.text('division')} needs to be below largest, {scale.text('largest')}",
        )
    wire = _wire(scale.sub("wire")) if "wire" in scale.table else None
    return Scale(
        name=scale.text("name"),
        division_g=division,
        largest_g=largest,
        wire=wire,
        word="" if is_of_pieces else _word_on_the_line(scale),
        weighs_heavy_pieces=scale.flag("heavy_pieces", False),
    )


def _word_on_the_line(scale: Fields) -> str:
    word = scale.text("word", USUAL_WORD).casefold()
    if not word.isalpha() or len(word) > LONGEST_WORD or word in UNIT_WORDS:
        raise scale.wrong(
            "word", f'"{word}" needs to be 1 to {LONGEST_WORD} letters, and no unit, such as "p"'
        )
    return word


def _wire(fields: Fields) -> ScaleWire:
    fields.refuse_unknown(_KEYS)
    pattern = _pattern(fields)
    return ScaleWire(
        port=fields.text("port"),
        pattern=pattern,
        baud=_one_of(fields, "baud", 9600, _BAUDS),
        bits=_one_of(fields, "bits", 8, (7, 8)),
        parity=Parity(fields.word("parity", Parity.NONE, Parity)),
        stop_bits=_one_of(fields, "stop_bits", 1, (1, 2)),
        unit=_unit(fields, pattern),
        decimal=fields.word("decimal", "point", ("point", "comma")),
        ask=_ask(fields),
        wait_s=fields.number("wait_seconds", 3.0, 0.5, 20.0),
    )


def _pattern(fields: Fields) -> str:
    """Return the pattern, which is one and has no groups but those that are known."""
    typed = fields.table.get("pattern")
    if not isinstance(typed, str) or not typed:
        raise fields.wrong("pattern", f"needs a regular expression in single quotes, such as {EXAMPLE}")
    if len(typed) > LONGEST_PATTERN:
        raise fields.wrong("pattern", f"{len(typed)} characters; at most {LONGEST_PATTERN}")
    try:
        groups = set(re.compile(typed).groupindex)
    except (re.error, RecursionError, OverflowError) as error:
        raise fields.wrong("pattern", f"is no regular expression ({error}); such as {EXAMPLE}") from error
    if "weight" not in groups:
        raise fields.wrong("pattern", f"has no group (?P<weight>...); such as {EXAMPLE}")
    if unknown := sorted(groups - set(GROUPS)):
        raise fields.wrong("pattern", f'group "{unknown[0]}" is not one of {", ".join(GROUPS)}')
    return typed


def _unit(fields: Fields, pattern: str) -> str:
    if "unit" not in fields.table:
        if "(?P<unit>" not in pattern:
            raise fields.wrong("unit", 'is missing, and the pattern has no group unit; write unit = "kg"')
        return ""
    return fields.word("unit", "kg", UNITS_G)


def _ask(fields: Fields) -> str:
    """Return what the scale is asked with; it keeps its line ends."""
    typed = fields.table.get("ask", "")
    if not isinstance(typed, str) or not typed.isascii() or len(typed) > _LONGEST_ASK:
        raise fields.wrong("ask", f'needs at most {_LONGEST_ASK} ASCII characters, such as ask = "S\\r\\n"')
    return typed


def _one_of(fields: Fields, key: str, usual: int, known: tuple[int, ...]) -> int:
    value = fields.table.get(key, usual)
    if isinstance(value, bool) or value not in known:
        raise fields.wrong(key, f"{value!r} is not one of {', '.join(map(str, known))}")
    return int(value)
