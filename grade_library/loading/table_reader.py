"""Takes typed values out of one TOML table and notes what is wrong with them."""

from collections.abc import Collection, Mapping
from typing import Any

from grade_library.loading.sources import nearest


class TableReader:
    """Values of one table; a fault is noted and a harmless value returned, so that all come out at once."""

    def __init__(self, table: Mapping[str, Any]) -> None:
        self.table = table
        self.problems: list[str] = []
        """Each begins with what it is about, after the place: ", Cr: ..." or ": ..."."""

    def fault(self, text: str, about: str | None = None) -> None:
        """Note a fault, of one element or key where there is one to name."""
        self.problems.append(f", {about}: {text}" if about else f": {text}")

    def text(self, key: str) -> str:
        """Return a text, empty where none is stated."""
        value = self.table.get(key, "")
        if not isinstance(value, str):
            self.fault(f'needs text in quotes, such as {key} = "..."', key)
            return ""
        return value.strip()

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts, empty where none is stated."""
        value = self.table.get(key, [])
        if not isinstance(value, list) or not all(
            isinstance(entry, str) and entry.strip() for entry in value
        ):
            self.fault(f'needs a list of texts, such as {key} = ["..."]', key)
            return ()
        return tuple(entry.strip() for entry in value)

    def flag(self, key: str) -> bool:
        """Return True or False, False where none is stated."""
        value = self.table.get(key, False)
        if not isinstance(value, bool):
            self.fault("needs true or false, without quotes", key)
        return value is True

    def number(self, key: str, low: float, high: float, unit: str) -> float:
        """Return a number of low..high [unit], low where none is stated."""
        value = self.table.get(key, low)
        if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            self.fault(f"{value!r} needs a number of {low:g} to {high:g} {unit}, without quotes", key)
            return low
        return float(value)

    def choice(self, key: str, known: Collection[str]) -> str:
        """Return one of the known words, empty where none is stated."""
        value = self.text(key)
        if key in self.table and value not in known:
            self.fault(f'"{value}" is unknown{nearest(value, known)}; one of: {", ".join(known)}', key)
            return ""
        return value

    def inline(self, key: str, example: str) -> Mapping[str, Any]:
        """Return an inline table, empty where none is stated."""
        value = self.table.get(key, {})
        if not isinstance(value, dict):
            self.fault(f"needs an inline table, such as {key} = {{ {example} }}", key)
            return {}
        return value
