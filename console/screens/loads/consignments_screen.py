"""Consignments: what goes to a buyer, against the limits of the order, until it is sealed."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from textual.content import Content

from console.desk.refusals import NeedsReason
from console.ground.errors import BaywrightError
from console.panes.said_pane import Said
from console.screens.frames.acting import attempt, refused
from console.screens.frames.acts_page import ActsPage, ActsScreen
from console.screens.frames.asking import ask, ask_and_act, numbered, pick
from console.screens.keys.further import CONSIGNMENTS_KEYS

if TYPE_CHECKING:
    from console.desk import Desk, Done

TITLE = "Consignments"
NONE = (
    "No consignment yet. {key[load-new]} begins one for an order of a buyer; {key[load-put]} puts bales and "
    "loose amounts in, {key[load-seal]} seals it: it never changes then, and its papers stand."
)
NONE_BEGUN = "{key[load-new]} begins a consignment first: none is begun."
NO_ORDER = "yard.toml names no order of a buyer. Write a [[buyer]] with its [[buyer.order]] there first."
WHICH_ORDER, WHICH_ONE = "For which order?", "Which consignment?"
PUT_QUESTION = "What goes in? Tags of bales and loose amounts, blanks between: T1-AXC-0001 AXC=400kg AXC=all"
REASON_TITLE = "Why does it go all the same?"
ASKED = {
    "take": "What comes out? Tags, or the bay of a loose amount.",
    "weigh": "What does it weigh as a whole? Net, or gross and tare: 21640kg 9120kg",
    "foreign": "Foreign material, and the sample that it was sorted out of: 1.2kg 250kg",
    "tick": "Criterion, yes or no, what it rests on: oil yes looked over. It stands with your name.",
    "found": "What did the buyer find? net=2680kg cu=0.27 yield=94.2 paid=4900.50 lost=120; words",
    "radiation": "Radiation: background, highest, unit, instrument: 0.08 0.11 uSv/h gate monitor 12",
    "send": "By what does it leave? Vehicle, driver, container.",
}
"""Act at the desk with a consignment and one line -> the question for the line."""


class ConsignmentsScreen(ActsScreen):
    """The consignment at hand; every act is a key and a line."""

    BINDINGS = CONSIGNMENTS_KEYS

    def __init__(self, desk: "Desk", tag: str = "") -> None:
        super().__init__(desk)
        self.tag = tag or next((one.tag for one in reversed(desk.consignments.all())), "")

    def show_page(self) -> None:
        """Write the consignment at hand: parts, limits, what would help, what could go in."""
        text = NONE.format(key=self.key_names)
        if self.tag:
            try:
                text = self._desk.consignments.page(self.tag, self.size.width - 2)
            except BaywrightError as why:
                text = str(why)
        title = f"{TITLE}: {self.tag}" if self.tag else TITLE
        self.query_one(ActsPage).write(title, Content(text))

    def acted(self, said: Said) -> None:
        """Say what an act came to, and the consignment as it stands with it; the newest where it is gone."""
        known = [one.tag for one in self._desk.consignments.all()]
        if self.tag not in known:
            self.tag = known[-1] if known else ""
        super().acted(said)

    def action_ask(self, what: str) -> None:
        """Ask for a line, and do something with it to the consignment at hand."""
        act, words = getattr(self._desk.consignments, what), str.split if what == "take" else str
        if tag := self._at_hand():
            ask_and_act(self, ASKED[what], lambda typed: act(tag, words(typed)), title=tag)

    def _at_hand(self) -> str:
        """Return the tag of the consignment at hand; empty where there is none, which is said."""
        if not self.tag:
            self.say(Said(NONE_BEGUN.format(key=self.key_names), is_refusal=True))
        return self.tag

    def action_new(self) -> None:
        """Begin one for an order."""
        rows = [
            (order.code, f"{order.code} {order.name}", buyer.name)
            for buyer in self._desk.yard.buyers
            for order in buyer.orders
        ]
        if not rows:
            self.say(Said(NO_ORDER, is_refusal=True))
            return
        begin = self._desk.consignments.begin
        pick(
            self,
            numbered(rows),
            lambda order: self.acted(attempt(lambda: begin(order), self._go_to)),
            title=WHICH_ORDER,
        )

    def _go_to(self, done: "Done[Any]") -> None:
        self.tag = done.made.tag

    def action_other(self) -> None:
        """Go to another consignment."""

        def chosen(tag: str) -> None:
            self.tag = tag
            self.show_page()

        known = reversed(self._desk.consignments.all())
        rows = ((one.tag, f"{one.tag} {one.buyer} {one.order}", one.state.value) for one in known)
        pick(self, numbered(rows), chosen, title=WHICH_ONE)

    def action_put(self) -> None:
        """Put bales and loose amounts in."""
        put = self._desk.consignments.put
        if tag := self._at_hand():
            ask(
                self,
                PUT_QUESTION,
                lambda typed: or_reason(self, lambda why: put(tag, typed.split(), why)),
                title=tag,
            )

    def action_seal(self) -> None:
        """Seal it."""
        if tag := self._at_hand():
            or_reason(self, lambda why: self._desk.consignments.seal(tag, why))

    def action_papers(self) -> None:
        """Write its papers."""
        if tag := self._at_hand():
            self.acted(attempt(lambda: self._desk.consignments.papers(tag)))


def or_reason(screen: ActsScreen, act: "Callable[[str], Done[Any]]") -> None:
    """Do something; where that needs a reason, ask for it and do it with that."""
    try:
        done = act("")
    except NeedsReason as why:
        ask_and_act(screen, str(why), act, title=REASON_TITLE)
    except BaywrightError as why:
        screen.acted(refused(why))
    else:
        screen.acted(Said(done.sentence))
