"""A buyer's complaint, asked for step by step: of which bale, how much, what was found, what it cost."""

from typing import TYPE_CHECKING

from console.ground.errors import BaywrightError
from console.ground.mass import format_mass
from console.panes.said_pane import Said
from console.screens.frames.acting import attempt, refused
from console.screens.frames.asking import ask, numbered, pick
from console.screens.frames.pick_screen import Pick
from console.yard.money import amount_shown

if TYPE_CHECKING:
    from console.desk import Desk
    from console.ledger.rows.rows import Row
    from console.screens.further.bays_screen import BaysScreen

TITLE = "Downgrade by the buyer"
WHICH = "Which bale or load did the buyer turn down?"
NOTHING_SOLD = "{key[draw-down]} takes a bale out first: nothing was taken out yet."
WEIGHT_QUESTION = "How much of {named} was downgraded? It weighed {weight} in all."
REASON_QUESTION = "What did the buyer find, such as Cu 1.4 in the melt? The handover keeps your words."
LOSS_TITLE = "What did it cost?"
LOSS_QUESTION = "What did it cost in {currency}? A number alone, such as 84.50"
USUAL, OTHER = "usual", "other"


class DowngradeSteps:
    """One after the other; Esc at any of them leaves everything as it is."""

    def __init__(self, screen: "BaysScreen", desk: "Desk") -> None:
        self._screen = screen
        self._desk = desk

    def begin(self) -> None:
        """Ask which bale, newest first."""
        sold, unit = self._desk.bays.sold(), self._desk.yard.weight_unit
        if not sold:
            said = NOTHING_SOLD.format(key=self._screen.key_names)
            self._screen.say(Said(said, is_refusal=True))
            return
        picks = numbered(
            (str(place), f"{_named(row)}  {row.at_utc:%Y-%m-%d}", format_mass(row.mass_g or 0, unit))
            for place, row in enumerate(sold)
        )
        pick(self._screen, picks, lambda key: self._ask_weight(sold[int(key)]), title=WHICH)

    def _ask_weight(self, sold: "Row") -> None:
        weight = format_mass(sold.mass_g or 0, self._desk.yard.weight_unit)
        question = WEIGHT_QUESTION.format(named=_named(sold), weight=weight)
        ask(self._screen, question, lambda typed: self._ask_reason(sold, typed), title=TITLE)

    def _ask_reason(self, sold: "Row", weight: str) -> None:
        try:
            usual = self._desk.bays.usual_loss(sold, weight)
        except BaywrightError as why:
            self._screen.say(refused(why))
            return
        ask(
            self._screen,
            REASON_QUESTION,
            lambda reason: self._ask_loss(sold, weight, reason, usual),
            title=TITLE,
        )

    def _ask_loss(self, sold: "Row", weight: str, reason: str, usual: float) -> None:
        currency, shown = self._desk.yard.currency, amount_shown(usual, self._desk.yard)

        def enter(loss: str = "") -> None:
            downgrade = self._desk.bays.downgrade
            self._screen.acted(attempt(lambda: downgrade(sold, weight, reason, loss)))

        def chosen(what: str) -> None:
            if what == USUAL:
                enter()
            else:
                ask(self._screen, LOSS_QUESTION.format(currency=currency), enter, title=LOSS_TITLE)

        picks = (
            Pick(key=USUAL, code="1", text="selling less downgrade price", aside=shown),
            Pick(key=OTHER, code="2", text="another sum: type it"),
        )
        pick(self._screen, picks, chosen, title=LOSS_TITLE)


def _named(sold: "Row") -> str:
    """Return how a draw-down is called: "T1-STN-0001", or by its bay."""
    return str(sold.body.get("bale") or f"what was taken out of {sold.bay}")
