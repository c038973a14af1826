"""The lines tallied in this sitting, to be called back and tallied again."""

LONGEST = 200
"""Lines kept; nobody steps back further than that."""


class LineHistory:
    """Lines, newest last, and the place of the one called back."""

    def __init__(self) -> None:
        self._lines: list[str] = []
        self._place = 0

    def add(self, line: str) -> None:
        """Keep a line; the next call back starts from it."""
        if line.strip() and line not in self._lines[-1:]:
            self._lines = [*self._lines, line][-LONGEST:]
        self._place = len(self._lines)

    @property
    def newest(self) -> str:
        """The line tallied last; empty before the first."""
        return self._lines[-1] if self._lines else ""

    def is_showing(self, line: str) -> bool:
        """Tell whether the line is the one called back, unchanged."""
        return self._place < len(self._lines) and self._lines[self._place] == line

    def step(self, by: int) -> str:
        """Return the next older (-1) or newer (+1) line; empty beyond the newest.

        >>> history = LineHistory()
        >>> history.add("12.4 304"); history.add("3.1 brass")
        >>> history.step(-1), history.step(-1), history.step(-1), history.step(1), history.step(1)
        ('3.1 brass', '12.4 304', '12.4 304', '3.1 brass', '')
        """
        self._place = max(0, min(self._place + by, len(self._lines)))
        return self._lines[self._place] if self._place < len(self._lines) else ""
