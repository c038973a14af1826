"""The bays: stock, rules with overlaps and gaps, chemistry with headroom, and what leaves them."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.drawing.drawn import cell
from console.drawing.figures import NOT_MEASURED, bar
from console.ground.errors import BaywrightError
from console.ground.mass import format_mass
from console.screens.frames.acting import attempt, refused
from console.screens.frames.acts_page import ActsPage, ActsScreen
from console.screens.frames.asking import ask, pick
from console.screens.frames.pick_screen import Pick
from console.screens.frames.text_screen import TextScreen
from console.screens.further.downgrading import DowngradeSteps
from console.screens.keys.further import BAYS_KEYS

if TYPE_CHECKING:
    from console.desk import Desk, Done
    from console.desk.bays.baling import DrawnDown

STOCK, RULES, CHEMISTRY = "stock", "rules", "chemistry"
TITLES = {
    STOCK: "Bays: what lies in them now, over all runs",
    RULES: "Bays: rules, overlaps and gaps",
    CHEMISTRY: "Bays: chemistry, and how far from the buyers' limits",
}
READING = "Reading what lies in the bays ..."
WEIGHT_QUESTION = (
    'What does it weigh? A weight, or "all" for everything in {code} ({lying} by the ledger), '
    'or "all 812kg" for everything that weighs so much.'
)
WHICH_BAY = "Out of which bay?"
DRAW_DOWN = "Out of a bay"
SHEET_TITLE = "Sheet of the bale"
WIDEST_NAME = 28
"""Cells of a bay's name, so that its figures stand beside it on a large screen as well."""
HEADS = ("bay", "lies there", "full bale", "bale", "bay full at")
REASON_QUESTION = "Where does it go? A few words for the sheet and the handover."


class BaysScreen(ActsScreen):
    """Three pages of the same bays; d takes a bale out of one, g enters what a buyer turned down."""

    BINDINGS = BAYS_KEYS

    def __init__(self, desk: "Desk") -> None:
        super().__init__(desk)
        self._page = STOCK

    def show_page(self) -> None:
        """Write the page that is turned to."""
        bays, width = self._desk.bays, max(60, self.app.size.width - 2)
        if self._page == STOCK:
            text = stock_page(self._desk, width)
        elif self._page == RULES:
            text = Content(bays.rules(width))
        elif bays.book.is_ready:
            text = Content(bays.chemistry(width))
        else:
            text = Content(READING)
            self.run_worker(self._read_bays, thread=True, exclusive=True, group="bays")
        self.query_one(ActsPage).write(TITLES[self._page], text)

    def _read_bays(self) -> None:
        try:
            self._desk.bays.book.read()
        except BaywrightError as why:
            self.app.call_from_thread(self.acted, refused(why))
        else:
            self.app.call_from_thread(self.show_page)

    def action_turn_to(self, page: str) -> None:
        """Turn to another page."""
        self._page = page
        self.show_page()
        self.query_one(ActsPage).turn_back()

    def action_draw_down(self) -> None:
        """Take a bale, box or load out of a bay: which, how heavy, where to."""
        lying, unit = self._desk.bays.lying(), self._desk.yard.weight_unit
        picks = [
            Pick(
                key=bay.code,
                code=bay.code,
                text=bay.name,
                aside=format_mass(lying.get(bay.code, 0), unit),
                is_quiet=lying.get(bay.code, 0) <= 0,
            )
            # The fullest first: that is the one to empty.
            for bay in sorted(self._desk.yard.bays, key=lambda bay: -lying.get(bay.code, 0))
            if not bay.is_hold
        ]

        def chosen(code: str) -> None:
            question = WEIGHT_QUESTION.format(code=code, lying=format_mass(lying.get(code, 0), unit))
            ask(self, question, lambda weight: self._ask_where(code, weight), title=DRAW_DOWN, usual="all")

        pick(self, picks, chosen, title=WHICH_BAY)

    def action_downgrade(self) -> None:
        """Enter a buyer's complaint about what was drawn down."""
        DowngradeSteps(self, self._desk).begin()

    def _ask_where(self, code: str, weight: str) -> None:
        draw_down = self._desk.bays.draw_down

        def show(drawn: "Done[DrawnDown]") -> None:
            self.app.push_screen(TextScreen(SHEET_TITLE, Content(drawn.made.text)))

        def told(reason: str) -> None:
            self.acted(attempt(lambda: draw_down(code, weight, reason), show))

        ask(self, REASON_QUESTION, told, title=DRAW_DOWN)


def stock_page(desk: "Desk", width: int) -> Content:
    """Return every bay with what lies there, against its bale and its capacity."""
    lying, unit = desk.bays.lying(), desk.yard.weight_unit
    name = max(16, min(WIDEST_NAME, width - 4 - 15 - 13 - 7 - 13 - 2))
    code_head, lies_head, full_head, share_head, most_head = HEADS
    head = cell(code_head, 4) + cell("", name) + cell(lies_head, 15, right=True)
    lines = [
        Content.styled(head + cell(full_head, 13, right=True) + f"   {share_head}   {most_head}", "$quiet")
    ]
    for bay in desk.yard.bays:
        mass_g = lying.get(bay.code, 0)
        share = mass_g / bay.bale_g if bay.bale_g else None
        full, rest = bar(max(0.0, share), 6) if share is not None else ("", " " * 6)
        lines.append(
            Content.assemble(
                (cell(bay.code, 4), "bold"),
                cell(bay.name, name),
                (cell(format_mass(mass_g, unit) if mass_g else NOT_MEASURED, 15, right=True), "bold"),
                cell(format_mass(bay.bale_g, unit) if bay.bale_g else NOT_MEASURED, 13, right=True),
                " ",
                (full, "bold $warning" if share is not None and share >= 1 else "$primary"),
                (rest, "$bar-rest"),
                cell(format_mass(bay.capacity_g, unit) if bay.capacity_g else NOT_MEASURED, 13, right=True),
            )
        )
    return Content("\n").join(lines)
