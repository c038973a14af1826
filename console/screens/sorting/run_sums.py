"""The open run on the screen: sums, bays, last pieces, pace, the analyser."""

from typing import TYPE_CHECKING

from console.drawing.at_rest import shown_at_rest
from console.panes.said_pane import Said
from console.screens.sorting import words
from console.screens.sorting.headroom import Headroom
from console.screens.sorting.line_history import LineHistory

if TYPE_CHECKING:
    from console.ledger.rows.rows import Tally
    from console.screens.sorting.sorting_screen import SortingScreen
    from console.yard.yard import Yard


class RunSums:
    """Shows the tally as it stands in the ledger."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._panes = screen.panes
        self._headroom = Headroom(screen)

    def begin(self, yard: "Yard") -> None:
        """Name the yard where it is shown; a run is a shift, so every caution is told in full again."""
        self._panes.warnings.begin_shift()
        self._panes.bays.yard = self._panes.header.yard = self._panes.last.yard = yard
        self._panes.chemistry.yard = self._panes.series.yard = yard
        self._tell_what_goes_on()

    def forget(self) -> None:
        """Let nothing of a closed run show in the next one: sums, changes, sentences, lines to call back."""
        bays, header = self._panes.bays, self._panes.header
        bays.tally = header.tally = None
        bays.last, bays.change_g = "", 0
        self._panes.last.pieces = ()
        self._panes.strips.at_rest = self._panes.why.at_rest = None
        self._panes.said.forget()
        self._screen.entering.history = LineHistory()

    def _tell_what_goes_on(self) -> None:
        """Say what was begun before the start and holds for every piece: a running tare, whose load."""
        desk, key = self._screen.desk, self._screen.key_names
        said = [
            text.format(what=what, key=key)
            for text, what in (
                (words.TARE_GOES_ON, desk.piece.tare.said),
                (words.LOAD_GOES_ON, desk.loads.words),
            )
            if what
        ]
        if said:
            self._screen.say(Said(" ".join(said), is_prompt=True))

    def show(self) -> "Tally":
        """Show the sums; return them."""
        desk, bays, header = self._screen.desk, self._panes.bays, self._panes.header
        sums = desk.sums()
        last = desk.piece.last
        changed = _change(bays.tally, sums, last.bay if last else "")
        if changed is not None:
            bays.last, bays.change_g = changed
        bays.tally = header.tally = sums
        header.whose = desk.loads.words
        header.analyser = desk.checks.state()
        header.grams_per_hour = desk.pace.grams_per_hour(sums.mass_g)
        self._headroom.read()
        self._show_pieces(sums)
        return sums

    def _show_pieces(self, sums: "Tally") -> None:
        """Show the last pieces in their own pane, or with what waits where nothing is explained."""
        panes, review = self._panes, self._screen.desk.review
        explaining = [pane for pane in (panes.strips, panes.why) if pane.display]
        last = None
        if panes.last.display:
            panes.last.pieces = review.latest(panes.last.size.height)
        else:
            last = review.latest(max(pane.size.height for pane in explaining))
        unit = self._screen.desk.yard.weight_unit
        rests = shown_at_rest(last, sums.holds, sums.notes, unit)
        for pane, rest in zip(explaining, rests, strict=False):
            pane.at_rest = rest


def _change(before: "Tally | None", after: "Tally", last_bay: str) -> tuple[str, int] | None:
    """Return which bay changed between two tallies and by how much [g]; None where none did.

    Of several, as after a move, the one that the last piece lies in; at the start that one, unchanged.
    """
    if before is None:
        return last_bay, 0
    was = {total.bay: total.mass_g for total in before.bays}
    now = {total.bay: total.mass_g for total in after.bays}
    changes = {code: now.get(code, 0) - was.get(code, 0) for code in {**was, **now}}
    changed = {code: grams for code, grams in changes.items() if grams}
    if not changed:
        return None
    code = max(changed, key=lambda code: (code == last_bay, abs(changed[code])))
    return code, changed[code]
