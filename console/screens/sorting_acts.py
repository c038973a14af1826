"""What the keys of the sorting screen do."""

from typing import TYPE_CHECKING

from console.panes.candidates_pane import CandidatesPane
from console.panes.entry_line import EntryLine
from console.panes.said_pane import Said
from console.screens import words
from console.screens.ask_screen import AskScreen
from console.screens.completion import Completion
from console.screens.console_screen import ConsoleScreen
from console.screens.line_history import LineHistory
from console.screens.pick_screen import Pick, PickScreen
from console.screens.picks import action_picks, bay_picks
from console.screens.sorting_keys import SORTING_KEYS

if TYPE_CHECKING:
    from console.desk import Consideration
    from console.screens.bench import Bench

BARE_WEIGHT_KINDS = {"weight"}


class SortingActs(ConsoleScreen[None]):
    """Keys in, acts at the bench out; the panes are the business of SortingScreen."""

    BINDINGS = SORTING_KEYS

    def __init__(self) -> None:
        super().__init__()
        self.bench: Bench | None = None
        """None until the desk is open."""
        self.considered: Consideration | None = None
        self.history = LineHistory()
        self._completion = Completion()
        self._waiting: list[str] = []
        """Lines entered before the desk was open."""
        self._stop_read_for = ""
        """The line for which the sorter has read the STOP."""

    # -- given by SortingScreen -------------------------------------------------------------------
    @property
    def line(self) -> EntryLine:
        """The line that everything is typed into."""
        raise NotImplementedError

    def say(self, said: Said) -> None:
        """Show one sentence until the next."""
        raise NotImplementedError

    def show_sums(self) -> None:
        """Show the tally as it stands in the ledger."""
        raise NotImplementedError

    # -- Enter ------------------------------------------------------------------------------------
    def enter_line(self, line: str, bay_code: str | None = None) -> None:
        """Tally the line into the bay given, the one on the line or the suggested one."""
        if self.bench is None:
            self._waiting.append(line)
            self.line.clear()
            self.say(Said(words.STILL_OPENING))
            return
        considered = self.bench.desk.consider(line)
        if considered.parsed.is_blank:
            self.say(Said(words.NOTHING_TYPED, is_refusal=True))
        elif considered.parsed.mass_g is None and not considered.parsed.problems:
            self.say(Said(words.NO_WEIGHT, is_refusal=True))
        elif self._stops(considered) and self._stop_read_for != line:
            self._stop_read_for = line
            self.say(Said(words.READ_THE_STOP, is_refusal=True))
            self.app.bell()
        elif self.instead_of_placement(considered) and bay_code is None:
            self._done(self.bench.same_again(line), line)
        else:
            self._done(self.bench.tally(considered, bay_code), line)

    def tally_waiting(self) -> None:
        """Tally what was entered before the desk was open; a line that cannot be is given back."""
        waiting, self._waiting = self._waiting, []
        for line in waiting:
            self.enter_line(line)
            if self.history.newest != line:
                self.history.add(line)
                if not self.line.value:
                    self.line.put(line)

    def instead_of_placement(self, considered: "Consideration") -> str:
        """Return what Enter does with a bare weight: the last piece again; empty when the line says more."""
        kinds = {str(token.kind) for token in considered.parsed.tokens}
        if kinds != BARE_WEIGHT_KINDS or self.bench is None or not considered.parsed.can_be_tallied:
            return ""
        return words.SAME_AGAIN.format(label=self.bench.last_label) if self.bench.last_label else ""

    def bay_at_hand(self, considered: "Consideration") -> str:
        """Return the code of the bay that Enter would tally into; empty when there is none."""
        if self.bench is None or considered.parsed.is_blank:
            return ""
        if considered.parsed.is_hold:
            return self.bench.desk.yard.hold_bay.code
        if considered.parsed.bay_code:
            return considered.parsed.bay_code
        if self.instead_of_placement(considered):
            return self.bench.last_bay
        return considered.placement.bay.code if considered.placement else ""

    def _stops(self, considered: "Consideration") -> bool:
        return any(str(caution.level) == "stop" for caution in considered.cautions)

    def _done(self, said: Said, line: str) -> None:
        if not said.is_refusal:
            self.history.add(line)
            self._stop_read_for = ""
            self.show_sums()
            if self.line.value == line:
                self.line.clear()
        self.say(said)

    # -- other keys -------------------------------------------------------------------------------
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
        self.app.push_screen(PickScreen(picks, title=words.BAY_TITLE, hint=words.PICK_HINT, close_key="f2"), chosen)

    def action_same_again(self) -> None:
        """Tally the last piece with the weight on the line, or ask for one."""
        if self.bench is None or self.considered is None:
            self.say(Said(words.STILL_OPENING, is_refusal=True))
        elif not self.bench.last_label:
            self.say(Said(words.NO_LAST_PIECE, is_refusal=True))
        elif self.considered.parsed.is_blank:
            self.say(Said(words.TYPE_A_WEIGHT.format(label=self.bench.last_label)))
        elif self.instead_of_placement(self.considered):
            self.enter_line(self.line.value)
        else:
            self.say(Said(words.MORE_THAN_A_WEIGHT, is_refusal=True))

    def action_undo(self) -> None:
        """Take back the last act."""
        if self.bench is not None:
            self.say(self.bench.undo())
            self.show_sums()

    def action_redo(self) -> None:
        """Take back the last undo."""
        if self.bench is not None:
            self.say(self.bench.redo())
            self.show_sums()

    def action_note(self) -> None:
        """Ask for a note for the handover."""

        def noted(text: str | None) -> None:
            if text and self.bench is not None:
                self.say(self.bench.note(text))

        self.app.push_screen(AskScreen(words.NOTE_QUESTION, title=words.NOTE_TITLE, close_key="f7"), noted)

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
        self.app.push_screen(PickScreen(picks, title=words.TAKE_OVER_TITLE, hint=words.PICK_HINT), taken)

    def action_actions(self) -> None:
        """Show everything that can be done; do what is picked."""

        async def picked(action: str | None) -> None:
            if action is not None:
                await self.run_action(action)

        self.app.push_screen(
            PickScreen(action_picks(self.app, self), title=words.ACTIONS_TITLE, hint=words.PICK_HINT, close_key="f9"),
            picked,
        )

    def action_step(self, by: int) -> None:
        """Step through the lines tallied on an empty line, else through the candidates."""
        line = self.line.value
        if not line or self.history.is_showing(line):
            self.line.put(self.history.step(by))
        else:
            self.action_candidate(by)

    def action_candidate(self, by: int) -> None:
        """Select the next or the previous candidate."""
        self.query_one(CandidatesPane).step(by)

    def complete(self, line: str, cursor: int) -> None:
        """Finish the word before the cursor; again for the next way to finish it."""
        if self.bench is None:
            return
        finished = self._completion.finish(line, cursor, self.bench.desk)
        if finished is not None:
            self.line.value, self.line.cursor_position = finished
