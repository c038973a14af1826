"""The bays: stock, rules with overlaps and gaps, chemistry with headroom, and drawing down."""

from typing import TYPE_CHECKING

from textual import work
from textual.content import Content

from console.ground.mass import format_mass
from console.panes.drawn import cell
from console.panes.figures import NOT_MEASURED, bar
from console.panes.said_pane import Said
from console.screens.further_keys import BAYS_KEYS
from console.screens.paged_screen import PagedScreen
from console.screens.pick_screen import Pick, PickScreen
from console.screens.text_screen import TextScreen
from console.screens.words import PICK_HINT

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.bench import Bench

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
DRAW_DOWN = "Draw-down"
SHEET_TITLE = "Sheet of the bale"
DRAWN_DOWN = "write {tag} on it; the sheet is in {files}"
HEADS = ("bay", "lies there", "full bale", "bale", "bay full at")
REASON_QUESTION = "Where does it go? A few words for the sheet and the handover."


class BaysScreen(PagedScreen):
    """Three pages of the same bays; d takes a bale out of one."""

    BINDINGS = BAYS_KEYS

    def __init__(self, bench: "Bench") -> None:
        super().__init__(bench)
        self._page = STOCK

    def page(self) -> tuple[str, Content]:
        """Return the page that is turned to."""
        desk, width = self.bench.desk, max(60, self.app.size.width - 2)
        if self._page == STOCK:
            return TITLES[STOCK], stock_page(desk, width)
        if self._page == RULES:
            from console.yard.placing.bays_text import bays_text
            from console.yard.placing.gaps import survey

            lines = bays_text(desk.yard, survey(desk.yard, desk.library), width)
            return TITLES[RULES], Content("\n".join(lines))
        if not desk.bay_book.is_ready:
            self.read_bays()
            return TITLES[CHEMISTRY], Content(READING)
        from console.reports.chemistry_text import chemistry_text

        sums = desk.bay_book.sums()
        return TITLES[CHEMISTRY], Content(chemistry_text(desk.yard, sums, desk.library, width=width))

    @work(thread=True, exclusive=True, group="bays")
    def read_bays(self) -> None:
        """Read the bays in a thread; the page follows."""
        from console.ledger.rows.errors import StoreError

        try:
            self.bench.desk.bay_book.read()
        except StoreError as error:
            self.app.call_from_thread(self.say, Said(str(error), is_refusal=True))
        else:
            self.app.call_from_thread(self.show_page)

    def action_turn_to(self, page: str) -> None:
        """Turn to another page."""
        self._page = page
        self.show_page()
        self.query_one("#page").scroll_home(animate=False)

    def action_draw_down(self) -> None:
        """Take a bale, box or load out of a bay: which, how heavy, where to."""
        desk = self.bench.desk
        lying = lying_in(desk)
        unit = desk.yard.weight_unit
        picks = [
            Pick(
                key=bay.code,
                code=bay.code,
                text=bay.name,
                aside=format_mass(lying.get(bay.code, 0), unit),
                is_quiet=lying.get(bay.code, 0) <= 0,
            )
            for bay in desk.yard.bays
            if not bay.is_hold
        ]

        def chosen(code: str | None) -> None:
            if code is not None:
                question = WEIGHT_QUESTION.format(code=code, lying=format_mass(lying.get(code, 0), unit))
                self.ask(question, DRAW_DOWN, lambda weight: self._ask_where(code, weight), usual="all")

        self.app.push_screen(PickScreen(picks, title=WHICH_BAY, hint=PICK_HINT), chosen)

    def _ask_where(self, code: str, weight: str) -> None:
        def told(reason: str) -> None:
            sheets: list[str] = []

            def act() -> str:
                done = self.bench.desk.draw_down(code, weight, reason)
                sheets.append(done.text)
                files = " and ".join(file.name for file in done.files)
                return DRAWN_DOWN.format(tag=done.bale.tag, files=files)

            self.do(act)
            if sheets:
                self.app.push_screen(TextScreen(SHEET_TITLE, Content(sheets[0])))

        self.ask(REASON_QUESTION, DRAW_DOWN, told)


def lying_in(desk: "Desk") -> dict[str, int]:
    """Return what lies in every bay now [g], over all runs."""
    from console.ledger.views.lying import lying_now

    return lying_now(desk.ledger)


def stock_page(desk: "Desk", width: int) -> Content:
    """Return every bay with what lies there, against its bale and its capacity."""
    lying, unit = lying_in(desk), desk.yard.weight_unit
    name = max(16, width - 4 - 15 - 13 - 7 - 13 - 2)
    code_head, lies_head, full_head, share_head, most_head = HEADS
    head = cell(code_head, 4) + cell("", name) + cell(lies_head, 15, right=True)
    lines = [
        Content.styled(head + cell(full_head, 13, right=True) + f"   {share_head}   {most_head}", "$quiet")
    ]
    for bay in desk.yard.bays:
        mass_g = lying.get(bay.code, 0)
        share = mass_g / bay.bale_g if bay.bale_g else None
        full, rest = bar(max(0.0, share), 6) if share is not None else ("", "")
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
