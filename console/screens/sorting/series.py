"""Keys of the sorting screen for a series of shots, and the way to the further screens."""

from console.panes.said_pane import Said
from console.screens.frames.ask_screen import AskScreen
from console.screens.frames.bench import attempt
from console.screens.frames.pick_screen import Pick, PickScreen
from console.screens.keys.sorting import FURTHER_ACTIONS
from console.screens.sorting import words
from console.screens.sorting.advice import SortingAdvice

SHOT, GROUND_SHOT = "/", "//"
MORE_TITLE = "Further screens and acts"
DESPITE_TITLE = "Despite the skin"
DESPITE_QUESTION = "Why may it go into {code} though its skin was read? The ledger keeps these words."
NOT_GUARDED = "Nothing keeps this piece out of its bay; Enter tallies it."


class SortingSeries(SortingAdvice):
    """Shots in order, a skin that somebody knows better about, and the further screens."""

    def action_next_shot(self) -> None:
        """Begin a further shot on the line; on one just begun: make it one on a ground spot, and back."""
        is_begun = self.line.value.split()[-1:] == [SHOT]
        self._put_mark(GROUND_SHOT if is_begun else SHOT)

    def action_ground_shot(self) -> None:
        """Begin a shot on a ground spot on the line."""
        self._put_mark(GROUND_SHOT)

    def _put_mark(self, mark: str) -> None:
        """Put the mark at the end of the line; where a mark stands it is changed, none is added."""
        line = self.line.value.rstrip()
        while line.endswith("/"):
            line = line[:-1].rstrip()
        self.line.put(f"{line} {mark} ".lstrip())

    def action_more(self) -> None:
        """Show the further screens; open what is picked."""

        async def picked(action: str | None) -> None:
            if action is not None:
                await self.run_action(action)

        further = enumerate(FURTHER_ACTIONS, start=1)
        picks = [Pick(key=action, code=str(number), text=text) for number, (action, text) in further]
        self.app.push_screen(
            PickScreen(picks, title=MORE_TITLE, hint=words.PICK_HINT, opened_by="more"), picked
        )

    def action_despite_skin(self) -> None:
        """Tally the piece into its bay on a skin reading, with a reason."""
        bench, considered, line = self.bench, self.considered, self.line.value
        if bench is None or considered is None:
            self.say(Said(words.STILL_OPENING, is_refusal=True))
            return
        from console.desk.piece.skin_guard import why_guarded

        code = bench.bay_at_hand(considered)
        yard = bench.desk.yard
        if (
            not code
            or not considered.parsed.can_be_tallied
            or not why_guarded(considered, yard.bay(code), yard)
        ):
            self.say(Said(NOT_GUARDED, is_refusal=True))
            return

        def told(reason: str | None) -> None:
            if reason:
                self._done(
                    attempt(
                        lambda: bench.desk.tally(considered, bay_code=code, despite_skin=reason).sentence
                    ),
                    line,
                )
                bench.recall_last()
                self.show_sums()

        self.app.push_screen(AskScreen(DESPITE_QUESTION.format(code=code), title=DESPITE_TITLE), told)
