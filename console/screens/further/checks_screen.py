"""Check samples: how the analyser stands, the charts, and a new shot."""

from textual.content import Content

from console.screens.frames.paged_screen import PagedScreen
from console.screens.frames.pick_screen import Pick, PickScreen
from console.screens.keys.further import CHECKS_KEYS
from console.screens.sorting.words import PICK_HINT

TITLE = "Check samples: {state}"
NO_SAMPLES = "none in yard.toml"
WHICH_SAMPLE = "Which check sample?"
SHOT_TITLE = "Check shot"
SHOT_DONE = "{name}: {state}. {what_to_do}"
READING_QUESTION = (
    "What does the analyser show on {name}? As on the line: cr17.1 ni10.9 mo2.1; / between shots."
)


class ChecksScreen(PagedScreen):
    """State, elements and charts of every coupon."""

    BINDINGS = CHECKS_KEYS

    def page(self) -> tuple[str, Content]:
        """Return the state of every coupon with its charts."""
        from console.desk.checking import controls_of
        from console.reports.check_text import controls_text

        desk = self.bench.desk
        state, _ = desk.analyser_state()
        controls = controls_of(desk.ledger, desk.yard, self.bench.now())
        return TITLE.format(state=state or NO_SAMPLES), Content(controls_text(controls))

    def action_shoot(self) -> None:
        """Enter a shot: on which coupon, what was read."""
        samples = self.bench.desk.yard.check_samples
        if len(samples) == 1:
            self._ask_reading(samples[0].name)
        elif samples:
            picks = [
                Pick(key=one.name, code=str(number), text=one.name, aside=one.technique)
                for number, one in enumerate(samples, start=1)
            ]

            def chosen(name: str | None) -> None:
                if name is not None:
                    self._ask_reading(name)

            self.app.push_screen(PickScreen(picks, title=WHICH_SAMPLE, hint=PICK_HINT), chosen)

    def _ask_reading(self, name: str) -> None:
        def told(line: str) -> None:
            def act() -> str:
                control = self.bench.desk.shoot_check(name, line)[-1].control
                return SHOT_DONE.format(name=name, state=control.state.value, what_to_do=control.what_to_do)

            self.do(act)

        self.ask(READING_QUESTION.format(name=name), SHOT_TITLE, told)
