"""Readings from files on the sorting screen: looked for in a thread, counted, put on the line."""

from collections.abc import Callable
from contextlib import suppress
from threading import Thread
from typing import TYPE_CHECKING

from console.drawing.drawn import cell
from console.ground.cleaning import clean
from console.ground.errors import BaywrightError
from console.ground.figures import many
from console.panes.said_pane import Said
from console.screens.frames.acting import attempt
from console.screens.frames.asking import ask, numbered, pick
from console.screens.keys.sorting import NEXT_READING
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.desk.readings.queue import Together
    from console.desk.readings.watching import FolderWatch, Look
    from console.screens.sorting.sorting_screen import SortingScreen

LOOK_AGAIN_S = 1.0
"""Time from the end of one look to the next [s]. A file counts as written when it stayed as it is for a
second, so a shot is offered two to three seconds after it was written; looking more often gains nothing."""
LONGEST_PIECE = 24
"""Characters of a piece's name that the border shows."""


class OfferedReadings:
    """Shots that an analyser's software dropped into a folder, for the piece at hand."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._line = screen.panes.entry.line
        self._trouble = ""

    # -- looking --------------------------------------------------------------------------------
    def watch(self) -> None:
        """Begin to look into the folder; where the yard names none, nothing runs."""
        self._trouble = ""
        if (watch := self._screen.desk.readings.watch_folder()) is not None:
            self._look_in_thread(watch)

    def _look_in_thread(self, watch: "FolderWatch") -> None:
        """Look once; a slow disk holds up no key.

        It is a thread of our own, since the end of the program waits for Textual's: a network drive that
        has gone away may keep one for ever.
        """
        Thread(target=self._look, args=(watch,), name="readings", daemon=True).start()

    def _look(self, watch: "FolderWatch") -> None:
        try:
            look: Look | Exception = watch.look()
        except Exception as fault:  # noqa: BLE001 - told on the way that every fault takes
            look = fault
        with suppress(RuntimeError):  # the program ended meanwhile
            self._screen.call_later(self._take, watch, look)

    def _take(self, watch: "FolderWatch", look: "Look | Exception") -> None:
        """Take in what a look brought, and look again in a while; a fault of the program ends it."""
        if isinstance(look, Exception):
            raise look
        if not self._screen.is_open or self._screen.desk.readings.watch is not watch:
            return  # the run was closed meanwhile; the next run has a watch of its own
        readings = self._screen.desk.readings
        readings.add(look.pieces)
        readings.follow(self._line.value)
        self._tell_of(look)
        self.show()
        self._screen.set_timer(LOOK_AGAIN_S, lambda: self._look_in_thread(watch))

    def _tell_of(self, look: "Look") -> None:
        """Say what was found out, once and for all starts; trouble once, when it begins and when it ends."""
        news = [one for one in look.findings if not one.was_told]
        said = [f"{one.file}: {one.text}" for one in sorted(news, key=lambda one: not one.is_problem)]
        if look.trouble != self._trouble:
            said.insert(0, look.trouble or words.READINGS_BACK)
            self._trouble = look.trouble
        if said:
            names, count = self._screen.key_names, len(said) - 1
            more = words.FURTHER_NEWS.format(count=count, key=names) if count else ""
            self._screen.say(Said(said[0] + more, is_news=True))

    # -- what waits -----------------------------------------------------------------------------
    def follow(self, line: str) -> None:
        """Take note of which readings stand on the line."""
        if self._screen.desk.readings.follow(line):
            self.show()

    def show(self) -> None:
        """Show in the border of the entry pane what waits and what stands on the line."""
        readings = self._screen.desk.readings
        waiting, key = readings.waiting(), self._screen.app.get_key_display(NEXT_READING)
        stopped = words.READINGS_STOPPED.format(key=self._screen.key_names)
        shown = stopped if self._trouble and not waiting else ""
        if readings.on_line:
            shown = words.READING_ON_LINE.format(piece=_short(readings.on_line[-1].piece))
            shown += words.READINGS_MORE.format(count=len(waiting), key=key) if waiting else ""
        elif waiting:
            count = many(len(waiting), "reading", "readings")
            shown = words.READING_WAITS.format(count=count, piece=_short(waiting[0][0].piece), key=key)
        self._screen.panes.entry.waiting = shown

    # -- keys -----------------------------------------------------------------------------------
    def put_next(self) -> None:
        """Put the next reading onto the line."""
        considered = self._screen.at_hand()
        self._put(lambda: self._screen.desk.readings.next_onto(considered))

    def choose(self) -> None:
        """Put a reading of the sorter's choice onto the line."""

        def chosen(readings: "Together") -> None:
            considered = self._screen.at_hand()
            self._put(lambda: self._screen.desk.readings.put_onto(considered, readings))

        self._ask_which(words.READINGS_TITLE, chosen, with_line=False)

    def set_aside(self) -> None:
        """Take a reading out of the queue, with a reason."""

        def chosen(readings: "Together") -> None:
            question = words.ASIDE_QUESTION.format(piece=readings[0].piece)
            ask(self._screen, question, lambda why: self._set_aside(readings, why), title=words.ASIDE_TITLE)

        self._ask_which(words.ASIDE_TITLE, chosen, with_line=True)

    def _set_aside(self, readings: "Together", reason: str) -> None:
        desk = self._screen.desk
        bare = desk.readings.taken_off(self._line.value, readings)
        said = attempt(lambda: desk.set_aside(readings, reason))
        if not said.is_refusal and bare != self._line.value:
            self._line.put(bare)
        self._screen.acted(said)

    def _put(self, onto: Callable[[], str]) -> None:
        """Put a reading onto the line, and say which; or say why not."""
        readings = self._screen.desk.readings
        before = readings.on_line
        try:
            line = onto()
        except BaywrightError as refusal:
            no_folder = readings.watch is None and not readings.waiting() and not before
            why = words.NO_READINGS_FOLDER if no_folder else str(refusal) + self._unreadable()
            self._screen.say(Said(why, is_refusal=True))
            return
        self._line.put(line)
        new = [one for one in readings.on_line if one not in before]
        shots = sum(len(one.facts.shots) for one in new)
        about = {"piece": new[0].piece, "file": clean(new[0].file), "line": new[0].line}
        has_weight = self._screen.at_hand().parsed.mass_g is not None
        then = words.THEN_ENTER if has_weight else words.THEN_WEIGHT
        self._screen.say(
            Said(words.READING_PUT.format(**about, shots=many(shots, "shot", "shots"), then=then))
        )
        self.show()

    def _unreadable(self) -> str:
        """Return what could not be read, where nothing waits for that reason; else nothing."""
        readings = self._screen.desk.readings
        found = [] if readings.watch is None else [one for one in readings.watch.findings if one.is_problem]
        if readings.waiting() or readings.on_line or not found:
            return ""
        count = many(len(found), "thing in the files", "things in the files")
        return words.UNREADABLE.format(count=count, key=self._screen.key_names)

    def _ask_which(self, title: str, chosen: "Callable[[Together], None]", *, with_line: bool) -> None:
        """Let a reading be picked among those that wait, with the one on the line first where it counts."""
        readings = self._screen.desk.readings
        there = [one for one in ((readings.on_line,) if with_line else ()) if one] + readings.waiting()
        if not there:
            self._screen.say(Said(words.NO_READING_WAITS, is_refusal=True))
            return
        picks = numbered(
            (str(i), f"{one[0].piece}  {readings.text(one)}", clean(one[0].file))
            for i, one in enumerate(there)
        )
        pick(self._screen, picks, lambda key: chosen(there[int(key)]), title=title)


def _short(piece: str) -> str:
    return cell(piece, min(len(piece), LONGEST_PIECE))
