"""Blind re-checks: what waits for a second look, and how often the first call was right."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.ground.mass import format_mass
from console.panes.said_pane import Said
from console.screens.frames.acts_page import ActsPage, ActsScreen
from console.screens.frames.asking import ask_and_act, numbered, pick
from console.screens.keys.further import RECHECKS_KEYS

if TYPE_CHECKING:
    from console.ledger.views.rechecks import DueRecheck

TITLE = "Re-checks: {count} to look at again"
WAITS = "Set aside, to be shot or filed: {marks}. {key[recheck-settle]} enters what is found.\n\n"
NONE_WAITS = "No piece waits for a second look."
WHICH = "Which mark stands on the piece?"
FINDINGS_TITLE = "Second look"
QUESTION = "What do analyser or file say of {mark}? As on the line: cr17.1 ni10.9 / scy m0; no weight."


class RechecksScreen(ActsScreen):
    """Marks, not names: the second look does not know the first."""

    BINDINGS = RECHECKS_KEYS

    def show_page(self) -> None:
        """Write what waits, and the matrix."""
        due = self._desk.rechecks.due()
        marks = ", ".join(one.mark for one in due)
        waits = WAITS.format(marks=marks, key=self.key_names) if due else ""
        page = self._desk.rechecks.page(self.size.width - 2)
        self.query_one(ActsPage).write(TITLE.format(count=len(due)), Content(waits + page))

    def action_settle(self) -> None:
        """Enter a second look: on which piece, what was found."""
        due, unit = self._desk.rechecks.due(), self._desk.yard.weight_unit
        if not due:
            self.say(Said(NONE_WAITS, is_refusal=True))
            return
        picks = numbered((str(i), one.mark, format_mass(one.piece.mass_g, unit)) for i, one in enumerate(due))
        pick(self, picks, lambda key: self._ask_findings(due[int(key)]), title=WHICH)

    def _ask_findings(self, due: "DueRecheck") -> None:
        question = QUESTION.format(mark=due.mark)
        ask_and_act(self, question, lambda line: self._desk.rechecks.settle(due, line), title=FINDINGS_TITLE)
