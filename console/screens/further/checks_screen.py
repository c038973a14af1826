"""Check samples: how the analyser stands, the charts, and a new shot."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.screens.frames.acts_page import ActsPage, ActsScreen
from console.screens.frames.asking import ask_and_act, numbered, pick
from console.screens.keys.further import CHECKS_KEYS

if TYPE_CHECKING:
    pass

TITLE = "Check samples: {state}"
NO_SAMPLES = "none in yard.toml"
WHICH_SAMPLE = "Which check sample?"
SHOT_TITLE = "Check shot"
READING_QUESTION = (
    "What does the analyser show on {name}? As on the line: cr17.1 ni10.9 mo2.1; / between shots."
)


class ChecksScreen(ActsScreen):
    """State, elements and charts of every coupon."""

    BINDINGS = CHECKS_KEYS

    def show_page(self) -> None:
        """Write the state of every coupon with its charts."""
        checks = self._desk.checks
        state, _ = checks.state()
        self.query_one(ActsPage).write(TITLE.format(state=state or NO_SAMPLES), Content(checks.charts()))

    def action_shoot(self) -> None:
        """Enter a shot: on which coupon, what was read."""
        samples = self._desk.yard.check_samples
        if len(samples) == 1:
            self._ask_reading(samples[0].name)
        elif samples:
            picks = numbered((one.name, one.name, one.technique) for one in samples)
            pick(self, picks, self._ask_reading, title=WHICH_SAMPLE)

    def _ask_reading(self, name: str) -> None:
        question = READING_QUESTION.format(name=name)
        ask_and_act(self, question, lambda line: self._desk.checks.shoot(name, line), title=SHOT_TITLE)
