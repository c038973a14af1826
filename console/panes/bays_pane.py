"""What lies in each bay of the open run."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.panes.drawn import DrawnPane, cell
from console.panes.figures import NOT_MEASURED, bar, many, short_mass

if TYPE_CHECKING:
    from console.ledger.rows import Tally
    from console.yard.yard import Bay, Yard


@dataclass(frozen=True, slots=True, kw_only=True)
class BayRow:
    """One bay as a row of the pane."""

    bay: "Bay"
    pieces: int
    mass_g: int


class BaysPane(DrawnPane):
    """Code, name, pieces, weight and fill of every bay, with marks for the next and the last piece."""

    yard: reactive["Yard | None"] = reactive(None, repaint=False)
    tally: reactive["Tally | None"] = reactive(None, repaint=False)
    suggested: reactive[str] = reactive("", repaint=False)
    """Code of the bay the piece at hand goes to."""
    last: reactive[str] = reactive("", repaint=False)
    """Code of the bay that changed last."""
    change_g: reactive[int] = reactive(0, repaint=False)
    """By how much it changed with the last act [g]."""

    def on_mount(self) -> None:
        """Name the pane."""
        self.border_title = "Bays"

    def watch_tally(self) -> None:
        """Show the new sums, and the holds in the border."""
        if self.tally is not None:
            holds = len(self.tally.holds)
            self.border_subtitle = Content(f"{holds} on hold" if holds else "")
        self.redraw()

    def watch_suggested(self) -> None:
        """Move the mark."""
        self.redraw()

    def watch_last(self) -> None:
        """Move the mark."""
        self.redraw()

    def watch_change_g(self) -> None:
        """Show the change."""
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return a head and one row a bay; empty bays share the last row where there is no room for all."""
        if self.yard is None or self.tally is None:
            return [Content.styled("Opening the yard.", "$quiet")]
        unit = self.yard.weight_unit
        rows = self.rows()
        shown, left_out = self._fit(rows, height - 1)
        lines = [_head(width, unit)]
        lines += [
            _row(
                row,
                width,
                unit,
                is_suggested=row.bay.code == self.suggested,
                change_g=self.change_g if row.bay.code == self.last else None,
            )
            for row in shown
        ]
        if left_out:
            lines.append(_left_out(left_out, width))
        return lines

    def rows(self) -> list[BayRow]:
        """Return every bay of the yard in its order, with what it took in; bays gone from yard.toml last."""
        assert self.yard is not None and self.tally is not None
        totals = {total.bay.casefold(): total for total in self.tally.bays}
        rows = []
        for bay in self.yard.bays:
            total = totals.pop(bay.code.casefold(), None)
            rows.append(
                BayRow(bay=bay, pieces=total.pieces if total else 0, mass_g=total.mass_g if total else 0)
            )
        return rows

    def _fit(self, rows: list[BayRow], room: int) -> tuple[list[BayRow], list[BayRow]]:
        if len(rows) <= room:
            return rows, []
        wanted = (self.suggested, self.last)
        keep = [row for row in rows if row.pieces or row.bay.is_hold or row.bay.code in wanted]
        by_need = sorted(keep, key=lambda row: (row.bay.code not in wanted, not row.bay.is_hold, -row.mass_g))
        spare = [row for row in rows if row not in keep]
        chosen = (by_need + spare)[: room - 1]
        return [row for row in rows if row in chosen], [row for row in rows if row not in chosen]


def _columns(width: int) -> tuple[int, int, int]:
    """Return the widths of name, bar and last change; code and pieces take four, weight nine, fill five."""
    bar_width = 0 if width < 54 else 8
    change = 0 if width < 50 else 9
    return width - 1 - 4 - 4 - 9 - 5 - change - (bar_width + 1 if bar_width else 0), bar_width, change


def _head(width: int, unit: str) -> Content:
    name, _, change = _columns(width)
    text = " " + cell("bay", 4) + cell("", name) + cell("pcs", 4, right=True) + cell(unit, 9, right=True)
    text += cell("last" if change else "", change, right=True)
    return Content.styled(text + cell("bale", 5, right=True), "$quiet")


def _row(row: BayRow, width: int, unit: str, *, is_suggested: bool, change_g: int | None) -> Content:
    name, bar_width, change = _columns(width)
    mark = "▶" if is_suggested else "+" if change_g is not None else " "
    style = "bold reverse" if is_suggested else "bold" if row.pieces else ""
    quiet = "" if row.pieces or is_suggested else "$quiet"
    parts: list[Content | tuple[str, str]] = [
        (mark, "bold"),
        (cell(row.bay.code, 4), style or quiet),
        (cell(row.bay.name, name), quiet),
        (cell(str(row.pieces) if row.pieces else NOT_MEASURED, 4, right=True), quiet),
        (cell(short_mass(row.mass_g, unit) if row.pieces else NOT_MEASURED, 9, right=True), quiet),
    ]
    if change:
        shown = f"{'+' if change_g > 0 else '-'}{short_mass(abs(change_g), unit)}" if change_g else ""
        parts.append(
            (cell(shown, change, right=True), "$success" if change_g and change_g > 0 else "$warning")
        )
    if row.bay.bale_g is None:
        parts.append((cell(NOT_MEASURED, 5, right=True), "$quiet"))
        return Content.assemble(*parts)
    share = row.mass_g / row.bay.bale_g
    fill = "FULL" if share >= 1 else f"{share:.0%}" if row.pieces else NOT_MEASURED
    parts.append((cell(fill, 5, right=True), "bold $warning" if share >= 1 else quiet))
    if bar_width:
        full, rest = bar(share, bar_width)
        parts += [(" " + full, "$primary"), (rest, "$bar-rest")]
    return Content.assemble(*parts)


def _left_out(rows: list[BayRow], width: int) -> Content:
    codes = " ".join(row.bay.code for row in rows)
    word = "empty" if not any(row.pieces for row in rows) else "not shown"
    return Content.styled(cell(f" {many(len(rows), 'bay', 'bays')} {word}: {codes}", width), "$quiet")
