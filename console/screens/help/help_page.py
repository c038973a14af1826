"""All keys and all words of the entry line on one page, from the tables that the program itself uses."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from textual.app import App
from textual.binding import Binding, BindingType
from textual.content import Content

from console.screens.frames.pick_screen import PickScreen
from console.screens.frames.text_screen import TextScreen
from console.screens.help.glossary_page import GLOSSARY
from console.screens.help.glossary_page import TITLE as GLOSSARY_TITLE
from console.screens.keys.tables import KEY_TABLES

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.sorting.sorting_screen import SortingScreen
    from console.yard.yard import Yard

TITLE = "Help: keys and words"
LABEL = 23
"""Columns of what stands at the left."""
MARGIN = 2
ENTER_KEY = Binding("enter", "submit", "Tally", tooltip="tally the line into the bay that the arrow shows")
EVERYWHERE = "Keys on every screen"
IN_LISTS = "Keys in a list to pick from; the key that opened it closes it too"
ON_PAGES = "Keys on a page to read; the key that opened it closes it too"
MARKS = (
    ("▶", "selected; in the bays: where this piece goes"),
    ("+", "speaks for the grade; in the bays: where the last piece went"),
    ("-", "speaks against the grade; OUTSIDE says which limit and by how much"),
    ("=", "twins: other grades that look the same to what was measured"),
    ("?", "the chance that no grade of the library fits"),
    ("●●●  ●●·  ●··", "placement settled, leaning, open"),
)


def opened(desk: "Desk", sorting: "SortingScreen") -> TextScreen:
    """Return the page, with the keys as they are bound now."""
    text = help_text(sorting.app, desk.yard, max(60, sorting.app.size.width - MARGIN))
    return TextScreen(TITLE, text, opened_by="help")


def help_text(app: "App[Any]", yard: "Yard", width: int) -> Content:
    """Return the help page for so many columns."""
    sorting, *others = KEY_TABLES
    lines = [_head(sorting.title), *_key_rows(app, [ENTER_KEY, *sorting.bindings])]
    lines += [_head(EVERYWHERE), *_key_rows(app, app.BINDINGS)]
    for table in others:
        lines += [_head(table.title), *_key_rows(app, table.bindings)]
    lines += [_head(IN_LISTS), *_key_rows(app, PickScreen.BINDINGS)]
    lines += [_head(ON_PAGES), *_key_rows(app, TextScreen.BINDINGS)]
    lines += [_head("What a line can say, in any order"), *_line_rows()]
    lines += [_head("Bays of this yard"), *[_pair(bay.code, bay.name) for bay in yard.bays]]
    lines += [_head("Short words"), *_word_rows()]
    lines += [_head(GLOSSARY_TITLE), *[_pair(word, meaning) for word, meaning in GLOSSARY]]
    lines += [_head("Marks"), *[_pair(left, right) for left, right in MARKS]]
    return Content("\n").join([row for line in lines for row in _hung(line, width)])


def _head(text: str) -> Content:
    return Content.assemble("\n", (text, "bold $primary"))


def _hung(line: Content, width: int) -> list[Content]:
    """Return a line in rows of the width; what does not fit stands below the words, not below the key."""
    if line.cell_length <= width or len(line.plain) <= LABEL:
        return [line]
    label, words = line[:LABEL], line[LABEL:]
    first, *others = words.wrap(width - LABEL)
    return [label + first, *[Content(" " * LABEL) + row for row in others]]


def _pair(left: str, right: str) -> Content:
    return Content.assemble((left.ljust(LABEL - 1), "bold"), " ", right)


def _key_rows(app: "App[Any]", bindings: Iterable[BindingType]) -> list[Content]:
    rows = []
    for binding in bindings:
        if isinstance(binding, Binding) and binding.tooltip:
            rows.append(_pair(f"{app.get_key_display(binding)}  {binding.description}", binding.tooltip))
    return rows


def _line_rows() -> list[Content]:
    """Return what a line can say, each by an example; the short words have a list of their own."""
    from console.entry.grammar import GRAMMAR
    from console.entry.vocabulary import VOCABULARY

    listed = {row.kind.value for row in VOCABULARY}
    rows = (row for row in GRAMMAR if row.topic not in listed)
    return [
        _pair(row.example.removeprefix("12.4 "), f"{row.topic}: {row.how}; {row.meaning}") for row in rows
    ]


def _word_rows() -> list[Content]:
    from console.entry.vocabulary import VOCABULARY

    return [_pair(f"{row.short}  {', '.join(row.words[:1])}", row.meaning) for row in VOCABULARY]
