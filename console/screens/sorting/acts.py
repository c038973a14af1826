"""Keys of the sorting screen that act at once."""

from console.panes.piece.candidates_pane import CandidatesPane
from console.panes.said_pane import Said
from console.screens.keys.sorting import CHANGE_THE_LINE, SORTING_KEYS
from console.screens.sorting import words
from console.screens.sorting.completion import Completion
from console.screens.sorting.series import SortingSeries


class SortingActs(SortingSeries):
    """Keys in, acts at the bench out; the panes are the business of SortingScreen."""

    BINDINGS = SORTING_KEYS

    def __init__(self) -> None:
        super().__init__()
        self._completion = Completion()

    def keep_keys_in_order(self) -> None:
        """Let the keys that change the line act in their turn, remapped ones too."""
        self.line.at_once = {
            key: f"screen.{active.binding.action}"
            for key, active in self.active_bindings.items()
            if active.binding.id in CHANGE_THE_LINE
        }

    def action_same_again(self) -> None:
        """Tally the last piece with the weight on the line, or ask for one."""
        if self.bench is None or self.considered is None:
            self.say(Said(words.STILL_OPENING, is_refusal=True))
        elif not self.bench.last_label:
            self.say(Said(words.NO_LAST_PIECE, is_refusal=True))
        elif self.considered.parsed.is_blank:
            self.say(Said(words.TYPE_A_WEIGHT.format(label=self.bench.last_label)))
        elif self.bench.instead_of_placement(self.considered):
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
