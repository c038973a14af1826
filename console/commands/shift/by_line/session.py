"""What a typed line does: a piece by the grammar and the questions of the console, or one of a few words."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from console.commands.shift.by_line import words
from console.commands.shift.by_line.asking import Answer, Question, close, resolve, which_bay, which_word
from console.commands.shift.by_line.careful import Careful
from console.commands.shift.by_line.looking import in_full, looked_at
from console.commands.shift.by_line.readings import ReadingsByLine
from console.commands.shift.by_line.telling import Telling
from console.desk import Desk
from console.desk.piece.next_question import Asked, Asks, Questions, tally_or_again
from console.desk.ticket_line import read_ticket_line
from console.entry.editing.answering import ALONE
from console.ground.cleaning import told
from console.ground.errors import BaywrightError
from console.ground.figures import many
from console.ground.scanned import bare_tag
from console.ledger.rows.errors import StoreError

if TYPE_CHECKING:
    from console.desk import Consideration


class LineByLine:
    """Answers line after line; a question that goes on takes the next line."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.telling = Telling(desk)
        self.readings = ReadingsByLine(desk, self._piece)
        self._questions = Questions()
        self._careful = Careful()
        self.asked: Question | None = None
        """What the next line answers; None where it is a line of its own."""
        self._bay = ""
        """A bay that was typed or scanned before its piece."""
        self._guarded: tuple[Consideration, str] | None = None
        """The piece that its skin keeps out of a bay, and that bay."""
        self.refused = 0
        """Lines that were not done."""
        self.is_over = False
        """Whether the run was closed."""
        self._acts: dict[str, Callable[[str], Answer]] = {
            "help": lambda _: words.HELP,
            "seen": lambda _: desk.left.see().sentence,
            "look": lambda line: looked_at(desk, line),
            "undo": lambda _: desk.undo().sentence,
            "redo": lambda _: desk.redo().sentence,
            "note": lambda text: desk.note(text).sentence if text else "A note needs words: note TEXT.",
            "bay": self._choose_bay,
            "correct": self._correct,
            "despite": self._despite,
            "resolve": lambda tag: self._open(tag) if tag else words.NO_TAG,
            "ticket": lambda text: desk.closing.add_ticket(read_ticket_line(text)).sentence,
            "close": lambda _: self._closing(close(desk)),
            "cautions": lambda _: self._careful.in_full(),
            "person": self._take_over,
            "leave": lambda _: self._leave(),
            **self.telling.acts,
            **self.readings.acts,
        }

    def answer(self, line: str) -> str:
        """Do what a line says; return what came of it, or why nothing did.

        Raises:
            StoreError: The disk refused; nothing further can be kept.
        """
        asked, self.asked = self.asked, None
        word, _, rest = line.partition(" ")
        if asked is not None and word.casefold() == "leave":
            return words.UNCHANGED
        if asked is not None and not asked.takes(line):
            self.refused, asked = self.refused + 1, None
        act = self._acts.get(word.casefold())
        try:
            if asked is not None:
                answer = asked.then(line)
            else:
                answer = act(rest.strip()) if act is not None else self._piece(line)
        except StoreError:
            raise
        except BaywrightError as refusal:
            # A question stands until it is answered or left.
            self.asked = asked
            again = " Once more, or leave." if asked is not None else ""
            return self._refused(f"Not done: {refusal}{again}")
        if isinstance(answer, str):
            return answer
        self.asked = answer
        return answer.say

    def _leave(self) -> str:
        """Forget a bay that was typed before its piece."""
        left, self._bay = self._bay, ""
        return words.UNCHANGED if left else words.NOTHING_TO_LEAVE

    def _refused(self, why: str) -> str:
        self.refused += 1
        return why

    # -- a piece --------------------------------------------------------------------------------
    def _piece(self, line: str, bay_code: str | None = None, row_id: str = "") -> Answer:
        """Tally a line, put it in the place of a piece, or ask what keeps it from that."""
        desk = self._desk
        typed = self._questions.replied(line)
        line = in_full(desk, typed, is_new=not row_id)
        considered = desk.consider(line)
        if self._bay and considered.parsed.mass_g is not None and not considered.parsed.bay_code:
            bay_code, self._bay = bay_code or self._bay, ""
        asked = self._questions.next(desk, considered, bay_code)
        if asked.for_what is Asks.NOTHING:
            if row_id:
                done = desk.correct(considered, bay_code=bay_code, row_id=row_id)
            else:
                done = tally_or_again(desk, considered, bay_code)
            self._questions.forget()
            # Figures without symbols may have been meant for other elements: nobody saw them written out.
            read_as = words.READ_AS.format(line=told(line)) if ALONE.search(typed) else ""
            return done.sentence + read_as + self._careful.behind(considered.cautions)
        return self._asks(asked, considered, bay_code, row_id)

    def _asks(self, asked: Asked, considered: "Consideration", bay_code: str | None, row_id: str) -> Answer:
        """Do what a line asks for that is no piece yet, or ask what it wants to know."""
        desk, parsed = self._desk, considered.parsed
        if asked.for_what is Asks.LOAD and parsed.whose_load is not None:
            return desk.loads.begin(parsed.whose_load).sentence
        if asked.for_what is Asks.TAG:
            return self._open(parsed.tag)
        if asked.for_what is Asks.PIECE:
            self._bay = parsed.bay_code or ""
            return words.KEPT_BAY.format(code=self._bay)
        if asked.for_what is Asks.LINE:
            return words.HELP
        if asked.for_what is Asks.WEIGHT:
            return self._refused(f"Not done: {asked.say}")
        if asked.for_what is Asks.REASON:
            bay = desk.piece.bay(considered)
            self._guarded = considered, bay_code or (bay.code if bay else "")
            return self._refused(words.DESPITE.format(why=asked.say))

        def again(line: str) -> Answer:
            return self._piece(line, bay_code, row_id)

        if asked.for_what is Asks.WORD:
            is_new = not (bay_code or row_id)
            return which_word(parsed, asked.say, again, is_new=is_new)
        say = asked.say
        if asked.stop is not None:
            say = words.STOP.format(title=asked.stop.title, text=asked.stop.say)
        if bay_code or row_id:
            return Question(say=say, then=again)
        return say

    def _take_over(self, name: str) -> str:
        """Let somebody else work the run, who is told every caution in full again."""
        done = self._desk.take_over(name)
        self._careful.begin_shift()
        return done.sentence

    def _choose_bay(self, line: str) -> Answer:
        """Ask into which bay a line goes."""
        considered = self._desk.consider(in_full(self._desk, line))
        return which_bay(self._desk, considered, lambda code: self._piece(line, code))

    def _correct(self, line: str) -> Answer:
        """Put a line in the place of the last piece; without one say its line, and take the next."""
        last = self._desk.review.last_piece()
        if last is None:
            return self._refused(words.NOTHING_YET)
        row_id = last.row_id
        if line:
            return self._piece(line, row_id=row_id)
        say = words.CORRECTING.format(which=self._desk.piece.last_label, line=told(last.line))
        return Question(say=say, then=lambda text: self._piece(text, row_id=row_id))

    def _despite(self, reason: str) -> str:
        """Tally the piece that its skin keeps out of a bay, with a reason."""
        guarded = self._guarded
        if guarded is None:
            return self._refused(words.NOTHING_GUARDED)
        if not reason:
            return self._refused(words.DESPITE_HOW)
        done = self._desk.tally(guarded[0], bay_code=guarded[1], despite_skin=reason)
        self._guarded = None
        self._questions.forget()
        return done.sentence

    # -- holds, tags, the run -------------------------------------------------------------------
    def _open(self, tag: str) -> Answer:
        """Open what has a tag: a consignment, a bale, a piece that waits."""
        load = next(
            (one for one in self._desk.consignments.all() if bare_tag(one.tag) == bare_tag(tag)), None
        )
        if load is not None:
            parts = many(len(load.parts), "part", "parts")
            return f"Consignment {load.tag} for {load.buyer} {load.order}, {load.state.value}: {parts}."
        piece = self._desk.tags.waiting(tag)
        return self._desk.tags.bale_sheet(tag) if piece is None else resolve(self._desk, piece)

    def _closing(self, answer: Answer) -> Answer:
        """Follow the questions of a close-out to its end."""
        if isinstance(answer, Question):
            then = answer.then
            return Question(say=answer.say, then=lambda text: self._closing(then(text)))
        self.is_over = True
        return f"{answer}. {words.CLOSED}"
