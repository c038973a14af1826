"""Keys of the sorting screen that ask something before they act."""

from console.panes.said_pane import Said
from console.screens.frames.ask_screen import AskScreen
from console.screens.frames.pick_screen import Pick, PickScreen
from console.screens.frames.picks import action_picks, bay_picks
from console.screens.keys.sorting import FURTHER_ACTIONS, KEYLESS_ACTIONS
from console.screens.sorting import words
from console.screens.sorting.enter import SortingEnter


class SortingQuestions(SortingEnter):
    """Which bay, which note, who, what."""

    def action_other_bay(self) -> None:
        """Choose a bay; tally there, or put it on the line when the line is not complete yet."""
        if self.bench is None or self.considered is None:
            self.say(Said(words.STILL_OPENING, is_refusal=True))
            return

        def chosen(code: str | None) -> None:
            if code is None or self.considered is None:
                return
            if self.considered.parsed.can_be_tallied:
                self.enter_line(self.line.value, code)
            else:
                self.line.put(f"{self.line.value.rstrip()} {code} ".lstrip())
                self.say(Said(words.BAY_PUT_ON_LINE.format(code=code)))

        picks = bay_picks(self.bench.desk.yard, self.considered.placement)
        self.app.push_screen(
            PickScreen(picks, title=words.BAY_TITLE, hint=words.PICK_HINT, opened_by="other-bay"), chosen
        )

    def action_note(self) -> None:
        """Ask for a note for the handover."""

        def noted(text: str | None) -> None:
            if text and self.bench is not None:
                self.say(self.bench.note(text))

        self.app.push_screen(AskScreen(words.NOTE_QUESTION, title=words.NOTE_TITLE, opened_by="note"), noted)

    def action_take_over(self) -> None:
        """Ask who works this run from here on."""
        if self.bench is None:
            return

        def taken(person: str | None) -> None:
            if person and self.bench is not None:
                self.say(self.bench.take_over(person))
                self.show_sums()

        people = enumerate(self.bench.desk.yard.people, start=1)
        picks = [Pick(key=person, code=str(number), text=person) for number, person in people]
        self.app.push_screen(
            PickScreen(picks, title=words.TAKE_OVER_TITLE, hint=words.PICK_HINT, opened_by="take-over"), taken
        )

    def action_actions(self) -> None:
        """Show everything that can be done; do what is picked."""

        async def picked(action: str | None) -> None:
            if action is not None:
                await self.run_action(action)

        self.app.push_screen(
            PickScreen(
                action_picks(self.app, self, [*KEYLESS_ACTIONS, *FURTHER_ACTIONS]),
                title=words.ACTIONS_TITLE,
                hint=words.PICK_HINT,
                opened_by="actions",
            ),
            picked,
        )
