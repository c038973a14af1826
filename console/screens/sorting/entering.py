"""What Enter does, and every other key by which a line becomes a piece."""

from typing import TYPE_CHECKING

from console.desk.piece.next_question import Asks, Questions, tally_or_again
from console.entry.editing.onto_line import with_words
from console.panes.said_pane import Said
from console.screens.frames.acting import STILL_OPENING, OpeningDesk, attempt
from console.screens.frames.asking import ask, pick
from console.screens.frames.bay_picks import bay_picks
from console.screens.sorting import words
from console.screens.sorting.line_history import LineHistory
from console.screens.sorting.scale.running_tare import TareKey
from console.screens.sorting.scale.weighing import Weighing

if TYPE_CHECKING:
    from console.desk import Consideration, Desk
    from console.screens.sorting.sorting_screen import SortingScreen

_WAYS = {
    Asks.LINE: words.NOTHING_TYPED,
    Asks.STOP: words.READ_THE_STOP,
    Asks.REASON: words.GUARDED,
}
"""What this screen says of a question in its own words."""


class Entering:
    """From line to piece."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._line = screen.panes.entry.line
        self.history = LineHistory()
        self.weighing = Weighing(screen)
        self.tare = TareKey(screen)
        self._waiting: list[str] = []
        """Lines entered before the desk was open."""
        self._asked = Questions()
        self._cleared = ""
        """The line that was cleared last; empty once it was brought back or another was tallied."""

    def enter(self, line: str, bay_code: str | None = None) -> None:
        """Tally the line into the bay given, the one on the line or the suggested one."""
        desk = self._screen.desk
        if isinstance(desk, OpeningDesk):
            self._waiting.append(line)
            self._line.clear()
            self._screen.say(Said(STILL_OPENING, is_news=True))
            return
        full = self.in_full(self._asked.replied(line))
        if full != line:
            self._line.put(full)
        self._go_on(desk, desk.consider(full), full, bay_code)

    def _go_on(self, desk: "Desk", considered: "Consideration", line: str, bay_code: str | None) -> None:
        asked = self._asked.next(desk, considered, bay_code)
        parsed, row_id = considered.parsed, self._screen.correction.row_id
        if asked.for_what is Asks.LOAD and (whose := parsed.whose_load) is not None:
            self._done(attempt(lambda: desk.loads.begin(whose)), line)
        elif asked.for_what is Asks.SEEN:
            self._done(attempt(desk.left.see), line)
        elif asked.for_what is Asks.TAG:
            self._screen.questions.open_tagged(desk, parsed.tag)
        elif asked.for_what is Asks.PIECE:
            self._keep_bay(parsed.bay_code or "", "")
        elif asked.for_what is not Asks.NOTHING:
            if asked.for_what is Asks.STOP:
                self._screen.app.bell()
            way = _WAYS.get(asked.for_what, "{why}")
            said = way.format(why=asked.say, first=asked.say.partition(". ")[0], key=self._screen.key_names)
            self._done(Said(said, is_refusal=True), line)
        elif row_id:
            self._done(attempt(lambda: desk.correct(considered, bay_code=bay_code, row_id=row_id)), line)
        else:
            self._done(attempt(lambda: tally_or_again(desk, considered, bay_code)), line)

    def in_full(self, line: str) -> str:
        """Return a line with an answer being typed in its place, and with what was left out in a run of
        readings; a corrected one names its technique."""
        if not self._screen.is_open:
            return line
        is_new, piece = not self._screen.correction.is_on, self._screen.desk.piece
        line = piece.habit.in_full(self._asked.replying(line), repeats_technique=is_new)
        return piece.tare.taken_off(line) if is_new else line

    def _done(self, said: Said, line: str) -> None:
        if said.is_refusal:
            way_on = words.WAY_ON.format(key=self._screen.key_names)
            self._screen.panes.entry.refuse("" if self._screen.correction.is_on else way_on)
            self._screen.say(said)
            return
        self.history.add(line)
        self.weighing.forget()
        self._asked.forget()
        self._cleared = ""
        self._screen.correction.stop()
        self._screen.show_sums()
        if self._line.value == line:
            self._screen.panes.warnings.count_as_told()
            self._line.clear()
        self._screen.say(said)

    def same_again(self) -> None:
        """Tally the last piece with the weight on the line, or ask for one."""
        considered, label = self._screen.at_hand(), self._screen.desk.piece.last_label
        if not label:
            self._screen.say(Said(words.NO_LAST_PIECE, is_refusal=True))
        elif considered.parsed.is_blank:
            self._screen.say(Said(words.TYPE_A_WEIGHT.format(label=label), is_prompt=True))
        elif self._screen.desk.piece.is_same_again(considered):
            self.enter(self._line.value)
        else:
            self._screen.say(Said(words.MORE_THAN_A_WEIGHT, is_refusal=True))

    def clean_same_bay(self) -> None:
        """Tally the piece on the line as a clean one into the bay of the piece before."""
        considered, desk = self._screen.at_hand(), self._screen.desk
        last = desk.piece.last
        if last is None:
            self._screen.say(Said(words.NO_LAST_BAY, is_refusal=True))
        elif desk.yard.bay(last.bay).is_hold:
            self._screen.say(Said(words.LAST_WAITS.format(key=self._screen.key_names), is_refusal=True))
        elif considered.parsed.is_blank:
            self._screen.say(Said(words.TYPE_A_PIECE.format(code=last.bay), is_prompt=True))
        else:
            parsed = considered.parsed
            has_bay = parsed.is_hold or parsed.bay_code
            more = ("" if parsed.facts.bench.surfaces else words.CLEAN, "" if has_bay else f"@{last.bay}")
            self._line.put(with_words(parsed.line, tuple(filter(None, more))))
            self.enter(self._line.value)

    def other_bay(self) -> None:
        """Choose a bay; tally there, or put it on the line when the line is not complete yet."""

        def chosen(code: str) -> None:
            if self._screen.at_hand().parsed.can_be_tallied:
                self.enter(self._line.value, code)
            else:
                self._keep_bay(code, self._line.value)

        picks = bay_picks(self._screen.desk.yard, self._screen.at_hand().placement)
        pick(self._screen, picks, chosen, title=words.BAY_TITLE, opened_by="other-bay")

    def _keep_bay(self, code: str, line: str) -> None:
        """Put a bay behind what stands on the line; what is missing may be typed on."""
        self._line.put(f"{line.rstrip()} {code} ".lstrip())
        self._screen.say(Said(words.BAY_PUT_ON_LINE.format(code=code)))

    def despite_skin(self) -> None:
        """Tally the piece into its bay on a skin reading, with a reason."""
        desk, considered, line = self._screen.desk, self._screen.at_hand(), self._line.value
        bay = desk.piece.guarded_bay(considered)
        if bay is None:
            self._screen.say(Said(words.NOT_GUARDED, is_refusal=True))
            return
        code = bay.code

        def told(reason: str) -> None:
            self._done(attempt(lambda: desk.tally(considered, bay_code=code, despite_skin=reason)), line)

        ask(self._screen, words.DESPITE_QUESTION.format(code=code), told, title=words.DESPITE_TITLE)

    def tell_of_lines_left(self, count: int) -> None:
        """Tell that only the first line of a paste was taken."""
        self._screen.say(Said(words.ONLY_FIRST_LINE.format(count=count), is_refusal=True))

    def clear(self) -> None:
        """Clear the line; on an empty one, bring back what was cleared."""
        cleared, self._cleared = self._cleared, self._line.value
        if self._line.value:
            self._line.clear()
            self._screen.say(Said(words.CLEARED.format(key=self._screen.key_names)))
        elif cleared:
            self._line.put(cleared)
            self._screen.say(Said(words.BROUGHT_BACK))

    def step(self, by: int) -> None:
        """Step through the lines tallied on an empty line, else through the candidates."""
        line = self._line.value
        if not line or self.history.is_showing(line):
            self._line.put(self.history.step(by))
        else:
            self._screen.panes.candidates.step(by)

    # -- around the opening of the desk ---------------------------------------------------------
    def enter_waiting(self) -> None:
        """Tally what was entered before the desk was open; a line that cannot be is given back."""
        self.tare.show()
        suffix = self._screen.desk.yard.console.scanner_suffix
        self._line.passes_over_line_feed = suffix == "enter and line feed"
        waiting, self._waiting = self._waiting, []
        for line in waiting:
            self.enter(line)
            if self.history.newest != line:
                self.history.add(line)
                if not self._line.value:
                    self._line.put(line)

    def put_back(self, line: str) -> None:
        """Give back the half-typed line of last time; beside a line already begun the history keeps it."""
        if self._line.value:
            self.history.add(line)
        else:
            self._line.put(line)
            self._screen.say(Said(words.PUT_BACK, above=self._screen.panes.said.said))
