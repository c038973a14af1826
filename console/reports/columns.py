"""Plain text in columns: how wide a text is on paper, cut, filled and folded; tables, heads of papers."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import chain

from rich.cells import cell_len, chop_cells, set_cell_size

GAP = 2
"""Blanks between two columns that are as wide as what stands in them."""


def cut(text: str, width: int) -> str:
    """Return the text, cut with `..` at its end where it is wider than the width.

    >>> cut("yellow brass", 8), cut("lead", 8)
    ('yellow..', 'lead')
    """
    return text if cell_len(text) <= width else set_cell_size(text, width - 2) + ".."


def left(text: str, width: int) -> str:
    """Return the text cut and filled to the width, at the left."""
    return set_cell_size(cut(text, width), width)


def right(text: str, width: int) -> str:
    """Return the text cut and filled to the width, at the right."""
    short = cut(text, width)
    return " " * (width - cell_len(short)) + short


def side_by_side(texts: Sequence[str], widths: Sequence[int], is_figure: Sequence[bool]) -> str:
    """Return a row of a table, each text cut and filled to its width, figures at the right."""
    filled = (
        (right if figure else left)(text, width)
        for text, width, figure in zip(texts, widths, is_figure, strict=True)
    )
    return (" " * GAP).join(filled)


def folded(text: str, width: int, *, first: str = "", indent: str = "") -> list[str]:
    """Return the text broken at blanks into lines of at most the width.

    Args:
        text: One paragraph.
        width: Columns, more than the indent.
        first: Stands before the first line, as wide as it is given.
        indent: Stands before every other line.

    >>> folded("paint on both sides", 10, indent="  ")
    ['paint on', '  both', '  sides']
    """
    lines = [first]
    is_fresh = True
    room = width - max(cell_len(first), cell_len(indent))
    # A word that is wider than a line goes on in the next.
    for word in chain.from_iterable(chop_cells(word, room) for word in text.split()):
        joined = lines[-1] + ("" if is_fresh else " ") + word
        if cell_len(joined) > width:
            lines.append(indent + word)
        else:
            lines[-1] = joined
        is_fresh = False
    return lines


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns of a table: words, which take the room that the figures leave, then the figures."""

    width: int
    """Of the whole table."""
    figures: tuple[int, ...]
    """How wide each is; one of width 0 is left out."""

    def row(self, words: str, *figures: str) -> str:
        """Return one row, a figure for each of its columns."""
        shown = (right(text, width) for text, width in zip(figures, self.figures, strict=True) if width)
        return left(words, self.width - sum(self.figures)) + "".join(shown)


def dated(title: str, at: datetime, width: int) -> Iterator[str]:
    """Yield the head of a paper: its title, when it was made, a double rule."""
    made = f"{at:%Y-%m-%d %H:%M} {at.tzname()}"
    yield left(title, width - len(made) - 1) + " " + made
    yield "=" * width


def headed(text: str, width: int) -> Iterator[str]:
    """Yield the head of a part."""
    yield from ("", text, "-" * width)


def joined(lines: Iterable[str]) -> str:
    """Return lines as one text, without blanks at their ends."""
    return "\n".join(line.rstrip() for line in lines)
