"""The screen a shift is worked on: one line in, candidates, placement and bays out."""

from dataclasses import replace
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult

from console.panes.bays_pane import BaysPane
from console.panes.candidates_pane import CandidatesPane
from console.panes.drawn import DrawnPane
from console.panes.entry_line import EntryLine
from console.panes.entry_pane import EchoPane, EntryPane
from console.panes.key_line import KeyLine
from console.panes.last_pieces_pane import LastPiecesPane
from console.panes.painted import Column, Painted, Row
from console.panes.placement_pane import PlacementPane, asked_for
from console.panes.run_header import RunHeader
from console.panes.said_pane import Said, SaidPane
from console.panes.strips_pane import StripsPane
from console.panes.tour_pane import TourPane
from console.panes.warnings_pane import WarningsPane
from console.panes.why_pane import WhyPane
from console.screens import words
from console.screens.pace import Pace
from console.screens.sorting_readings import SortingReadings

if TYPE_CHECKING:
    from console.desk import Consideration
    from console.ledger.rows.rows import Tally
    from console.screens.bench import Bench


class SortingScreen(SortingReadings, Painted):
    """Holds the piece at hand and hands it to the panes; what keys do stands in the classes it comes from."""

    CSS_PATH = "sorting_screen.tcss"
    AUTO_FOCUS = "#line"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide"), (150, "-broad")]
    VERTICAL_BREAKPOINTS = [(0, "-short"), (29, "-tall"), (40, "-lofty")]

    def __init__(self) -> None:
        super().__init__()
        self.said = self._last_done = Said("")
        self._beneath_warnings: tuple[DrawnPane, ...] = ()
        self._rows_warned = 0
        self._pace: Pace | None = None

    def compose(self) -> ComposeResult:
        """Header, entry, placement, candidates beside bays, cautions, the last sentence, keys."""
        yield RunHeader(id="run-header")
        yield EntryPane(id="entry")
        yield PlacementPane(id="placement")
        with Row(id="body"):
            with Column(id="can-be") as box:
                box.border_title = "Can be"
                yield CandidatesPane(id="candidates")
                with Column(id="explained"):
                    yield StripsPane(id="strips")
                    yield WhyPane(id="why")
            with Column(id="at-right"):
                yield BaysPane(id="bays")
                yield LastPiecesPane(id="last")
            yield WarningsPane(id="warnings")
        yield TourPane(id="tour")
        yield SaidPane(id="said")
        yield KeyLine(id="keys")

    def on_mount(self) -> None:
        """Follow the line as it is typed; watching its value repaints in the same frame as the key."""
        beneath = self.query("#can-be DrawnPane, #at-right DrawnPane")
        self._beneath_warnings = tuple(beneath.results(DrawnPane))
        self.screen_layout_refresh_signal.subscribe(self, lambda _: self.draw_above_warnings())
        self.watch(self.query_one(EntryLine), "value", self.consider, init=False)
        self.line.when_entered = self.enter_line
        self.watch(self.query_one(CandidatesPane), "selected", self.explain, init=False)
        self.show_keys()

    def show_keys(self) -> None:
        """Name the keys in the key line and where a pane speaks of one."""
        super().show_keys()
        self.keep_keys_in_order()
        self.query_one(WarningsPane).key = self.key_names["cautions"]

    @property
    def line(self) -> EntryLine:
        """The line that everything is typed into."""
        return self.query_one("#line", EntryLine)

    def take_bench(self, bench: "Bench") -> None:
        """Begin to consider, now that the desk is open."""
        self.bench = bench
        yard = bench.desk.yard
        self.query_one(BaysPane).yard = yard
        self.query_one(RunHeader).yard = yard
        self.show_keys()
        self.query_one(LastPiecesPane).yard = yard
        self._pace = Pace(bench.desk, bench.now)
        self.show_sums()
        self.tally_waiting()
        self.consider(self.line.value)
        self.watch_readings()

    def consider(self, line: str) -> None:
        """Show what the line says, what the piece can be and where it goes."""
        if self.bench is None:
            return
        self.considered = self.bench.desk.consider(line)
        self.follow_readings(line)
        self.show_consideration(self.considered)
        if self.said.is_refusal:
            self.say(self._last_done)
        self.go_on_tour()

    def show_consideration(self, considered: "Consideration") -> None:
        """Hand the parts to their panes; each repaints only when its part differs."""
        is_blank = considered.parsed.is_blank
        self.query_one(EchoPane).parsed = considered.parsed
        candidates = self.query_one(CandidatesPane)
        candidates.verdict = None if is_blank else considered.verdict
        self.explain()
        instead = self.bench.instead_of_placement(considered) if self.bench else ""
        self.query_one(PlacementPane).suggest(
            None if is_blank or instead else considered.placement,
            asked=asked_for(considered.parsed),
            instead=instead,
        )
        self.query_one(BaysPane).suggested = self.bench.bay_at_hand(considered) if self.bench else ""
        self.warn_of_piece(considered)
        self.warn_of_headroom(considered)
        self.follow_with_advice(considered)

    def warn_of_piece(self, considered: "Consideration") -> None:
        """Show skin and cautions over the foot of the panes, which draw in the rows that are left."""
        warnings = self.query_one(WarningsPane)
        if considered.parsed.is_blank:
            warnings.fall_silent()
        else:
            warnings.say(considered.verdict.skin, considered.cautions)
        if warnings.rows != self._rows_warned:
            self.draw_above_warnings()

    def draw_above_warnings(self) -> None:
        """Have the panes draw in the rows that the warnings leave them."""
        self._rows_warned = self.query_one(WarningsPane).rows
        top = self.query_one("#body").region.bottom - self._rows_warned
        for pane in self._beneath_warnings:
            pane.covered = max(0, pane.content_region.bottom - top)

    def explain(self) -> None:
        """Show the reasons of the selected candidate."""
        candidates = self.query_one(CandidatesPane)
        why, strips = self.query_one(WhyPane), self.query_one(StripsPane)
        why.explain(candidates.selected_candidate, candidates.verdict, has_strips=strips.display)
        if strips.display and self.bench is not None and self.considered is not None:
            strips.readings = self.bench.readings_of(self.considered)
            strips.candidate = candidates.selected_candidate
        if candidates.selected:
            self.go_on_tour()

    def show_sums(self) -> None:
        """Show the tally as it stands in the ledger."""
        if self.bench is None:
            return
        sums = self.bench.desk.sums()
        bays, header, last = (
            self.query_one(BaysPane),
            self.query_one(RunHeader),
            self.query_one(LastPiecesPane),
        )
        changed = _change(bays.tally, sums, self.bench.last_bay)
        if changed is not None:
            bays.last, bays.change_g = changed
        bays.tally = sums
        header.tally = sums
        header.analyser = self.bench.desk.analyser_state()
        self.read_bays()
        self.show_waiting()
        header.grams_per_hour = self._pace.grams_per_hour(sums.mass_g) if self._pace else None
        if last.display:
            last.pieces = self.bench.latest(last.size.height)
        self.go_on_tour(sums)

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
        self.said = said
        if not said.is_refusal:
            self._last_done = said
        self.query_one(SaidPane).said = said
        if said.is_refusal and getattr(self.app, "flashes", False):
            self.query_one(SaidPane).flash()

    @on(EntryLine.CompletionAsked)
    def complete_word(self, event: EntryLine.CompletionAsked) -> None:
        """Finish the word before the cursor."""
        event.stop()
        self.complete(event.line, event.cursor)

    @on(EntryLine.Shortened)
    def tell_of_lines_left(self, event: EntryLine.Shortened) -> None:
        """Tell that only the first line of a paste was taken."""
        event.stop()
        self.say(Said(words.ONLY_FIRST_LINE.format(count=event.lines), is_refusal=True))

    def on_screen_resume(self) -> None:
        """Another screen may have voided or moved a piece."""
        self.show_sums()

    def on_resize(self) -> None:
        """Fill what the new size has room for, once it is laid out."""
        self.call_after_refresh(self.fill_room)

    def fill_room(self) -> None:
        """Show what a larger screen shows beside the rest."""
        if self.considered is not None:
            self.warn_of_piece(self.considered)
        self.explain()
        self.show_sums()


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
