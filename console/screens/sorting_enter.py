"""What Enter does on the sorting screen: a line becomes a piece, or says why not yet."""

from typing import TYPE_CHECKING

from console.entry.asking import answered, question
from console.panes.entry_line import EntryLine
from console.panes.said_pane import Said
from console.screens import words
from console.screens.console_screen import ConsoleScreen
from console.screens.line_history import LineHistory

if TYPE_CHECKING:
    from console.desk import Consideration
    from console.entry.parsed import ParsedLine
    from console.screens.bench import Bench


class SortingEnter(ConsoleScreen[None]):
    """From line to piece; what the screen shows is the business of SortingScreen."""

    def __init__(self) -> None:
        super().__init__()
        self.bench: Bench | None = None
        """None until the desk is open."""
        self.considered: Consideration | None = None
        self.history = LineHistory()
        self._waiting: list[str] = []
        """Lines entered before the desk was open."""
        self.is_correcting = False
        """The line at hand takes the place of the last piece."""
        self._asked: ParsedLine | None = None
        """The line about a word of which was asked; Enter again keeps the word as a note."""
        self._stop_read_for = ""
        """The line for which the sorter has read the STOP."""

    # -- given by SortingScreen -----------------------------------------------------------------
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

    def stop_correcting(self) -> None:
        """Go back to new pieces."""
        raise NotImplementedError

    # -- Enter ----------------------------------------------------------------------------------
    def enter_line(self, line: str, bay_code: str | None = None) -> None:
        """Tally the line into the bay given, the one on the line or the suggested one."""
        if self.bench is None:
            self._waiting.append(line)
            self.line.clear()
            self.say(Said(words.STILL_OPENING))
            return
        asked, self._asked = self._asked, None
        if asked is not None and (reply := answered(asked, line)) is not None:
            line = reply
            self.line.put(line)
        considered = self.bench.desk.consider(line)
        if considered.parsed.is_blank:
            self.say(Said(words.NOTHING_TYPED.format(key=self.key_names), is_refusal=True))
        elif considered.parsed.asked is not None and considered.parsed.problems:
            self._asked = considered.parsed
            self.say(Said(question(considered.parsed), is_refusal=True))
        elif considered.parsed.mass_g is None and not considered.parsed.problems:
            self.say(Said(words.NO_WEIGHT, is_refusal=True))
        elif considered.parsed.can_be_tallied and self._stops(considered) and self._stop_read_for != line:
            self._stop_read_for = line
            self.say(Said(words.READ_THE_STOP, is_refusal=True))
            self.app.bell()
        elif self.is_correcting:
            self._done(self.bench.correct(considered, bay_code), line)
        elif self.bench.instead_of_placement(considered) and bay_code is None:
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

    def put_back(self, line: str) -> None:
        """Give back the half-typed line of last time; beside a line already begun the history keeps it."""
        if self.line.value:
            self.history.add(line)
        else:
            self.line.put(line)
            self.say(Said(words.PUT_BACK))

    def _stops(self, considered: "Consideration") -> bool:
        return any(str(caution.level) == "stop" for caution in considered.cautions)

    def _done(self, said: Said, line: str) -> None:
        if not said.is_refusal:
            self.history.add(line)
            self._stop_read_for = ""
            self.stop_correcting()
            self.show_sums()
            if self.line.value == line:
                self.line.clear()
        self.say(said)
