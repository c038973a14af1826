"""The panes of the sorting screen, and how they lie."""

from textual.app import ComposeResult

from console.drawing.drawn import DrawnPane
from console.drawing.painted import Column, Row
from console.panes.key_line import KeyLine
from console.panes.piece.candidates_pane import CandidatesPane
from console.panes.piece.entry_pane import EntryPane
from console.panes.piece.placement_pane import PlacementPane
from console.panes.piece.series_pane import SeriesPane
from console.panes.piece.strips_pane import StripsPane
from console.panes.piece.warnings_pane import WarningsPane
from console.panes.piece.why_pane import WhyPane
from console.panes.run.bays_pane import BaysPane
from console.panes.run.chemistry_pane import ChemistryPane
from console.panes.run.last_pieces_pane import LastPiecesPane
from console.panes.run.run_header import RunHeader
from console.panes.said_pane import SaidPane
from console.panes.tour_pane import TourPane


class SortingPanes:
    """One of each; widths and what is hidden where stand in sorting_screen.tcss."""

    def __init__(self) -> None:
        self.header = RunHeader(id="run-header")
        self.entry = EntryPane(id="entry")
        self.placement = PlacementPane(id="placement")
        self.candidates = CandidatesPane(id="candidates")
        self.strips = StripsPane(id="strips")
        self.series = SeriesPane(id="series")
        self.why = WhyPane(id="why")
        self.chemistry = ChemistryPane(id="chemistry")
        self.bays = BaysPane(id="bays")
        self.last = LastPiecesPane(id="last")
        self.warnings = WarningsPane(id="warnings")
        self.tour = TourPane(id="tour")
        self.said = SaidPane(id="said")
        self.beneath_warnings: tuple[DrawnPane, ...] = (
            self.candidates,
            self.strips,
            self.series,
            self.why,
            self.chemistry,
            self.bays,
            self.last,
        )

    def laid_out(self) -> ComposeResult:
        """Header, entry, placement, candidates beside bays, cautions, the last sentence, keys."""
        yield self.header
        yield self.entry
        yield self.placement
        with Row(id="body"):
            with Column(id="can-be") as box:
                box.border_title = "Can be"
                with Row(id="answers"):
                    yield self.candidates
                    yield self.series
                with Column(id="explained"):
                    yield self.strips
                    with Row(id="reasons"):
                        yield self.why
                        yield self.chemistry
            with Column(id="at-right"):
                yield self.bays
                yield self.last
            yield self.warnings
        yield self.tour
        yield self.said
        yield KeyLine(id="keys")
