"""What lies in each bay of the open run."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.panes.bay_rows import BayRow, columns, head, left_out_row, row_of, word_of
from console.panes.drawn import DrawnPane, cell
from console.panes.figures import short_mass

if TYPE_CHECKING:
    from console.ledger.rows.rows import Tally
    from console.yard.chemistry.headroom import TightestLimit
    from console.yard.yard import Yard

TITLE = "Bays"
OPENING = "Opening the yard."
ON_HOLD = "{count} on hold"
AT_LIMIT = "{bay} {symbol} {word}"
GONE = " not in yard.toml: {bays}"


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
    tightest: reactive[Mapping[str, "TightestLimit"]] = reactive({}, repaint=False)
    """Code of a bay -> the limit of its buyer that gives out first."""
    earlier_g: reactive[Mapping[str, float]] = reactive({}, repaint=False)
    """Code of a bay -> what lies there beside the metal of the open run [g]."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._border: tuple[str, list[str]] = ("", [])
        self._rows: list[BayRow] | None = None
        """Worked out once for as long as the sums stand."""
        self._line_by_bay: dict[tuple[str, bool], tuple[tuple[object, ...], Content]] = {}

    def on_mount(self) -> None:
        """Name the pane."""
        self._name_border()

    def on_resize(self) -> None:
        """Tell in the border what the new width has no room for; the rows are drawn by DrawnPane."""
        self._name_border()

    def watch_yard(self) -> None:
        """Show its bays."""
        self._rows = None

    def watch_tally(self) -> None:
        """Show the new sums."""
        self._rows = None
        self._name_border()
        self.redraw()

    def watch_tightest(self) -> None:
        """Show the headroom."""
        self._rows = None
        self._name_border()
        self.redraw()

    def watch_earlier_g(self) -> None:
        """Show how full the bays are."""
        self._rows = None
        self.redraw()

    def watch_suggested(self) -> None:
        """Move the mark."""
        self.redraw()

    def watch_last(self) -> None:
        """Move the mark."""
        self.redraw()

    def watch_change_g(self) -> None:
        """Show the change."""
        self._name_border()
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return a head and one row a bay; empty bays share the last row where there is no room for all."""
        if self.yard is None or self.tally is None:
            return [Content.styled(OPENING, "$quiet")]
        unit = self.yard.weight_unit
        rows, gone = self.rows(), self._gone()
        # The lower border is out of sight beneath the warnings; what it says goes into a row.
        below = self._border[1] if self.covered else []
        shown, left_out = self._fit(rows, height - 1 - bool(gone) - bool(below))
        lines = [head(width, unit)]
        lines += [self._line_of(row, width, unit) for row in shown]
        if left_out:
            lines.append(left_out_row(left_out, width))
        if gone:
            lines.append(Content.styled(cell(GONE.format(bays=", ".join(gone)), width), "bold $warning"))
        if below:
            lines.append(Content.styled(cell(" " + ", ".join(below), width), "bold"))
        return lines

    def _line_of(self, row: BayRow, width: int, unit: str) -> Content:
        """Return the row of a bay; drawn once for as long as it says the same."""
        is_suggested = row.bay.code == self.suggested
        change_g = self.change_g if row.bay.code == self.last else None
        says = (row, width, unit, is_suggested, change_g)
        before = self._line_by_bay.get((row.bay.code, is_suggested))
        if before is None or before[0] != says:
            line = row_of(row, width, unit, is_suggested=is_suggested, change_g=change_g)
            before = self._line_by_bay[row.bay.code, is_suggested] = (says, line)
        return before[1]

    def rows(self) -> list[BayRow]:
        """Return every bay of the yard in its order, with what it took in."""
        if self._rows is None:
            self._rows = self._worked_out()
        return self._rows

    def _worked_out(self) -> list[BayRow]:
        assert self.yard is not None and self.tally is not None
        totals = {total.bay.casefold(): total for total in self.tally.bays}
        rows = []
        for bay in self.yard.bays:
            total = totals.get(bay.code.casefold())
            rows.append(
                BayRow(
                    bay=bay,
                    pieces=total.pieces if total else 0,
                    mass_g=total.mass_g if total else 0,
                    earlier_g=self.earlier_g.get(bay.code, 0.0),
                    tightest=self.tightest.get(bay.code),
                )
            )
        return rows

    def _gone(self) -> list[str]:
        """Return the bays that metal lies in and that yard.toml no longer has, with their weights."""
        assert self.yard is not None and self.tally is not None
        known = {bay.code.casefold() for bay in self.yard.bays}
        return [
            f"{total.bay} {short_mass(total.mass_g, self.yard.weight_unit)}"
            for total in self.tally.bays
            if total.bay.casefold() not in known and total.pieces
        ]

    def _name_border(self) -> None:
        """Tell in the border what the rows have no room for: the last change, holds, a broken limit."""
        wide = columns(self.size.width)
        title, below = TITLE, []
        if self.yard is not None and self.tally is not None:
            if self.last and self.change_g and not wide.change:
                sign = "+" if self.change_g > 0 else "-"
                title += f"  {self.last} {sign}{short_mass(abs(self.change_g), self.yard.weight_unit)}"
            if holds := len(self.tally.holds):
                below.append(ON_HOLD.format(count=holds))
            if not wide.limit and (over := self._over()):
                below.append(over)
        if (title, below) != self._border:
            self._border = (title, below)
            self.border_title, self.border_subtitle = Content(title), Content(", ".join(below))

    def _over(self) -> str:
        """Return the bay that is furthest beyond a limit of its buyer; empty where none is."""
        over = {code: one for code, one in self.tightest.items() if one.is_broken}
        if not over:
            return ""
        code, worst = max(over.items(), key=lambda item: item[1].used)
        return AT_LIMIT.format(bay=code, symbol=worst.symbol, word=word_of(worst))

    def _fit(self, rows: list[BayRow], room: int) -> tuple[list[BayRow], list[BayRow]]:
        if len(rows) <= room:
            return rows, []
        wanted = (self.suggested, self.last)
        needed = [row for row in rows if row.pieces or row.bay.is_hold or row.bay.code in wanted]
        needed.sort(key=lambda row: (row.bay.code not in wanted, not row.bay.is_hold, -row.mass_g))
        codes = [row.bay.code for row in needed]
        codes += [row.bay.code for row in rows if row.bay.code not in codes]
        chosen = frozenset(codes[: room - 1])
        shown = [row for row in rows if row.bay.code in chosen]
        return shown, [row for row in rows if row.bay.code not in chosen]
