"""A lot that is said to be all one metal: led through the draws, and tallied by one weight."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from textual.content import Content

from console.ground.figures import many
from console.panes.said_pane import Said
from console.screens.frames.acting import attempt
from console.screens.frames.acts_page import ActsPage, ActsScreen
from console.screens.frames.asking import ask, numbered, pick
from console.screens.frames.pick_screen import Pick
from console.screens.keys.further import LOTS_KEYS
from console.yard.lots.lot_words import pick_words, plan_words, progress_words, result_words

if TYPE_CHECKING:
    from console.desk import Desk, Done
    from console.yard.lots.uniform_lot import UniformLot

TITLE = "Uniform lots"
LOT_TITLE = "Lot {lot}"
SAID_TITLE = "Lot {lot}: {pieces}, said to be {said}"
A_HEAP = "a heap"
PLAN, SO_FAR, PROVED, CHECK_NOW = "plan      ", "so far    ", "proved    ", "check now "
RIGHT, WRONG = "right", "WRONG {found}"
HOW_MANY_WRONG = "How many wrong pieces may turn up?"
WHICH_LOT = "Which lot?"
WRONG_TITLE = "Wrong piece"
NO_LOT = (
    "No lot yet. {key[lot-new]} begins one: what it is said to be, and how many pieces lie there. The "
    "program says which pieces to check, {key[lot-right]} records a right one, {key[lot-wrong]} a wrong one; "
    "a lot that passes is tallied by one weight."
)
SAID_QUESTION = "What is the lot said to be? A grade or a word, such as 6061 or yellow brass."
COUNT_QUESTION = (
    'How many pieces? "120"; "120 rows of 12" tells where each pick lies; '
    '"heap" for a heap that nobody counted.'
)
ACCEPT_PICKS = (
    Pick(key="0", code="0", text="no wrong piece may turn up: the fewest checks"),
    Pick(key="1", code="1", text="one wrong piece may turn up: more checks"),
    Pick(key="2", code="2", text="two may"),
)
FOUND_QUESTION = "What is it instead? A word or a grade, for whoever reads the run."
WEIGHT_QUESTION = "What does the whole lot weigh?"
NO_LOT_BEGUN = "{key[lot-new]} begins a lot first: none is begun."
NO_COUNT = '"{typed}" is no count: a number, "120 rows of 12", or "heap".'


class LotsScreen(ActsScreen):
    """The lot at hand; one key records each result."""

    BINDINGS = LOTS_KEYS

    def __init__(self, desk: "Desk") -> None:
        super().__init__(desk)
        self.lot: UniformLot | None = next(reversed(desk.lots.all().values()), None)

    def show_page(self) -> None:
        """Write plan, progress and results of the lot at hand."""
        title, text = lot_page(self.lot) if self.lot else (TITLE, Content(NO_LOT.format(key=self.key_names)))
        self.query_one(ActsPage).write(title, text)

    def acted(self, said: Said) -> None:
        """Say what an act came to, and the lot as it stands with it; the newest one where it was undone."""
        lots = self._desk.lots.all()
        newest = next(reversed(lots.values()), None)
        self.lot = lots.get(self.lot.lot_id, newest) if self.lot else newest
        super().acted(said)

    def _step(self, step: "Callable[[UniformLot], Done[UniformLot | None]]") -> None:
        lot = self.lot
        if lot is None:
            self.say(Said(NO_LOT_BEGUN.format(key=self.key_names), is_refusal=True))
        else:
            self.acted(attempt(lambda: step(lot)))

    def action_right(self) -> None:
        """Record that the piece that was due is right."""
        self._step(lambda lot: self._desk.lots.record(lot, is_right=True))

    def action_wrong(self) -> None:
        """Record that it is something else."""

        def recorded(found: str) -> None:
            self._step(lambda lot: self._desk.lots.record(lot, is_right=False, found=found))

        if self.lot is None or self.lot.next_pick is None:
            recorded("")
        else:
            ask(self, FOUND_QUESTION, recorded, title=WRONG_TITLE)

    def action_back(self) -> None:
        """Take the last result back."""
        self._step(self._desk.lots.take_back)

    def action_weigh(self) -> None:
        """Tally a lot that passed by one weight."""
        if self.lot is None:
            self.say(Said(NO_LOT_BEGUN.format(key=self.key_names), is_refusal=True))
            return
        tally, title = self._desk.lots.tally, LOT_TITLE.format(lot=self.lot.lot_id)
        ask(self, WEIGHT_QUESTION, lambda weight: self._step(lambda lot: tally(lot, weight)), title=title)

    def action_new(self) -> None:
        """Begin a lot: what it is said to be, how many, how many wrong ones may turn up."""
        ask(
            self,
            SAID_QUESTION,
            lambda said: ask(self, COUNT_QUESTION, lambda typed: self._counted(said, typed), title=TITLE),
            title=TITLE,
        )

    def _counted(self, said: str, typed: str) -> None:
        count = read_count(typed)
        if count is None:
            self.say(Said(NO_COUNT.format(typed=typed), is_refusal=True))
            return
        pieces, per_row = count

        def accepted(accept: str) -> None:
            begin = self._desk.lots.begin
            self.acted(attempt(lambda: begin(said, pieces, accept=int(accept), per_row=per_row), self._go_to))

        pick(self, ACCEPT_PICKS, accepted, title=HOW_MANY_WRONG)

    def _go_to(self, done: "Done[UniformLot]") -> None:
        self.lot = done.made

    def action_other(self) -> None:
        """Go to another lot of this run."""
        lots: Mapping[str, UniformLot] = self._desk.lots.all()

        def chosen(name: str) -> None:
            self.lot = lots[name]
            self.show_page()

        rows = ((name, f"{name} {lot.said}", lot.state.value) for name, lot in lots.items())
        pick(self, numbered(rows), chosen, title=WHICH_LOT)


def lot_page(lot: "UniformLot") -> tuple[str, Content]:
    """Return title and text of a lot: plan, progress and results."""
    pieces = A_HEAP if lot.count is None else many(lot.count, "piece", "pieces")
    lines = [
        Content.assemble((PLAN, "$quiet"), plan_words(lot)),
        Content.assemble((SO_FAR, "$quiet"), progress_words(lot)),
        Content.assemble((PROVED, "$quiet"), result_words(lot)),
        Content(""),
    ]
    if due := pick_words(lot):
        lines.append(Content.assemble((CHECK_NOW, "$quiet"), (f" {due} ", "bold reverse")))
    else:
        lines.append(Content.styled(lot.state.value.upper(), "bold"))
    lines.append(Content(""))
    for number, check in reversed(list(enumerate(lot.checks, start=1))):
        word = RIGHT if check.is_right else WRONG.format(found=check.found).strip()
        where = f"piece {check.pick}" if lot.count is not None else f"{check.pick} passed over"
        lines.append(Content(f"{number:4}. {where}: {word}"))
    return SAID_TITLE.format(lot=lot.lot_id, pieces=pieces, said=lot.said), Content("\n").join(lines)


def read_count(typed: str) -> tuple[int | None, int | None] | None:
    """Return pieces and pieces a row of a lot as typed; None where it cannot be read.

    >>> read_count("120"), read_count("120 rows of 12"), read_count("heap"), read_count("many")
    ((120, None), (120, 12), (None, None), None)
    """
    words = typed.casefold().split()
    if words == ["heap"]:
        return None, None
    figures = [int(word) for word in words if word.isascii() and word.isdigit()]
    if not figures or len(figures) > 2 or not words[0].isdigit():
        return None
    return figures[0], figures[1] if len(figures) == 2 else None
