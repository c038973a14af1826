"""What the last key did, or why it did nothing."""

from dataclasses import dataclass, replace

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane

NOT_DONE, DONE = " NOT DONE ", "done "
FLASH_S = 0.4
"""Long enough to be caught from the corner of an eye, once [s]."""
ROWS, REFUSAL_ROWS = 3, 6
"""At most so many for one sentence; a refusal is told whole, however long what it speaks of."""


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence for the sorter."""

    text: str
    is_refusal: bool = False
    """The act was not done; the sentence says why and what would be right."""
    is_news: bool = False
    """Nobody's key brought it: something was found out meanwhile."""
    is_prompt: bool = False
    """Nothing is done yet: it says what to type, or what goes on."""
    above: "Said | None" = None
    """What stays in sight above news: the last act."""


class SaidPane(DrawnPane):
    """The last sentence; stays until the next one."""

    said: reactive[Said] = reactive(Said(""), repaint=False)

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._last_done = Said("")

    def say(self, said: Said) -> None:
        """Show one sentence until the next; a refusal only until the line changes, and news after it.

        News leave the last act in sight.
        """
        if said.is_news and said is not self._last_done:
            act = self._last_done.above if self._last_done.is_news else self._last_done
            said = replace(said, above=act if act and act.text else None)
            if self.said.is_refusal:
                self._last_done = said
                return
        if not said.is_refusal:
            self._last_done = said
        self.said = said
        if said.is_refusal and getattr(self.app, "flashes", False):
            self.flash()

    def forget(self) -> None:
        """Show nothing of what was said before."""
        self.said = self._last_done = Said("")

    def forget_refusal(self) -> None:
        """Go back from a refusal to what was said before it."""
        if self.said.is_refusal:
            self.said = self._last_done

    def watch_said(self) -> None:
        """Show the sentence, in as many rows as it takes."""
        most = REFUSAL_ROWS if self.said.is_refusal else ROWS
        self.take_rows(max(1, min(most, len(self.lines_for(max(20, self.app.size.width - 2))))))
        self.redraw()

    def flash(self) -> None:
        """Show the row reversed for a moment, where a bell would not be heard."""
        self.add_class("-flash")
        self.set_timer(FLASH_S, lambda: self.remove_class("-flash"))

    def lines_for(self, width: int) -> list[Content]:
        """Return the sentence, wrapped to the width, beneath what it leaves in sight."""
        lines = _wrapped(self.said, width)
        above = _wrapped(self.said.above, width) if self.said.above else []
        room = ROWS - len(lines)
        if len(above) > room > 0:
            above = [*above[: room - 1], above[room - 1].truncate(width - 1, ellipsis=False) + "…"]
        return above[: max(0, room)] + lines

    def draw(self, width: int, height: int) -> list[Content]:
        """Return what there is room for."""
        return self.lines_for(width)


def _wrapped(said: Said, width: int) -> list[Content]:
    if not said.text:
        return []
    if said.is_refusal:
        return Content.assemble((NOT_DONE, "bold reverse $warning"), " ", said.text).wrap(width)
    done = "" if said.is_prompt else DONE
    lead = ("news ", "bold $warning") if said.is_news else (done, "$quiet")
    return Content.assemble(lead, said.text).wrap(width)
