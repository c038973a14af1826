"""Readings from files, sorting line by line: what waits, put onto a line, or set aside."""

from collections.abc import Callable, Iterator
from queue import Empty, SimpleQueue
from threading import Event, Thread
from typing import TYPE_CHECKING

from console.commands.shift.by_line import words
from console.commands.shift.by_line.asking import Answer, Question
from console.desk.refusals import DeskRefusal
from console.ground.cleaning import told
from console.ground.figures import many

if TYPE_CHECKING:
    from console.desk import Desk
    from console.desk.readings.queue import Together
    from console.desk.readings.watching import FolderWatch, Look

LOOK_AGAIN_S = 1.0
"""Time from the end of one look into the folder to the next [s], as on the sorting screen."""


class ReadingsByLine:
    """The queue of the desk; a thread looks into the folder while nobody types."""

    def __init__(self, desk: "Desk", piece: Callable[[str], Answer]) -> None:
        """Remember desk and the way to tally a line; nothing is looked for until `watch`."""
        self._desk = desk
        self._piece = piece
        self._looks: SimpleQueue[Look | Exception] = SimpleQueue()
        self._is_over = Event()
        self._told = 0
        """How many waited when it was told last."""
        self._trouble = ""
        self.acts: dict[str, Callable[[str], Answer]] = {
            "readings": lambda _: self._waiting(),
            "read": self._read,
            "aside": self._aside,
        }
        """Word -> what it does with the rest of its line."""

    # -- looking --------------------------------------------------------------------------------
    def watch(self) -> None:
        """Begin to look; where the yard names no folder nothing runs."""
        if (watch := self._desk.readings.watch_folder()) is not None:
            Thread(target=self._look, args=(watch,), name="readings", daemon=True).start()

    def stop(self) -> None:
        """Look no more."""
        self._is_over.set()

    def _look(self, watch: "FolderWatch") -> None:
        while not self._is_over.is_set():
            try:
                self._looks.put(watch.look())
            except Exception as fault:  # noqa: BLE001 - raised where the next line is answered
                self._looks.put(fault)
                return
            self._is_over.wait(LOOK_AGAIN_S)

    def news(self) -> str:
        """Take in what was found since, and say it; empty where nothing is new.

        Raises:
            Exception: A fault of the program while looking.
        """
        said = [*self._found()]
        count = len(self._desk.readings.waiting())
        if count > self._told:
            said.append(words.READINGS_WAIT.format(count=many(count, "reading waits", "readings wait")))
        self._told = count
        return " ".join(said)

    def _found(self) -> Iterator[str]:
        while True:
            try:
                look = self._looks.get_nowait()
            except Empty:
                return
            if isinstance(look, Exception):
                raise look
            self._desk.readings.add(look.pieces)
            yield from (f"{told(one.file)}: {told(one.text)}." for one in look.findings)
            if look.trouble != self._trouble:
                self._trouble = look.trouble
                yield told(look.trouble) if look.trouble else "Readings come again."

    # -- what is asked --------------------------------------------------------------------------
    def _waiting(self) -> str:
        waiting = self._desk.readings.waiting()
        return f"{_numbered(self._desk, waiting)}." if waiting else words.NO_READING

    def _read(self, line: str) -> Answer:
        """Tally a line with a reading that waits; ask which where there are several.

        Raises:
            DeskRefusal: Nothing waits, or the line says nothing.
        """
        if not line:
            raise DeskRefusal(words.READ_HOW)

        def put(readings: "Together") -> Answer:
            considered = self._desk.consider(line)
            return self._piece(self._desk.readings.put_onto(considered, readings).strip())

        return self._which(put)

    def _aside(self, reason: str) -> Answer:
        """Take a reading out of the queue, with a reason; ask which where there are several.

        Raises:
            DeskRefusal: Nothing waits, or no reason was given.
        """
        if not reason:
            raise DeskRefusal(words.ASIDE_HOW)
        return self._which(lambda readings: self._desk.set_aside(readings, reason).sentence)

    def _which(self, then: Callable[["Together"], Answer]) -> Answer:
        waiting = self._desk.readings.waiting()
        if not waiting:
            raise DeskRefusal(words.NO_READING)
        if len(waiting) == 1:
            return then(waiting[0])

        def chosen(text: str) -> Answer:
            if not text.isdecimal() or not 1 <= int(text) <= len(waiting):
                raise DeskRefusal(f"a number from 1 to {len(waiting)}")
            return then(waiting[int(text) - 1])

        return Question(say=words.WHICH_READING.format(readings=_numbered(self._desk, waiting)), then=chosen)


def _numbered(desk: "Desk", waiting: "list[Together]") -> str:
    return "; ".join(
        f"{number} {told(one[0].piece)} of {told(one[0].file)}, {told(desk.readings.text(one))}"
        for number, one in enumerate(waiting, 1)
    )
