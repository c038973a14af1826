"""Reads the keys of one table of yard.toml and says clearly what is wrong with them."""

import difflib
from collections.abc import Iterable, Mapping
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

    def word(self, key: str, default: str | None, known: Iterable[str]) -> str:
        """Return a word of a closed set, case-blind."""
        return self._one_of(key, self.text(key, default).casefold(), known)

    def members(self, key: str, members: type[AnyEnum]) -> frozenset[AnyEnum]:
        """Return a list of words of a closed set, case-blind."""
        return frozenset(members(self._one_of(key, word.casefold(), members)) for word in self.texts(key))

    def _one_of(self, key: str, word: str, known: Iterable[str]) -> str:
        if word not in (words := tuple(known)):
            raise self.wrong(key, f'"{word}" is not one of {", ".join(words)}')
        return word

    def sub(self, key: str) -> "Fields":
        """Return a table inside this one; empty where it is missing."""
        value = self.table.get(key, {})
        if not isinstance(value, dict):
            raise self.wrong(key, f"needs a table, such as [{key}]")
        return Fields(f"{self.place}, {key}", value)

    def tables(self, key: str, *, named_by: str = "", header: str = "") -> list["Fields"]:
        """Return the tables of one kind, in their order; none where the file has none.

        Args:
            key: Of the tables, as in [[bay]].
            named_by: The key by whose text a table is told from the others; by its number where it has none.
            header: What stands in its double brackets, where that is more than the key.
        """
        tables = self.table.get(key, [])
        if not isinstance(tables, list) or not all(isinstance(one, dict) for one in tables):
            raise self.wrong(key, f"every {key} starts with a line [[{header or key}]]")
        found = []
        for number, one in enumerate(tables, start=1):
            name = one.get(named_by)
            told = clean(name, 20) if isinstance(name, str) and name.strip() else number
            found.append(Fields(f"{self.place}, {key} {told}", one))
        return found

    def _get(self, key: str, default: Any) -> Any:
        if key in self.table:
            return self.table[key]
        if default is None:
            raise self.wrong(key, "is missing")
        return default
