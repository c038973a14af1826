"""Where the piece should go, how sure that is, and why."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.panes.drawn import DrawnPane

if TYPE_CHECKING:
    from console.entry.parsed import ParsedLine
    from console.yard.placement import Placement

SURENESS_DOTS = {"settled": "●●●", "leaning": "●●·", "open": "●··"}
NOTHING_YET = "Where it goes shows here."


class PlacementPane(DrawnPane):
    """One row with the bay, one with the reason."""

    placement: reactive["Placement | None"] = reactive(None, repaint=False)
    """The suggestion; None while nothing is known."""
    parsed: reactive["ParsedLine | None"] = reactive(None, repaint=False)
    """The line: a bay or a hold asked for on it goes before the suggestion."""
    instead: reactive[str] = reactive("", repaint=False)
    """What Enter does when there is no suggestion: "same again ..."."""

    def watch_placement(self) -> None:
        """Show the suggestion."""
        self.redraw()

    def watch_parsed(self) -> None:
        """Show a bay asked for."""
        self.redraw()

    def watch_instead(self) -> None:
        """Show what Enter does instead."""
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the bay and the reason."""
        asked = _asked_for(self.parsed)
        if self.placement is None:
            if asked:
                return [_arrow(asked, "your choice"), Content("")]
            return [
                Content.assemble(
                    ("→ ", "bold"), (self.instead or NOTHING_YET, "" if self.instead else "$quiet")
                )
            ]
        bay = self.placement.bay
        if asked and asked.casefold() != bay.code.casefold():
            head = _arrow(asked, f"your choice; suggested was {bay.code} {bay.name}")
        else:
            sureness = str(self.placement.sureness)
            head = Content.assemble(
                ("→ ", "bold"),
                (f" {bay.code} ", "bold reverse"),
                (f" {bay.name}", "bold"),
                ("   " + SURENESS_DOTS[sureness] + " ", "$primary"),
                (sureness, "bold"),
            )
        return [head.truncate(width, ellipsis=True), *_reason_rows(self.placement.reason, width, height - 1)]


def _asked_for(parsed: "ParsedLine | None") -> str:
    if parsed is None:
        return ""
    if parsed.is_hold:
        return "hold"
    return parsed.bay_code or ""


def _arrow(code: str, why: str) -> Content:
    return Content.assemble(("→ ", "bold"), (f" {code} ", "bold reverse"), f" {why}")


def _reason_rows(reason: str, width: int, rows: int) -> list[Content]:
    wrapped = Content(reason).wrap(width - 2)
    if len(wrapped) > rows:
        wrapped = [*wrapped[: rows - 1], Content(reason[sum(len(row) for row in wrapped[: rows - 1]) :])]
    return [Content("  ") + row.truncate(width - 2, ellipsis=True) for row in wrapped]
