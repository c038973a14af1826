"""How the readings files of a yard are written: columns, delimiter, decimal sign."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from grade_library.technique import Profile, profiles

DELIMITERS: Mapping[str, str] = {
    "comma": ",",
    ",": ",",
    "semicolon": ";",
    ";": ";",
    "tab": "\t",
    "\t": "\t",
    "bar": "|",
    "|": "|",
}
"""As written in yard.toml -> the character."""
DECIMALS: Mapping[str, str] = {"point": ".", ".": ".", "comma": ",", ",": ","}
"""As written in yard.toml -> the character."""
IGNORE = "ignore"
"""Target of a column that nobody needs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingsMapping:
    """What yard.toml says of the files that an analyser's software drops."""

    folder: str | None = None
    """Where they are dropped, from the yard's folder on; None where the yard names no folder."""
    columns: Mapping[str, str] = field(default_factory=dict)
    """Column as the file heads it, case-folded and stripped -> column as known here ("piece", "Cr")."""
    ignore: frozenset[str] = frozenset()
    """Columns to leave out, case-folded and stripped."""
    delimiter: str | None = None
    """One character; None for what the header shows."""
    decimal: str | None = None
    """ "." or ","; None for what the cells show."""
    technique: str = "xrf"
    """Of rows that name none."""
    techniques: Mapping[str, Profile] = field(default_factory=profiles)
    """Those that a row may name."""
