"""The one line into which everything about a piece is typed."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from textual import events
from textual.binding import Binding
from textual.geometry import Size
from textual.reactive import Reactive, reactive
from textual.widgets import Input
from textual.widgets.input import Selection

from console.ground.cleaning import clean

LONGEST_LINE = 1000
"""Characters; as many as the grammar looks at."""


OF_ANY_INPUT = [
    replace(one, key=one.key.removesuffix(",ctrl+d").removesuffix(",ctrl+e"))
    for one in Input.BINDINGS
    if isinstance(one, Binding) and one.action != "cut"
]
"""Cutting is left out: nobody marks a stretch of a line at the bench, and its key weighs; the second keys of
Del and End put a piece into the bay of the one before, and set a tare."""
EDITING = {key: binding.action for binding in OF_ANY_INPUT for key in binding.key.split(",")} | {
    "ctrl+j": "line_feed"
}
"""Key -> what it does to the line."""


class EntryLine(Input, inherit_bindings=False):
    """A text line that takes keys and pastes as data."""

    BINDINGS = [
        *OF_ANY_INPUT,
        Binding(
            "tab",
            "complete",
            "Complete",
            id="complete",
            show=False,
            tooltip="finish the word: grade, bay or fact",
        ),
        Binding("ctrl+j", "line_feed", show=False),
    ]

    value: Reactive[str] = reactive("", init=False)
    """What is typed. The line has a fixed size: unlike Input's own, a new value asks for no new layout."""
    virtual_size: Reactive[Size] = reactive(Size(0, 0), repaint=False)
    """Length of the text; asks for no new layout either."""

    def __init__(self, *, placeholder: str = "", id: str | None = None) -> None:
        super().__init__(
            placeholder=placeholder, id=id, compact=True, select_on_focus=False, max_length=LONGEST_LINE
        )
        self.cursor_blink = False
        self.when_entered: Callable[[str], None] | None = None
        """Takes the line when Enter is pressed; None posts `Submitted` as every input does."""
        self.when_completing: Callable[[str, int], None] | None = None
        """Finishes the word before the cursor: gets the line, and where the cursor stands."""
        self.at_once: Mapping[str, str] = {}
        """Key -> action of the screen that changes the line: done before the next key is looked at."""
        self.passes_over_line_feed = False
        """A line feed on a blank line says nothing: the scanner sends one behind Enter."""
        self.refused = ""
        """The line that Enter was refused for: what is typed right behind it is a further word."""
        self.when_spaced: Callable[[str], str] | None = None
        """Hears a blank behind the line: gives the line that stands there then, or nothing for a blank."""
        self.is_at_end = True
        """Whether the last change was made at the end of the line."""
        self.pressed = 0
        """Keys so far, for who counts them."""
        self.when_shortened: Callable[[int], None] | None = None
        """Hears how many lines a paste held, where only the first was taken."""

    async def _on_key(self, event: events.Key) -> None:
        """Do what an editing key means before the next key is looked at.

        Textual takes a key that is bound on its way up, after letters that came later: of a line sent in one
        go by a scanner, or typed ahead on a slow connection, Enter and Ctrl U would come too late.
        So would a key of the screen that puts words onto the line: Enter would tally without them.
        """
        self.pressed += 1
        action = self.at_once.get(event.key) or EDITING.get(event.key)
        if action is None:
            await super()._on_key(event)
            return
        event.stop()
        event.prevent_default()
        await self.run_action(action)

    async def action_submit(self) -> None:
        """Hand the line over at once, so that the next key belongs to the next line."""
        if self.when_entered is None:
            await super().action_submit()
        else:
            self.when_entered(self.value)

    async def action_line_feed(self) -> None:
        """Enter, as some keypads send it, or what a scanner sends behind Enter."""
        if self.value.strip() or not self.passes_over_line_feed:
            await self.action_submit()

    def insert_text_at_cursor(self, text: str) -> None:
        """Insert text, made safe; a word behind a refused line does not grow onto its last one."""
        text, value = clean(text), self.value
        is_blank = text == " " and self.cursor_position == len(value)
        if is_blank and self.when_spaced is not None and (line := self.when_spaced(value)):
            self.put(line)
            return
        is_behind = value == self.refused and self.cursor_position == len(value)
        if is_behind and value[-1:].strip() and text[:1].isalnum():
            text = f" {text}"
        super().insert_text_at_cursor(text)

    def replace(self, text: str, start: int, end: int) -> None:
        """Replace a stretch of the line with text, made safe."""
        self.is_at_end = end >= len(self.value)
        super().replace(clean(text), start, end)

    def on_paste(self, event: events.Paste) -> None:
        """Take the first line that says something; tell when there was more."""
        event.prevent_default()
        event.stop()
        lines = [line for line in event.text.splitlines() if line.strip()]
        if lines:
            self.insert_text_at_cursor(lines[0])
        if len(lines) > 1 and self.when_shortened is not None:
            self.when_shortened(len(lines))

    def shade(self, text: str) -> None:
        """Show text in grey behind the line, until it changes: what is asked for, or what a key would put
        there. Never part of the line."""
        self._suggestion = self.value + text if text else ""

    def action_cursor_right(self, select: bool = False) -> None:
        """Move; what stands in grey is no text to move over, and not taken by this key."""
        self.shade("")
        super().action_cursor_right(select)

    def action_complete(self) -> None:
        """Have the word before the cursor finished."""
        if self.when_completing is not None:
            self.when_completing(self.value, self.cursor_position)

    def offer(self, line: str) -> None:
        """Set the whole line so that the next letter takes its place."""
        self.put(line)
        self.selection = Selection(0, len(self.value))

    def put(self, line: str) -> None:
        """Set the whole line, the cursor at its end."""
        self.is_at_end = True
        self.value = clean(line, LONGEST_LINE)
        self.cursor_position = len(self.value)
