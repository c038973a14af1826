"""Marks between shots on the entry line: / begins a further shot, // one on a spot ground just before."""

from console.panes.entry_line import EntryLine

SHOT, GROUND_SHOT = "/", "//"


class Marks:
    """Puts them at the end of the line; where a mark stands it is changed, none is added."""

    def __init__(self, line: EntryLine) -> None:
        self._line = line

    def shot(self) -> None:
        """Begin a further shot; on one just begun: make it one on a ground spot, and back."""
        is_begun = self._line.value.split()[-1:] == [SHOT]
        self._put(GROUND_SHOT if is_begun else SHOT)

    def ground_shot(self) -> None:
        """Begin a shot on a ground spot."""
        self._put(GROUND_SHOT)

    def _put(self, mark: str) -> None:
        line = self._line.value.rstrip()
        while line.endswith("/"):
            line = line[:-1].rstrip()
        self._line.put(f"{line} {mark} ".lstrip())
