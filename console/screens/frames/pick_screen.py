"""A list to pick one row from, by typing or with the arrows."""

from collections.abc import Sequence
from dataclasses import dataclass

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.reactive import reactive
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from console.drawing.drawn import DrawnPane, cell, whole_words
from console.panes.entry_line import EntryLine
from console.screens.keys.tables import close_with

BOX_ROWS = 8
"""Rows that a list leaves to its frame, its line and what lies behind it."""
BOX_COLUMNS, FRAME, WIDEST = 74, 4, 0.94
"""Least width of the box, what of it are frame and margins, and the most of the screen that it takes."""
MARKS = 8
"""Cells of a row before its text: the mark of the selected one, and the code."""
FOOT_ROWS = 2
"""Rows at the foot for the selected row in full, where any is too long for the box."""
NOTHING_MATCHES = "Nothing matches what is typed."
HINT = "type a code or a word, Enter picks, Esc leaves it"
NUMBER_HINT = "a number picks at once; or a code or word, Enter; Esc leaves it"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """One row to pick."""

    key: str
    """What the pick stands for; handed back."""
    code: str
    """What to type for it: a bay code, a number."""
    text: str
    """What is shown beside the code, searched as well."""
    aside: str = ""
    """Shown at the right, searched not."""
    is_quiet: bool = False
    """Drawn back: possible, yet not recommended."""
    number: str = ""
    """Key that picks it at once while nothing is typed; empty for none."""
    stays_in_sight: bool = False
    """Drawn at the foot of the list wherever that is scrolled to; the last row of the list."""


class PickList(DrawnPane):
    """The rows that match, one of them selected."""

    picks: reactive[tuple[Pick, ...]] = reactive((), repaint=False)
    selected: reactive[int] = reactive(0, repaint=False)

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the rows around the selected one."""
        if not self.picks:
            return [Content.styled(NOTHING_MATCHES, "$quiet")]
        first = max(0, min(self.selected - height // 2, len(self.picks) - height))
        shown = list(enumerate(self.picks))[first : first + height]
        if self.picks[-1].stays_in_sight:
            shown[-1] = (len(self.picks) - 1, self.picks[-1])
        numbers = any(pick.number for pick in self.picks)
        return [
            _row(pick, width, is_selected=index == self.selected, has_numbers=numbers)
            for index, pick in shown
        ]


class PickScreen(ModalScreen[str | None]):
    """Type a code or a word, or step with the arrows; Enter picks, Esc leaves everything as it is."""

    CSS_PATH = "pick_screen.tcss"
    AUTO_FOCUS = "#typed"
    BINDINGS = [
        Binding("up", "step(-1)", "Up", show=False, priority=True, tooltip="the row above"),
        Binding("down", "step(1)", "Down", show=False, priority=True, tooltip="the row below"),
        Binding("pageup", "step(-8)", "Up", show=False, tooltip="eight rows up"),
        Binding("pagedown", "step(8)", "Down", show=False, tooltip="eight rows down"),
        Binding("escape", "leave", "Back", show=False, tooltip="pick nothing"),
    ]

    def __init__(self, picks: Sequence[Pick], *, title: str, hint: str = "", opened_by: str = "") -> None:
        super().__init__()
        self._picks = tuple(picks)
        self._title = title
        self._hint = hint or (NUMBER_HINT if any(pick.number for pick in picks) else HINT)
        self._opened_by = opened_by

    def compose(self) -> ComposeResult:
        """A line to type into, the rows below."""
        with Vertical(id="pick-box") as box:
            box.border_title = Content(self._title)
            box.border_subtitle = Content(self._hint)
            yield EntryLine(id="typed")
            yield PickList(id="picks")
            yield Static(id="in-full", markup=False)

    def on_mount(self) -> None:
        """Show every row at first."""
        close_with(self, self._opened_by)
        rows, in_full = self.query_one(PickList), self.query_one("#in-full", Static)
        width = max(map(self._needed, self._picks), default=0)
        in_full.display = width > self._room
        self.query_one("#pick-box").styles.width = max(BOX_COLUMNS, min(width, self._room) + FRAME)
        # As many rows as there are picks, and never so many that the box is cut off.
        foot = FOOT_ROWS if in_full.display else 0
        rows.styles.height = max(1, min(len(self._picks), self.app.size.height - BOX_ROWS - foot))
        rows.picks = self._picks
        self.watch(self.query_one(EntryLine), "value", self.narrow, init=False)
        for name in ("picks", "selected"):
            self.watch(rows, name, self._tell_in_full)

    @property
    def _room(self) -> int:
        """Cells that a row may have, with something of the screen behind in sight."""
        return int(WIDEST * self.app.size.width) - FRAME

    def _needed(self, pick: Pick) -> int:
        """Return how many cells a row needs to be read whole."""
        numbers = 2 if any(one.number for one in self._picks) else 0
        return numbers + MARKS + len(pick.text) + (len(pick.aside) + 1 if pick.aside else 0)

    def _tell_in_full(self) -> None:
        """Show the selected row whole, where the list cuts it."""
        rows, in_full = self.query_one(PickList), self.query_one("#in-full", Static)
        pick = rows.picks[rows.selected] if rows.picks else None
        is_cut = pick is not None and self._needed(pick) > self._room
        said = f"{pick.text}  {pick.aside}".rstrip() if pick is not None and is_cut else ""
        in_full.update(said, layout=False)

    def narrow(self, typed: str) -> None:
        """Show the rows that match what is typed: an exact code first, then what begins so."""
        wanted = typed.strip().casefold()
        at_once = next((pick for pick in self._picks if wanted and pick.number == wanted), None)
        if at_once is not None:
            self.dismiss(at_once.key)
            return
        by_code = [pick for pick in self._picks if pick.code.casefold().startswith(wanted)]
        by_code.sort(key=lambda pick: pick.code.casefold() != wanted)
        by_word = [pick for pick in self._picks if pick not in by_code and wanted in pick.text.casefold()]
        by_word.sort(key=lambda pick: not pick.text.casefold().startswith(wanted))
        rows = self.query_one(PickList)
        rows.selected = 0
        rows.picks = tuple(by_code + by_word) if wanted else self._picks

    @on(Input.Submitted)
    def pick(self, event: Input.Submitted) -> None:
        """Hand back the selected row."""
        event.stop()
        rows = self.query_one(PickList)
        if rows.picks:
            self.dismiss(rows.picks[rows.selected].key)

    def action_step(self, by: int) -> None:
        """Select another row."""
        rows = self.query_one(PickList)
        rows.selected = max(0, min(rows.selected + by, len(rows.picks) - 1))

    def action_leave(self) -> None:
        """Pick nothing."""
        self.dismiss(None)


def _row(pick: Pick, width: int, *, is_selected: bool, has_numbers: bool) -> Content:
    number = f"{pick.number:1} " if has_numbers else ""
    room = width - len(number)
    aside = cell(pick.aside, min(len(pick.aside), max(0, room - 20)))
    aside = f" {aside}" if aside else ""
    text = whole_words(pick.text, max(0, room - MARKS - len(aside)))
    style = "bold" if is_selected else "$quiet" if pick.is_quiet else ""
    return Content.assemble(
        ("▶ " if is_selected else "  ", "bold"),
        (number, "$primary"),
        (cell(pick.code, 5), "bold reverse" if is_selected else "bold"),
        (" " + text + aside, style),
    )
