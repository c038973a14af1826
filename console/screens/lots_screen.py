"""A lot that is said to be all one metal: led through the draws, and tallied by one weight."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.content import Content

from console.desk.lot_checks import begin_lot, lots_of, record_check, take_back, tally_lot
from console.panes.figures import many
from console.panes.said_pane import Said
from console.screens.further_keys import LOTS_KEYS
from console.screens.paged_screen import PagedScreen
from console.screens.pick_screen import Pick, PickScreen
from console.screens.words import PICK_HINT
from console.yard.lots.lot_words import pick_words, plan_words, progress_words, result_words

if TYPE_CHECKING:
    from console.screens.bench import Bench
    from console.yard.lots.uniform_lot import UniformLot

TITLE = "Uniform lots"
LOT_TITLE = "Lot {lot}"
SAID_TITLE = "Lot {lot}: {pieces}, said to be {said}"
A_HEAP = "a heap"
PLAN, SO_FAR, PROVED, CHECK_NOW = "plan      ", "so far    ", "proved    ", "check now "
RIGHT, WRONG = "right", "WRONG {found}"
BEGUN = "lot {lot} begun: {plan}"
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
NO_LOT_BEGUN = "No lot is begun; {key[lot-new]} begins one."
NO_COUNT = '"{typed}" is no count: a number, "120 rows of 12", or "heap".'


class LotsScreen(PagedScreen):
    """The lot at hand; one key records each result."""

    BINDINGS = LOTS_KEYS

    def __init__(self, bench: "Bench") -> None:
        super().__init__(bench)
        lots = list(lots_of(bench.desk.ledger, bench.desk.run().run_id).values())
        self.lot: UniformLot | None = lots[-1] if lots else None

    def page(self) -> tuple[str, Content]:
        """Return plan, progress and results of the lot at hand."""
        lot = self.lot
        if lot is None:
            return TITLE, Content(NO_LOT.format(key=self.key_names))
        pieces = A_HEAP if lot.count is None else many(lot.count, "piece", "pieces")
        lines = [
            Content.assemble((PLAN, "$quiet"), plan_words(lot)),
            Content.assemble((SO_FAR, "$quiet"), progress_words(lot)),
            Content.assemble((PROVED, "$quiet"), result_words(lot)),
            Content(""),
        ]
        if pick := pick_words(lot):
            lines.append(Content.assemble((CHECK_NOW, "$quiet"), (f" {pick} ", "bold reverse")))
        else:
            lines.append(Content.styled(lot.state.value.upper(), "bold"))
        lines.append(Content(""))
        for number, check in reversed(list(enumerate(lot.checks, start=1))):
            word = RIGHT if check.is_right else WRONG.format(found=check.found).strip()
            where = f"piece {check.pick}" if lot.count is not None else f"{check.pick} passed over"
            lines.append(Content(f"{number:4}. {where}: {word}"))
        return SAID_TITLE.format(lot=lot.lot_id, pieces=pieces, said=lot.said), Content("\n").join(lines)

    def action_right(self) -> None:
        """Record that the piece that was due is right."""
        self._change(lambda lot: record_check(self.bench.desk, lot, is_right=True))

    def action_wrong(self) -> None:
        """Record that it is something else."""
        if self.lot is None or self.lot.next_pick is None:
            self._change(lambda lot: record_check(self.bench.desk, lot, is_right=False))
            return
        self.ask(
            FOUND_QUESTION,
            WRONG_TITLE,
            lambda found: self._change(
                lambda lot: record_check(self.bench.desk, lot, is_right=False, found=found)
            ),
        )

    def action_back(self) -> None:
        """Take the last result back."""
        self._change(lambda lot: take_back(self.bench.desk, lot))

    def action_undo(self) -> None:
        """Take back the last act, whatever it was."""
        self._say_and_look_again(self.bench.undo())

    def action_redo(self) -> None:
        """Take back the last undo."""
        self._say_and_look_again(self.bench.redo())

    def _say_and_look_again(self, said: Said) -> None:
        lots = lots_of(self.bench.desk.ledger, self.bench.desk.run().run_id)
        newest = next(reversed(lots.values()), None)
        self.lot = lots.get(self.lot.lot_id, newest) if self.lot else newest
        self.say(said)

    def _change(self, step: "Callable[[UniformLot], UniformLot]") -> None:
        lot = self.lot
        if lot is None:
            self.say(Said(NO_LOT_BEGUN.format(key=self.key_names), is_refusal=True))
            return

        def act() -> str:
            self.lot = step(lot)
            return progress_words(self.lot)

        self.do(act)

    def action_new(self) -> None:
        """Begin a lot: what it is said to be, how many, how many wrong ones may turn up."""

        def counted(said: str, typed: str) -> None:
            count = read_count(typed)
            if count is None:
                self.say(Said(NO_COUNT.format(typed=typed), is_refusal=True))
                return

            def accepted(accept: str | None) -> None:
                if accept is not None:
                    self.do(lambda: self._begin(said, count, int(accept)))

            self.app.push_screen(PickScreen(ACCEPT_PICKS, title=HOW_MANY_WRONG, hint=PICK_HINT), accepted)

        self.ask(
            SAID_QUESTION,
            TITLE,
            lambda said: self.ask(COUNT_QUESTION, TITLE, lambda typed: counted(said, typed)),
        )

    def _begin(self, said: str, count: tuple[int | None, int | None], accept: int) -> str:
        self.lot = begin_lot(self.bench.desk, said, count[0], accept=accept, per_row=count[1])
        return BEGUN.format(lot=self.lot.lot_id, plan=plan_words(self.lot))

    def action_weigh(self) -> None:
        """Tally a lot that passed by one weight."""
        lot = self.lot
        if lot is None:
            self.say(Said(NO_LOT_BEGUN.format(key=self.key_names), is_refusal=True))
            return
        self.ask(
            WEIGHT_QUESTION,
            LOT_TITLE.format(lot=lot.lot_id),
            lambda weight: self.do(lambda: tally_lot(self.bench.desk, lot, weight).sentence),
        )

    def action_other(self) -> None:
        """Go to another lot of this run."""
        lots = lots_of(self.bench.desk.ledger, self.bench.desk.run().run_id)
        picks = [
            Pick(key=name, code=str(number), text=f"{name} {lot.said}", aside=lot.state.value)
            for number, (name, lot) in enumerate(lots.items(), start=1)
        ]

        def chosen(name: str | None) -> None:
            if name is not None:
                self.lot = lots[name]
                self.show_page()

        self.app.push_screen(PickScreen(picks, title=WHICH_LOT, hint=PICK_HINT), chosen)


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
