"""Reads the [readings_files] table of yard.toml: how the files of an analyser's software are written."""

from collections.abc import Mapping

from console.readings.csv_rows import known_column
from console.readings.mapping import DECIMALS, DELIMITERS, IGNORE, ReadingsMapping
from console.yard.file.fields import Fields
from grade_library.technique import Profile

READINGS_KEYS = ("folder", "columns", "ignore", "delimiter", "decimal", "technique")


def readings_mapping_from(file: Fields, techniques: Mapping[str, Profile]) -> ReadingsMapping:
    """Return how readings files are written; the usual where there is no [readings_files].

    Args:
        file: The whole file.
        techniques: Key -> profile, as the yard knows them.

    Raises:
        YardFileError: A key is wrong; the message names it and what would be right.
    """
    fields = file.sub("readings_files")
    fields.refuse_unknown(READINGS_KEYS)
    columns = _columns(fields)
    ignore = {_folded(name) for name in fields.texts("ignore")}
    ignore |= {name for name, target in columns.items() if target == IGNORE}
    return ReadingsMapping(
        folder=fields.text("folder", "") or None,
        columns={name: target for name, target in columns.items() if target != IGNORE},
        ignore=frozenset(ignore),
        delimiter=_character(fields, "delimiter", DELIMITERS),
        decimal=_character(fields, "decimal", DECIMALS),
        technique=fields.word("technique", str(file.table.get("technique", "xrf")), techniques),
        techniques=techniques,
    )


def _columns(fields: Fields) -> dict[str, str]:
    """Return column as headed, folded -> column as known."""
    inner = fields.sub("columns")
    columns: dict[str, str] = {}
    for name in inner.table:
        target = inner.text(name)
        if target != IGNORE and known_column(target) is None:
            raise inner.wrong(
                name,
                f'"{target}" is neither an element symbol nor a column such as piece, ground, technique; '
                'a column that nobody needs goes to "ignore"',
            )
        columns[_folded(name)] = target
    return columns


def _folded(name: str) -> str:
    return name.strip().casefold()


def _character(fields: Fields, key: str, known: Mapping[str, str]) -> str | None:
    """Return the character that a word or the character itself stands for; None where the key is missing."""
    if key not in fields.table:
        return None
    value = fields.table[key]
    if not isinstance(value, str) or value not in known:
        words = ", ".join(f'"{word}"' for word in known if word.isalpha())
        raise fields.wrong(key, f"{value!r} is not one of {words}")
    return known[value]
