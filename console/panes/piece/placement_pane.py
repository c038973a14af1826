"""Where the piece should go, how sure that is, and why."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane

if TYPE_CHECKING:
    from console.yard.placing.placement import Placement

SURENESS_DOTS = {"settled": "●●●", "leaning": "●●·", "open": "●··"}
USUAL_ROWS, MOST_ROWS = 3, 4
YOUR_CHOICE = "your choice"
CHOICE_INSTEAD = "your choice; advice is {code} {name}"
NEXT = "next: "
HOLD = "hold"
LEFT_OUT = "… "
"""Stands before what follows on parts of a reason that there was no room for."""
NOTHING_YET = "Where it goes shows here."


class PlacementPane(DrawnPane):
    """One row with the bay, one or two with the reason, and what is left with the check to make next."""

    advice: reactive[str] = reactive("", repaint=False)
    """Which check to make next; empty while that is not known or nothing pays."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._placement: Placement | None = None
        self._asked = self._instead = ""
        self._money: tuple[str, ...] = ()

    def suggest(
        self,
        placement: "Placement | None",
        *,
        asked: str = "",
        instead: str = "",
        money: tuple[str, ...] = (),
    ) -> None:
        """Show where the piece goes.

        Args:
            placement: The suggestion; None while nothing is known.
            asked: A bay, or the hold, that the line asks for: it goes before the suggestion.
            instead: What Enter does when there is no suggestion: "same again ...".
            money: What the piece is worth there, the most telling first: as many as there is room for.
        """
        if placement is self._placement and (asked, instead) == (self._asked, self._instead):
            return
        self._placement, self._asked, self._instead, self._money = placement, asked, instead, money
        self.redraw()

    def watch_advice(self) -> None:
        """Show the check; where the reason or the check has two rows, in a row more."""
        room = max(20, self.app.size.width - 4)
        said = "" if self._placement is None else _reason(self._placement, self.advice)
        is_long = max(len(_wrapped(said, room)), len(_wrapped(NEXT + self.advice, room))) > 1
        self.take_rows(MOST_ROWS if self.advice and is_long else USUAL_ROWS)
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the bay and the reason."""
        asked = self._asked
        if self._placement is None:
            if asked:
                return [_arrow(asked, YOUR_CHOICE), Content("")]
            return [
                Content.assemble(
                    ("→ ", "bold"), (self._instead or NOTHING_YET, "" if self._instead else "$quiet")
                )
            ]
        bay = self._placement.bay
        is_as_advised = asked.casefold() == bay.code.casefold() or (asked == HOLD and bay.is_hold)
        if asked and not is_as_advised:
            head = _arrow(asked, CHOICE_INSTEAD.format(code=bay.code, name=bay.name))
        else:
            sureness = str(self._placement.sureness)
            head = Content.assemble(
                ("→ ", "bold"),
                (f" {bay.code} ", "bold reverse"),
                (f" {bay.name}", "bold"),
                ("   " + SURENESS_DOTS[sureness] + " ", "$primary"),
                (sureness, "bold"),
            )
            head += _money_behind(self._money, width - head.cell_length)
        rows = _reason_rows(_reason(self._placement, self.advice), width, height - (2 if self.advice else 1))
        if self.advice:
            rows += _next_rows(self.advice, width, max(1, height - 1 - len(rows)))
        return [head.truncate(width, ellipsis=True), *rows]


def _money_behind(said: tuple[str, ...], room: int) -> Content:
    """Return as much of what is said of money as there is room for, right-aligned."""
    for count in range(len(said), 0, -1):
        text = "; ".join(said[:count])
        if len(text) + 3 <= room:
            return Content.styled(text.rjust(room), "$quiet")
    return Content("")


def _next_rows(advice: str, width: int, rows: int) -> list[Content]:
    wrapped = Content.assemble((NEXT, "$quiet"), (advice, "bold")).wrap(width - 2)
    if len(wrapped) > rows:
        *whole, _ = wrapped[:rows]
        rest = Content(advice[max(0, sum(len(row) for row in whole) - len(NEXT)) :]).stylize("bold")
        wrapped = [*whole, rest if whole else Content.assemble((NEXT, "$quiet"), rest)]
    return [Content("  ") + row.truncate(width - 2, ellipsis=True) for row in wrapped]


def _arrow(code: str, why: str) -> Content:
    return Content.assemble(("→ ", "bold"), (f" {code} ", "bold reverse"), f" {why}")


def _reason(placement: "Placement", advice: str) -> str:
    """Return the reason without the bay that the row above it names, and without what the check beneath
    says."""
    said = placement.reason.removeprefix(f"bay {placement.bay.code}: ").removeprefix("hold: ")
    return "; ".join(part for part in said.split("; ") if not advice.startswith(part)) or said


def _wrapped(reason: str, width: int) -> list[Content]:
    return Content(reason).wrap(width - 2)


def _reason_rows(reason: str, width: int, rows: int) -> list[Content]:
    """Return the reason in so many rows: of a long one the first and the last parts, which say what to do."""
    parts = reason.split("; ")
    wrapped, left_out = _wrapped(reason, width), 0
    while len(wrapped) > rows and left_out < len(parts) - 2:
        left_out += 1
        kept = [*parts[: len(parts) - 1 - left_out], LEFT_OUT + parts[-1]]
        wrapped = _wrapped("; ".join(kept), width)
    if len(wrapped) > rows:
        rest = " ".join(row.plain.strip() for row in wrapped[rows - 1 :])
        wrapped = [*wrapped[: rows - 1], Content(rest)]
    return [Content("  ") + row.truncate(width - 2, ellipsis=True) for row in wrapped]
