"""Hands what is known of the piece at hand to the panes; each repaints only when its part differs."""

from typing import TYPE_CHECKING

from console.panes.piece.placement_pane import HOLD
from console.panes.piece.warnings_pane import CAUTION_ROWS
from console.screens.sorting import words

if TYPE_CHECKING:
    from textual.timer import Timer

    from console.desk import Consideration
    from console.screens.sorting.sorting_screen import SortingScreen


REST_S = 0.6
"""Without a key for so long [s] nobody types: what moves now moves under no word (own choice)."""


class Showing:
    """The piece at hand on the screen."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._panes = screen.panes
        self._rows_warned = 0
        self._giving_back: Timer | None = None

    def show(self, considered: "Consideration") -> None:
        """Show what the line says, what the piece can be, where it goes, and what to mind."""
        panes, piece = self._panes, self._screen.desk.piece
        is_piece, is_again = considered.parsed.is_of_piece, piece.is_same_again(considered)
        panes.entry.echo.parsed = considered.parsed
        panes.candidates.verdict = considered.verdict if is_piece else None
        self.explain()
        panes.placement.suggest(
            considered.placement if is_piece and not is_again else None,
            asked=HOLD if considered.parsed.is_hold else considered.parsed.bay_code or "",
            instead=words.SAME_AGAIN.format(label=piece.last_label) if is_again else "",
            money=piece.money(considered),
        )
        bay = piece.bay(considered) if is_piece else None
        panes.bays.suggested = bay.code if bay else ""
        self._show_beside(considered)
        self.warn(considered)
        panes.entry.bay_warning = piece.headroom_warning(considered)
        self._screen.completion.shade(considered)

    def _show_beside(self, considered: "Consideration") -> None:
        """Show the shots from skin to core and the bay's chemistry, where the screen has room for them."""
        series, chemistry = self._panes.series, self._panes.chemistry
        if series.display:
            series.verdict, series.shots = considered.verdict, considered.parsed.facts.shots
            chemistry.bay = self._panes.bays.suggested or self._panes.bays.last

    def explain(self) -> None:
        """Show the reasons of the selected candidate."""
        candidates, strips, considered = self._panes.candidates, self._panes.strips, self._screen.considered
        selected = candidates.selected_candidate
        self._panes.why.explain(selected, candidates.verdict, has_strips=strips.display)
        if strips.display and considered is not None:
            strips.readings = self._screen.desk.piece.readings(considered)
            strips.candidate = selected
        self._screen.tour.look()

    def warn(self, considered: "Consideration") -> None:
        """Show skin and cautions over the foot of the panes, which draw in the rows that are left."""
        if considered.parsed.is_blank:
            self._panes.warnings.fall_silent()
        else:
            self._panes.warnings.say(considered.verdict.skin, considered.cautions)
        self._draw_above_moved_warnings()
        if self._giving_back is not None:
            self._giving_back.stop()
            self._giving_back = None
        if self._panes.warnings.has_spare_rows:
            self._giving_back = self._screen.set_timer(REST_S, self.give_rows_back)

    def give_rows_back(self) -> None:
        """Let the panes have the rows that no warning stands in any more; once the keys rest."""
        self._panes.warnings.give_back()
        self._draw_above_moved_warnings()

    def _draw_above_moved_warnings(self) -> None:
        if self._panes.warnings.rows != self._rows_warned:
            self.draw_above_warnings()

    def fill_room(self) -> None:
        """Show what a larger screen shows beside the rest."""
        if self._screen.considered is not None:
            self.warn(self._screen.considered)
            self.explain()
            self._show_beside(self._screen.considered)
        self._screen.show_sums()

    def draw_above_warnings(self) -> None:
        """Have the panes draw in the rows that the warnings leave them."""
        self._rows_warned = self._panes.warnings.rows
        # On a short screen the list of candidates gives its rows up before a reason or a bay does.
        self._screen.set_class(self._rows_warned > CAUTION_ROWS, "-crowded")
        top = self._screen.query_one("#body").region.bottom - self._rows_warned
        for pane in self._panes.beneath_warnings:
            pane.covered = max(0, pane.content_region.bottom - top)
