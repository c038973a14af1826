"""The entry line and how it was understood."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane
from console.drawing.painted import Column
from console.entry.token_kind import ASKED_BACK
from console.panes.entry_line import EntryLine

if TYPE_CHECKING:
    from console.entry.parsed import ParsedLine, Token

TITLE = "Piece"
BLANK_HINT = "One piece, one line: weight, what you see, Enter.  12.4 304   820g cu bare"
OPENING_HINT = "Opening the yard. Type on; nothing is lost."
NO_WEIGHT_YET = "weight still missing"
NOT_UNDERSTOOD = "not understood"
_UNKNOWN = {ASKED_BACK: "which one?"}
"""What is said of a word that keeps the line up, where it is known and means too much."""
ENTER_SAYS = " ... Enter: all"


class EchoPane(DrawnPane):
    """Each word of the line as it was understood, and what keeps the line from being tallied."""

    parsed: reactive["ParsedLine | None"] = reactive(None, repaint=False)
    """The line at hand; None until the yard is open."""

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the echo; a problem has the last row for itself."""
        if self.parsed is None:
            return [Content.styled(OPENING_HINT, "$quiet")]
        if self.parsed.is_blank:
            return [Content.styled(BLANK_HINT, "$quiet")]
        words = [_word(token) for token in self.parsed.tokens]
        problem = _problem_line(self.parsed)
        if problem is not None:
            told = problem.wrap(width)
            if len(told) >= height:
                # What to do stands first; Enter says the rest of a long one.
                return [*told[: height - 1], _cut(told[height - 1 :], width)]
            return [*_flow(words, width, rows=height - len(told)), *told]
        if self.parsed.mass_g is None and self.parsed.is_of_piece:
            words.append(Content.styled(NO_WEIGHT_YET, "$quiet"))
        return _flow(words, width, rows=height)


class EntryPane(Column):
    """Keys in; the echo of what they mean below; which readings wait stands in the border."""

    purpose: reactive[str] = reactive(TITLE, repaint=False)
    """What the line is for."""
    waiting: reactive[str] = reactive("", repaint=False)
    """Which readings from files wait, in a few words; empty where none does."""

    tare: reactive[str] = reactive("", repaint=False)
    """What is taken off each weight; empty for nothing."""

    bay_warning: reactive[str] = reactive("", repaint=False)
    """What the piece would do to its bay: element, what it would come to, and what the buyer takes; empty
    when nothing is at risk. It stands in the border, above where the piece goes: no other row moves for it.
    """

    way_on: reactive[str] = reactive("", repaint=False)
    """What may be done with a line that was refused, until it changes; empty where none was."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.line = EntryLine(id="line")
        self.echo = EchoPane(id="echo")

    def compose(self) -> ComposeResult:
        """The line and its echo."""
        yield self.line
        yield self.echo

    def on_mount(self) -> None:
        """Name the pane; a refusal is forgotten with the line that it was of."""
        self._show_title()
        self.watch(self.line, "value", lambda: setattr(self, "way_on", ""), init=False)

    def watch_bay_warning(self) -> None:
        """Show the warning; it stands before the way on from a refusal."""
        said = Content.assemble((" BAY ", "bold reverse $warning"), " ", self.bay_warning)
        self.border_subtitle = said if self.bay_warning else self.way_on or None

    watch_way_on = watch_bay_warning

    def refuse(self, way_on: str) -> None:
        """Take note that Enter was refused: the line stays, and what is typed next is a further word.

        Args:
            way_on: What may be done with the line; empty where its key means something else.
        """
        self.line.refused = self.line.value
        self.way_on = way_on if self.line.value else ""

    def _show_title(self) -> None:
        waiting = (f"  ·  {self.waiting}", "not bold $foreground") if self.waiting else ""
        tare = (f"  ·  {self.tare}", "bold $warning") if self.tare else ""
        self.border_title = Content.assemble(self.purpose, tare, waiting)

    watch_purpose = watch_tare = watch_waiting = _show_title


def _word(token: "Token") -> Content:
    if token.kind == "unknown" or token.problem:
        said = _UNKNOWN.get(token.meaning, NOT_UNDERSTOOD) if token.kind == "unknown" else token.meaning
        return Content.assemble((f" {token.text} ", "reverse"), (f" {said}", "underline $warning"))
    return Content.styled(token.meaning, "bold" if token.kind in ("weight", "bay", "hold") else "")


def _flow(words: list[Content], width: int, *, rows: int) -> list[Content]:
    """Return the words in rows of at most `width` cells; the last row says how many more there are."""
    lines: list[list[Content]] = [[]]
    for index, word in enumerate(words):
        if lines[-1] and _joined([*lines[-1], word]).cell_length > width:
            if len(lines) == rows:
                return [*map(_joined, lines[:-1]), _and_more(lines[-1], len(words) - index, width)]
            lines.append([])
        lines[-1].append(word)
    return [_joined(line) for line in lines]


def _joined(words: list[Content]) -> Content:
    return Content.styled("  ·  ", "$quiet").join(words)


def _cut(rows: list[Content], width: int) -> Content:
    """Return the last row that there is room for; what did not fit is told to whoever presses Enter."""
    if len(rows) == 1:
        return rows[0]
    return rows[0].truncate(width - len(ENTER_SAYS), ellipsis=False) + Content.styled(ENTER_SAYS, "$quiet")


def _and_more(line: list[Content], count: int, width: int) -> Content:
    """Return a row that says how many words it has no room for; only a word by itself is ever cut."""
    *kept, last = line
    tail = f"  and {count} more"
    if kept and _joined(line).cell_length + len(tail) > width:
        return _and_more(kept, count + 1, width)
    row = _joined([*kept, last])
    return Content.assemble(row.truncate(width - len(tail), ellipsis=True), (tail, "$quiet"))


def _problem_line(parsed: "ParsedLine") -> Content | None:
    problems = [token.problem for token in parsed.tokens if token.problem]
    problems += [problem for problem in parsed.problems if problem not in problems]
    if problems:
        more = f"  (and {len(problems) - 1} more)" if len(problems) > 1 else ""
        return Content.assemble(("CHECK", "bold reverse $warning"), " ", problems[0], (more, "$quiet"))
    return None
