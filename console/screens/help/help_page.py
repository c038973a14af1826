"""All keys and all words of the entry line on one page, from the tables that the program itself uses."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from textual.app import App
from textual.binding import Binding, BindingType
from textual.content import Content

from console.screens.frames.pick_screen import PickScreen
from console.screens.frames.text_screen import TextScreen
from console.screens.help.glossary_page import GLOSSARY, hung, paired
from console.screens.help.glossary_page import TITLE as GLOSSARY_TITLE
from console.screens.keys.tables import KEY_TABLES, KeyTable

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.sorting.sorting_screen import SortingScreen
    from console.yard.yard import Yard

TITLE = "Help: keys and words"
MARGIN = 2
KEY = 6
"""Columns of a key as printed on the keyboard: Ctrl Q."""
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
    """Return the help page for so many columns; the keys of the screen at hand stand first."""
    here = set(map(id, type(app.screen).BINDINGS))
    first, *others = sorted(KEY_TABLES, key=lambda table: here.isdisjoint(map(id, table.bindings)))
    lines = [_head(first.title), *_key_rows(app, _keys_of(first))]
    lines += [_head(EVERYWHERE), *_key_rows(app, app.BINDINGS)]
    for table in others:
        lines += [_head(table.title), *_key_rows(app, _keys_of(table))]
    lines += [_head(IN_LISTS), *_key_rows(app, PickScreen.BINDINGS)]
    lines += [_head(ON_PAGES), *_key_rows(app, TextScreen.BINDINGS)]
    lines += [_head("What a line can say, in any order"), *_line_rows()]
    lines += [_head("Bays of this yard"), *[paired(bay.code, bay.name) for bay in yard.bays]]
    if yard.words:
        lines += [_head("Words of this yard"), *[paired(*one) for one in sorted(yard.words.items())]]
    lines += [_head("Short words"), *_word_rows()]
    lines += [_head(GLOSSARY_TITLE), *[paired(word, meaning) for word, meaning in GLOSSARY]]
    lines += [_head("Marks"), *[paired(left, right) for left, right in MARKS]]
    return Content("\n").join([row for line in lines for row in hung(line, width)])


def _keys_of(table: KeyTable) -> Iterable[BindingType]:
    return (ENTER_KEY, *table.bindings) if table is KEY_TABLES[0] else table.bindings


def _head(text: str) -> Content:
    return Content.assemble("\n", (text, "bold $primary"))


def _key_rows(app: "App[Any]", bindings: Iterable[BindingType]) -> list[Content]:
    rows = []
    for binding in bindings:
        if isinstance(binding, Binding) and binding.tooltip:
            key = app.get_key_display(binding).ljust(KEY)
            rows.append(paired(f"{key}  {binding.description}", binding.tooltip))
    return rows


def _line_rows() -> list[Content]:
    """Return what a line can say, each by an example; the short words have a list of their own."""
    from console.entry.grammar import GRAMMAR
    from console.entry.vocabulary import VOCABULARY

    listed = {row.kind.value for row in VOCABULARY}
    rows = (row for row in GRAMMAR if row.topic not in listed)
    return [
        paired(row.example.removeprefix("12.4 "), f"{row.topic}: {row.how}; {row.meaning}") for row in rows
    ]


def _word_rows() -> list[Content]:
    from console.entry.vocabulary import VOCABULARY

    return [paired(f"{row.short}  {', '.join(row.words[:1])}", row.meaning) for row in VOCABULARY]
