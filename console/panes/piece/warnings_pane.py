"""What must not be missed of the piece at hand: a skin that the reading is of, and cautions."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane
from console.panes.piece import skin_warning

if TYPE_CHECKING:
    from grade_library.cautions import Caution
    from grade_library.verdict import SkinVerdict

LEVEL_STYLES = {"STOP": "bold reverse $error", "WARN": "bold reverse $warning", "NOTE": "bold"}
CAUTION_ROWS = 4
"""At most so many at 80x24: the longest caution has its title and every word there."""
ROWS = skin_warning.ROWS + CAUTION_ROWS


class WarningsPane(DrawnPane):
    """Lies over the last rows of the panes beneath it, out of sight until there is something to say.

    It is moved and never resized: panes that gave it room would have to be laid out and painted anew, in the
    middle of a word. A row once taken is kept while keys are pressed, so that nothing jumps. A caution that a
    piece was tallied under in this shift is a title from then on; a STOP is always told in full.
    """

    key: reactive[str] = reactive("", repaint=False)
    """Key that shows the cautions in full, as printed on the keyboard."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._skin: SkinVerdict | None = None
        self._cautions: tuple[Caution, ...] = ()
        self._width = self._skin_rows = self._caution_rows = 0
        self._told: set[tuple[str, str]] = set()

    @property
    def rows(self) -> int:
        """Rows that it lies over."""
        return self._skin_rows + self._caution_rows

    def say(self, skin: "SkinVerdict | None", cautions: tuple["Caution", ...]) -> None:
        """Say what is to be said of the line as it is now.

        Args:
            skin: What the readings say of a skin; None where they were not looked at for one.
            cautions: Strongest first.
        """
        width = max(20, self.app.size.width - 2)
        if skin is self._skin and cautions == self._cautions and width == self._width:
            return
        self._skin, self._cautions, self._width = skin, cautions, width
        self._take(*self._wanted(self._skin_rows, self._caution_rows))

    @property
    def has_spare_rows(self) -> bool:
        """Whether it lies over rows that nothing stands in."""
        return self.rows > sum(self._wanted(0, 0))

    def give_back(self) -> None:
        """Give the rows back that nothing stands in: the keys rest."""
        self._take(*self._wanted(0, 0))

    def _wanted(self, skin_rows: int, caution_rows: int) -> tuple[int, int]:
        """Return the rows for a skin and for cautions, at least so many of each as far as there are."""
        caution_rows = _caution_rows(self._skin, *self._parted(), self._width, caution_rows)
        needed = len(skin_warning.lines_for(self._skin, self._width, ROWS - caution_rows))
        return min(max(skin_rows, needed), ROWS - caution_rows), caution_rows

    def count_as_told(self) -> None:
        """Take note that a piece was tallied under the cautions that stand in full."""
        fresh, told = self._parted()
        shown = fresh if len(_in_full(fresh, self._width)) + bool(told) <= self._caution_rows else fresh[:1]
        self._told |= {_kind(caution) for caution in shown}

    def begin_shift(self) -> None:
        """Tell every caution in full again: somebody else reads them."""
        self._told.clear()

    def _parted(self) -> tuple[tuple["Caution", ...], tuple["Caution", ...]]:
        """Return the cautions to be told in full, and those whose title is enough."""
        told = tuple(one for one in self._cautions if str(one.level) != "stop" and _kind(one) in self._told)
        return tuple(one for one in self._cautions if one not in told), told

    def fall_silent(self) -> None:
        """Give the rows back: the line is blank."""
        self._skin, self._cautions = None, ()
        self._take(0, 0)

    def _take(self, skin_rows: int, caution_rows: int) -> None:
        self._skin_rows, self._caution_rows = skin_rows, caution_rows
        if self.styles.offset.y.value != ROWS - self.rows:
            self.styles.offset = (0, ROWS - self.rows)
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the skin above the cautions, each where it began."""
        skin = skin_warning.lines_for(self._skin, width, ROWS - self._caution_rows)
        skin += [Content("")] * (self._skin_rows - len(skin))
        return skin + _caution_lines(*self._parted(), width, self._caution_rows, self.key)


def _caution_rows(
    skin: "SkinVerdict | None",
    fresh: tuple["Caution", ...],
    told: tuple["Caution", ...],
    width: int,
    least: int,
) -> int:
    """Return the rows for cautions beside a skin, at least so many where there are."""
    room = CAUTION_ROWS
    if not any(str(one.level) == "stop" for one in fresh):
        # What to do about a skin is read to its last word: what stands with it gives way, but for a STOP.
        room = min(room, ROWS - len(skin_warning.lines_for(skin, width, ROWS - 1)))
    return min(room, max(least, len(_in_full(fresh, width)) + bool(told)))


def _caution_lines(
    fresh: tuple["Caution", ...], told: tuple["Caution", ...], width: int, height: int, key: str
) -> list[Content]:
    """Return every caution not told yet where there is room, else the first; of others the titles."""
    lines = _in_full(fresh, width)
    if len(lines) + bool(told) <= height:
        return [*lines, _titles(told, width, key)] if told else lines
    stops = [caution for caution in fresh if str(caution.level) == "stop"]
    if 1 < len(stops) <= height:
        return _side_by_side(stops, width, height, key)
    first, *others = (*fresh, *told)
    lines = _in_full((first,), width)
    last = _titles(others, width, key) if others else _with_key(lines[height - 1], width, key)
    return [*_cut_to(lines, height - 1, width), last]


def _cut_to(lines: list[Content], rows: int, width: int) -> list[Content]:
    """Return so many rows; a mark ends them where more was to be said."""
    if len(lines) <= rows or not rows:
        return lines[:rows]
    return [*lines[: rows - 1], lines[rows - 1].truncate(width - 2, ellipsis=False) + " …"]


def _side_by_side(stops: Sequence["Caution"], width: int, height: int, key: str) -> list[Content]:
    """Return several STOPs, each with its title and as many of its words as its share of the rows holds."""
    lines: list[Content] = []
    for number, stop in enumerate(stops):
        rows = (height - len(lines)) // (len(stops) - number)
        lines += _cut_to(_in_full((stop,), width), rows, width)
    lines[-1] = _with_key(lines[-1], width, key)
    return lines


def _titles(cautions: Iterable["Caution"], width: int, key: str) -> Content:
    return _with_key(Content("  ").join([head_of(caution) for caution in cautions]), width, key)


def _with_key(line: Content, width: int, key: str) -> Content:
    """Return a line with the key that shows all in full."""
    more = Content(f"  in full: {key}")
    return line.truncate(width - more.cell_length, ellipsis=True) + more


def _in_full(cautions: tuple["Caution", ...], width: int) -> list[Content]:
    lines: list[Content] = []
    for caution in cautions:
        lines += Content.assemble(head_of(caution), ": ", caution.say).wrap(width)
    return lines


def _kind(caution: "Caution") -> tuple[str, str]:
    """Return what is told once: a class of hazard, and anew where it weighs more."""
    return caution.caution_id, str(caution.level)


def head_of(caution: "Caution") -> Content:
    """Return level and title of a caution."""
    level = str(caution.level).upper()
    return Content.assemble((f" {level} ", LEVEL_STYLES.get(level, "bold")), (f" {caution.title}", "bold"))
