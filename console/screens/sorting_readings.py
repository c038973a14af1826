"""Readings from files on the sorting screen: looked for in a thread, counted, put on the line."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from threading import Thread
from typing import TYPE_CHECKING

from textual import on
from textual.binding import Binding
from textual.message import Message

from console.ground.cleaning import clean
from console.panes.drawn import cell
from console.panes.entry_pane import EntryPane
from console.panes.figures import many
from console.panes.said_pane import Said
from console.screens import words
from console.screens.ask_screen import AskScreen
from console.screens.bench import attempt, refusals
from console.screens.pick_screen import Pick, PickScreen
from console.screens.sorting_keys import SORTING_KEYS
from console.screens.sorting_modes import SortingModes

if TYPE_CHECKING:
    from console.desk.reading_queue import Together
    from console.desk.watching import FolderWatch, Look

LOOK_AGAIN_S = 1.0
"""Time from the end of one look to the next [s]. A file counts as written when it stayed as it is for a
second, so a shot is offered two to three seconds after it was written; looking more often gains nothing."""
LONGEST_PIECE = 24
"""Characters of a piece's name that the border shows."""
KEY = next(one for one in SORTING_KEYS if isinstance(one, Binding) and one.id == "next-reading")


class SortingReadings(SortingModes):
    """Shots that an analyser's software dropped into a folder, for the piece at hand."""

    @dataclass
    class Looked(Message):
        """Posted by the thread when it has looked into the folder."""

        watch: "FolderWatch"
        look: "Look | None"
        fault: Exception | None = None
        """What went wrong in the program where there is no look."""

    def __init__(self) -> None:
        super().__init__()
        self._readings_trouble = ""

    # -- looking --------------------------------------------------------------------------------
    def watch_readings(self) -> None:
        """Begin to look into the folder; where the yard names none, nothing runs."""
        self._readings_trouble = ""
        if self.bench is not None and (watch := self.bench.desk.watch_folder()) is not None:
            self.look_for_readings(watch)

    def look_for_readings(self, watch: "FolderWatch") -> None:
        """Look once, in a thread; a slow disk holds up no key.

        It is a thread of our own, since the end of the program waits for Textual's: a network drive that
        has gone away may keep one for ever.
        """
        Thread(target=self._look, args=(watch,), name="readings", daemon=True).start()

    def _look(self, watch: "FolderWatch") -> None:
        try:
            looked = self.Looked(watch, watch.look())
        except Exception as error:  # noqa: BLE001 - told on the way that every fault takes
            looked = self.Looked(watch, None, error)
        with suppress(RuntimeError):  # the program ended meanwhile
            self.post_message(looked)

    @on(Looked)
    def take_readings(self, event: Looked) -> None:
        """Take in what the look brought, and look again in a while."""
        event.stop()
        if event.look is None:
            raise event.fault or RuntimeError("a look brought nothing")
        if self.bench is None or self.bench.desk.watch is not event.watch:
            return  # the run was closed meanwhile; the next run has a watch of its own
        self.bench.desk.readings.add(event.look.pieces)
        self.bench.desk.readings.follow(self.line.value)
        self._tell_of(event.look)
        self.show_waiting()
        self.set_timer(LOOK_AGAIN_S, lambda: self.look_for_readings(event.watch))

    def _tell_of(self, look: "Look") -> None:
        """Say what was found out; trouble once, when it begins and when it ends."""
        said = [
            f"{one.file}: {one.text}" for one in sorted(look.findings, key=lambda one: not one.is_problem)
        ]
        if look.trouble != self._readings_trouble:
            said.insert(0, look.trouble or words.READINGS_BACK)
            self._readings_trouble = look.trouble
        if said:
            more = words.FURTHER_NEWS.format(count=len(said) - 1, key=self.key_names) if said[1:] else ""
            self.say(Said(said[0] + more, is_news=True))

    # -- what waits -----------------------------------------------------------------------------
    def follow_readings(self, line: str) -> None:
        """Take note of which readings stand on the line."""
        if self.bench is not None and self.bench.desk.readings.follow(line):
            self.show_waiting()

    def show_waiting(self) -> None:
        """Show in the border of the entry pane what waits and what stands on the line."""
        if self.bench is None:
            return
        readings = self.bench.desk.readings
        waiting, key = readings.waiting(), self.app.get_key_display(KEY)
        stopped = words.READINGS_STOPPED.format(key=self.key_names)
        shown = stopped if self._readings_trouble and not waiting else ""
        if readings.on_line:
            shown = words.READING_ON_LINE.format(piece=_short(readings.on_line[-1].piece))
            shown += words.READINGS_MORE.format(count=len(waiting), key=key) if waiting else ""
        elif waiting:
            count = many(len(waiting), "reading", "readings")
            shown = words.READING_WAITS.format(count=count, piece=_short(waiting[0][0].piece), key=key)
        self.query_one(EntryPane).waiting = shown

    # -- keys -----------------------------------------------------------------------------------
    def action_next_reading(self) -> None:
        """Put the next reading onto the line."""
        if self.bench is not None and self.considered is not None:
            considered, readings = self.considered, self.bench.desk.readings
            self._put(lambda: readings.next_onto(considered))
        else:
            self.say(Said(words.STILL_OPENING, is_refusal=True))

    def action_choose_reading(self) -> None:
        """Put a reading of the sorter's choice onto the line."""

        def chosen(readings: "Together") -> None:
            considered, bench = self.considered, self.bench
            if bench is not None and considered is not None:
                self._put(lambda: bench.desk.readings.put_onto(considered, readings))

        self._ask_which(words.READINGS_TITLE, chosen, with_line=False)

    def action_set_reading_aside(self) -> None:
        """Take a reading out of the queue, with a reason."""

        def chosen(readings: "Together") -> None:
            question = words.ASIDE_QUESTION.format(piece=readings[0].piece)
            self.app.push_screen(
                AskScreen(question, title=words.ASIDE_TITLE), lambda reason: self._set_aside(readings, reason)
            )

        self._ask_which(words.ASIDE_TITLE, chosen, with_line=True)

    def _set_aside(self, readings: "Together", reason: str | None) -> None:
        if not reason or self.bench is None:
            return
        desk = self.bench.desk
        bare = desk.readings.taken_off(self.line.value, readings)
        said = attempt(lambda: desk.set_aside(readings, reason))
        if not said.is_refusal and bare != self.line.value:
            self.line.put(bare)
        self.say(said)
        self.show_sums()

    def _put(self, onto: Callable[[], str]) -> None:
        """Put a reading onto the line, and say which; or say why not."""
        assert self.bench is not None
        readings = self.bench.desk.readings
        before = readings.on_line
        try:
            line = onto()
        except refusals() as refusal:
            no_folder = self.bench.desk.watch is None and not readings.waiting() and not before
            self.say(Said(words.NO_READINGS_FOLDER if no_folder else str(refusal), is_refusal=True))
            return
        self.line.put(line)
        new = [one for one in readings.on_line if one not in before]
        shots = sum(len(one.facts.shots) for one in new)
        about = {"piece": new[0].piece, "file": clean(new[0].file), "line": new[0].line}
        self.say(Said(words.READING_PUT.format(**about, shots=many(shots, "shot", "shots"))))
        self.show_waiting()

    def _ask_which(self, title: str, chosen: "Callable[[Together], None]", *, with_line: bool) -> None:
        """Let a reading be picked among those that wait, with the one on the line first where it counts."""
        if self.bench is None:
            self.say(Said(words.STILL_OPENING, is_refusal=True))
            return
        readings = self.bench.desk.readings
        there = [one for one in ((readings.on_line,) if with_line else ()) if one] + readings.waiting()
        if not there:
            self.say(Said(words.NO_READING_WAITS, is_refusal=True))
            return
        picks = [
            Pick(
                key=str(i),
                code=str(i + 1),
                text=f"{one[0].piece}  {readings.text(one)}",
                aside=clean(one[0].file),
            )
            for i, one in enumerate(there)
        ]
        self.app.push_screen(
            PickScreen(picks, title=title, hint=words.PICK_HINT),
            lambda key: None if key is None else chosen(there[int(key)]),
        )


def _short(piece: str) -> str:
    return cell(piece, min(len(piece), LONGEST_PIECE))
