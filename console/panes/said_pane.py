"""What the last key did, or why it did nothing."""

from dataclasses import dataclass

from textual.content import Content
from textual.reactive import reactive

from console.panes.drawn import DrawnPane


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence for the sorter."""

    text: str
    is_refusal: bool = False
    """The act was not done; the sentence says why and what would be right."""


class SaidPane(DrawnPane):
    """The last sentence; stays until the next one."""

    said: reactive[Said] = reactive(Said(""), repaint=False)

    def watch_said(self) -> None:
        """Show the sentence."""
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the sentence, wrapped to the room."""
        if not self.said.text:
            return [Content("")]
        mark = (" NOT DONE ", "bold reverse $warning") if self.said.is_refusal else ("done ", "$quiet")
        rows = Content.assemble(mark, " " if self.said.is_refusal else "", self.said.text).wrap(width)
        return rows[:height]
