"""Reads the keys of one table of yard.toml and says clearly what is wrong with them."""

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, TypeVar

from console.ground.cleaning import clean
from console.ground.mass import MassError, parse_mass_g
from console.yard.errors import YardFileError

_LONGEST_TEXT = 80
"""Names are shown on one line of the screen [characters]."""

AnyEnum = TypeVar("AnyEnum", bound=StrEnum)


@dataclass(frozen=True, slots=True)
class Fields:
    """One table of the file with the words that say where it stands."""

    place: str
    """ "yard.toml", "yard.toml, bay SSA"."""
    table: Mapping[str, Any]

    def wrong(self, key: str, what: str) -> YardFileError:
        """Return the error for one key."""
        return YardFileError(f"{self.place}, {key}: {what}")

    def refuse_unknown(self, known: tuple[str, ...]) -> None:
        """Raise for the first key that nothing reads, naming the nearest that there is."""
        for key in self.table:
            if key not in known:
                near = difflib.get_close_matches(key, known, n=1, cutoff=0.5)
                hint = f'; did you mean "{near[0]}"?' if near else f"; known keys: {', '.join(known)}"
                raise self.wrong(clean(key, _LONGEST_TEXT), f"this key is not known{hint}")

    def text(self, key: str, default: str | None = None) -> str:
        """Return a text, stripped and cleaned; not empty unless the default is."""
        value = self._get(key, default)
        if not isinstance(value, str):
            raise self.wrong(key, f'{value!r} is no text; write {key} = "..."')
        if len(value) > _LONGEST_TEXT:
            raise self.wrong(key, f"{len(value)} characters; at most {_LONGEST_TEXT}")
        stripped = clean(value).strip()
        if not stripped and default != "":
            raise self.wrong(key, f'is empty; write {key} = "..."')
        return stripped

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts; empty where the key is missing."""
        value = self.table.get(key, [])
        if not isinstance(value, list) or not all(isinstance(item, str) and item.strip() for item in value):
            raise self.wrong(key, f'needs a list of texts, such as {key} = ["...", "..."]')
        return tuple(clean(item, _LONGEST_TEXT).strip() for item in value)

    def number(self, key: str, default: float | None, low: float, high: float) -> float:
        """Return a number within low..high."""
        value = self._get(key, default)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.wrong(
                key, f"{value!r} is no number; write {key} = {default if default is not None else 1.5}"
            )
        if not low <= value <= high:
            raise self.wrong(key, f"{value:g} is outside {low:g} to {high:g}")
        return float(value)

    def flag(self, key: str, default: bool = False) -> bool:
        """Return true or false; the default where the key is missing."""
        value = self.table.get(key, default)
        if not isinstance(value, bool):
            raise self.wrong(key, f"{value!r} is neither true nor false")
        return value

    def mass_g(self, key: str, default: str | None = None) -> int:
        """Return a weight with its unit, in grams."""
        typed = self.text(key, default)
        if not typed[-1:].isalpha():
            raise self.wrong(
                key, f'"{typed}" names no unit; write {key} = "20 kg" (g, kg, t, lb or short ton)'
            )
        try:
            return parse_mass_g(typed, "kg")
        except MassError as error:
            raise self.wrong(key, str(error)) from error

    def members(self, key: str, members: type[AnyEnum]) -> frozenset[AnyEnum]:
        """Return a list of words of a closed set."""
        return frozenset(self._member(key, word, members) for word in self.texts(key))

    def _member(self, key: str, word: str, members: type[AnyEnum]) -> AnyEnum:
        try:
            return members(word.casefold())
        except ValueError:
            raise self.wrong(key, f'"{word}" is not one of {", ".join(members)}') from None

    def sub(self, key: str) -> "Fields":
        """Return a table inside this one; empty where it is missing."""
        value = self.table.get(key, {})
        if not isinstance(value, dict):
            raise self.wrong(key, f"needs a table, such as [{key}]")
        return Fields(f"{self.place}, {key}", value)

    def _get(self, key: str, default: Any) -> Any:
        if key in self.table:
            return self.table[key]
        if default is None:
            raise self.wrong(key, "is missing")
        return default
