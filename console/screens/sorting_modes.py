"""Two ways of working that last for more than one key: correcting the last piece, and the tour."""

from typing import TYPE_CHECKING

from console.panes.candidates_pane import CandidatesPane
from console.panes.entry_pane import EntryPane
from console.panes.said_pane import Said
from console.panes.tour_pane import TourPane
from console.screens import words
from console.screens.pick_screen import Pick, PickScreen
from console.screens.sorting_acts import SortingActs
from console.screens.tour import DONE, Moment, Tour

if TYPE_CHECKING:
    from console.ledger.rows.rows import Tally


class SortingModes(SortingActs):
    """What is on until it is done or left."""

    def __init__(self) -> None:
        super().__init__()
        self._tour: Tour | None = None

    def action_correct(self) -> None:
        """Take the line of the last piece back; Enter then puts what it says now in its place."""
        if self.bench is None:
            self.say(Said(words.STILL_OPENING, is_refusal=True))
            return
        last = self.bench.desk.last_piece()
        if last is None:
            self.say(Said(words.NOTHING_TO_CORRECT, is_refusal=True))
            return
        self.is_correcting = True
        self.query_one(EntryPane).purpose = words.CORRECTING_TITLE.format(bay=last.bay)
        self.line.put(last.line)
        self.say(Said(words.CORRECTING))

    def stop_correcting(self) -> None:
        """Go back to new pieces."""
        if self.is_correcting:
            self.is_correcting = False
            self.query_one(EntryPane).purpose = words.PIECE_TITLE

    def action_leave_off(self) -> None:
        """Leave a correction, else the tour."""
        if self.is_correcting:
            self.stop_correcting()
            self.line.clear()
            self.say(Said(words.CORRECTION_LEFT))
        elif self._tour is not None:
            self._end_tour(words.TOUR_LEFT.format(key=self.key_names))

    def action_tour(self) -> None:
        """Begin the tour."""
        if self.bench is not None:
            self._tour = Tour(self._moment(self.bench.desk.sums()))
            self.query_one(TourPane).step = self._tour_line()

    def go_on_tour(self, sums: "Tally | None" = None, *, open_screen: str = "") -> None:
        """Let the tour see what was done."""
        if self._tour is None or self.bench is None:
            return
        moment = self._moment(sums or self.bench.desk.sums(), open_screen)
        if not self._tour.look(moment):
            return
        if self._tour.line:
            self.query_one(TourPane).step = self._tour_line()
        else:
            self._end_tour(DONE.format(key=self.key_names))

    def action_colours(self) -> None:
        """Choose among the colour schemes, for this sitting."""

        def chosen(name: str | None) -> None:
            if name is not None:
                self.app.theme = name
                self.say(Said(words.COLOURS_CHOSEN.format(name=name)))

        from console.yard.file.console_settings import THEMES

        picks = [Pick(key=name, code=str(i), text=name) for i, name in enumerate(THEMES, start=1)]
        self.app.push_screen(
            PickScreen(picks, title=words.COLOURS_TITLE, hint=words.PICK_HINT, opened_by="colours"), chosen
        )

    def _tour_line(self) -> str:
        assert self._tour is not None
        return f"{self._tour.line}  {words.TOUR_SKIP}".format(key=self.key_names)

    def _end_tour(self, said: str) -> None:
        self._tour = None
        self.query_one(TourPane).step = ""
        self.say(Said(said))

    def _moment(self, sums: "Tally", open_screen: str = "") -> Moment:
        return Moment(
            considered=self.considered,
            entries=sums.entries,
            holds=len(sums.holds),
            selected=self.query_one(CandidatesPane).selected,
            open_screen=open_screen,
        )
