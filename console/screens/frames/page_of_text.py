"""The text of a page, and the row above it that says whether more of it lies below."""

from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

MORE = "more below: PgDn"
LEAST_GAP = 2
"""Blanks between the title and that."""


class PageOfText(Vertical):
    """A title, and a text that scrolls; what does not fit is said to be there."""

    DEFAULT_CSS = """
    PageOfText { height: 1fr; }
    PageOfText #title { height: 1; padding: 0 1; background: $panel; }
    PageOfText #page { height: 1fr; background: $background; scrollbar-size-vertical: 0; border: none; }
    PageOfText #text { height: auto; width: 100%; padding: 0 1; }
    """

    def __init__(self, title: str = "", text: Content | None = None) -> None:
        super().__init__()
        self._title = title
        self._text = _without_end(text or Content(""))

    def compose(self) -> ComposeResult:
        """The title, the text."""
        yield Static(id="title", markup=False)
        with VerticalScroll(id="page"):
            yield Static(self._text, id="text", markup=False)

    def on_mount(self) -> None:
        """Say what lies below, now and whenever the text or its place changes."""
        page = self.query_one("#page")
        for name in ("scroll_y", "virtual_size", "size"):
            self.watch(page, name, self._write_title)

    def write(self, title: str, text: Content) -> None:
        """Write the page anew."""
        self._title = title
        self.query_one("#text", Static).update(_without_end(text))
        self._write_title()

    def turn_back(self) -> None:
        """Show the page from its first row on."""
        self.query_one("#page").scroll_home(animate=False)

    def turn(self, pages: int) -> None:
        """Scroll by so many pages, back for less than 0; the last row stays in sight as the first."""
        page = self.query_one("#page")
        page.scroll_relative(y=pages * max(1, page.size.height - 1), animate=False)

    def _write_title(self) -> None:
        page, head = self.query_one("#page"), self.query_one("#title", Static)
        has_more = page.virtual_size.height > page.size.height and page.scroll_offset.y < page.max_scroll_y
        title = Content.styled(self._title, "bold $primary")
        gap = head.content_size.width - title.cell_length - len(MORE)
        if has_more and gap >= LEAST_GAP:
            title = Content.assemble(title, " " * gap, (MORE, "bold"))
        head.update(title, layout=False)


def _without_end(text: Content) -> Content:
    """Return the text without blank rows at its end: nobody has to turn the page for them."""
    return text.rstrip("\n")
