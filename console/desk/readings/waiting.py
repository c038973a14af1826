"""Readings and the entry line: which comes next, which stand there, which a piece takes with it."""

import json
from collections.abc import Iterable, Sequence

from console.desk.piece.considering import Consideration
from console.desk.readings.offered import OfferedReading, from_json, kept_form, text_of
from console.desk.readings.queue import ReadingQueue, Together
from console.desk.readings.watching import FolderWatch
from console.desk.refusals import DeskRefusal
from console.entry.editing.onto_line import stands_on, with_reading, without_reading
from console.ledger.keeping.store import Ledger
from console.ledger.rows.reading_rows import reading_acts, readings_held, rows_of
from console.readings.csv_rows import PieceReadings
from console.yard.yard import Yard

NOTHING_WAITS = "No reading waits."
ALREADY = "The reading of {piece} stands on the line already, and no other waits."
CHANGED = (
    "The reading of {piece} stands on the line, changed by hand. Enter tallies it; or take it off the line "
    "first, then the key puts the next one there."
)
OTHER_TECHNIQUE = (
    "The line holds a reading by {line}, and {piece} was read by {file}: a line takes one technique. "
    "Tally the one first."
)
NO_ROOM = "The line has no room for the reading of {piece}. Tally what stands there first."
ROWS_BACK = 100
"""A line is kept within a second of the last key: so many rows hold whatever became of it since."""


class WaitingReadings:
    """The queue, those of it that stand on the entry line, and the folder that they come from."""

    def __init__(self, ledger: Ledger, yard: Yard) -> None:
        self.watch: FolderWatch | None = None
        """None while nobody looks into the folder, or the yard names none."""
        self._ledger = ledger
        self._yard = yard
        self._queue = ReadingQueue(ledger, yard)
        self._on_line: list[OfferedReading] = []
        """In the order they were put there."""

    def watch_folder(self) -> FolderWatch | None:
        """Begin to look for readings from files; None where the yard names no folder. What comes goes to
        `add`; the looking is meant for a thread."""
        if self.watch is None and self._yard.readings_files.folder:
            self.watch = FolderWatch(self._yard, self._ledger.path)
        return self.watch

    def add(self, pieces: Iterable[PieceReadings]) -> None:
        """Take in what the reader found, in its order."""
        self._queue.add(pieces)

    def text(self, readings: Sequence[OfferedReading]) -> str:
        """Return readings of one piece as the line has them."""
        return text_of(readings, self._yard.technique)

    @property
    def on_line(self) -> Together:
        """What stands on the entry line."""
        return tuple(self._on_line)

    def waiting(self) -> list[Together]:
        """Return what waits and stands not on the line, the longest-waiting piece first."""
        self._catch_up()
        by_piece: dict[tuple[str, str, str], list[OfferedReading]] = {}
        for reading in self._queue.waiting:
            if reading not in self._on_line:
                by_piece.setdefault(reading.of_one_piece, []).append(reading)
        return [tuple(readings) for readings in by_piece.values()]

    def follow(self, line: str) -> bool:
        """Take note of the line as it is now; return whether other readings stand on it than before.

        A reading stands there from when its words do, whoever put them there: the key, a half-typed line of
        last time, a line recalled. It stays while any of its figures is left, changed or not.
        """
        before = self.on_line
        self._on_line = self._standing_on(line)
        return self.on_line != before

    def next_onto(self, considered: Consideration) -> str:
        """Return the line with the next waiting reading; pressed again, with the one after it instead.

        Further shots on the piece whose reading stands on the line are added to it, and so is any reading
        where the line ends with a shot mark.

        Raises:
            DeskRefusal: No reading waits, or the line cannot take it; the message says why.
        """
        waiting = self.waiting()
        self.follow(considered.parsed.line)
        if not self._on_line:
            if not waiting:
                raise DeskRefusal(NOTHING_WAITS)
            return self.put_onto(considered, waiting[0])
        last = self._on_line[-1]
        if not waiting:
            raise DeskRefusal(ALREADY.format(piece=last.piece))
        further = [one for one in waiting if one[0].of_one_piece == last.of_one_piece]
        following = _after(last, waiting, self._queue.waiting)
        if further or considered.parsed.line.rstrip().endswith("/"):
            return self.put_onto(considered, (further or [following])[0])
        return self.put_onto(considered, following, instead=True)

    def put_onto(self, considered: Consideration, readings: Together, *, instead: bool = False) -> str:
        """Return the line with readings put after what stands there.

        Args:
            considered: The line at hand.
            readings: Of one piece.
            instead: Take off the readings of the piece that was put there last.

        Raises:
            DeskRefusal: The line cannot take them.
        """
        line, piece, technique = considered.parsed.line, readings[0].piece, readings[0].technique
        shots = considered.parsed.facts.shots
        stays, goes = self._on_line, self._on_line[:0]
        if instead:
            goes = [one for one in stays if one.of_one_piece == stays[-1].of_one_piece]
            stays = [one for one in stays if one not in goes]
            bare = without_reading(line, self.text(goes))
            if bare is None:
                raise DeskRefusal(CHANGED.format(piece=goes[0].piece))
            line = bare
        has_reading = len(shots) > sum(len(one.facts.shots) for one in goes)
        on_it = shots[0].reading.technique if has_reading else technique
        if technique and on_it != technique:
            raise DeskRefusal(OTHER_TECHNIQUE.format(line=on_it, piece=piece, file=technique))
        full = with_reading(line, self.text(readings), has_reading=has_reading)
        if full is None:
            raise DeskRefusal(NO_ROOM.format(piece=piece))
        self._on_line = [*stays, *readings]
        return full

    def taken_off(self, line: str, readings: Together) -> str:
        """Return the line without readings; as it is where they do not stand there as they were put."""
        bare = without_reading(line, self.text(readings))
        return line if bare is None else bare

    def used_by(self, line: str, corrected: str | None = None) -> Together:
        """Return the readings that a line takes with it when it is tallied.

        Args:
            line: The line.
            corrected: row_id of the piece whose place it takes, and whose readings it keeps while any of
                their figures stands on it.
        """
        self._catch_up()
        kept = readings_held(self._ledger, corrected) if corrected else ()
        of_old = [from_json(reading, self._yard) for reading in kept]
        return (*[one for one in of_old if one.is_left_on(line)], *self._standing_on(line))

    # -- over a restart -------------------------------------------------------------------------
    def on_line_as_text(self) -> str:
        """Return the readings that stand on the line as one line of text, to be kept beside it."""
        return json.dumps(kept_form(self._on_line, self._yard)) if self._on_line else ""

    def take_back(self, beside: str) -> bool:
        """Take readings back that were kept beside a half-typed line; False where they were tallied since.

        They wait from now on, before anybody has looked into the folder: the line may be tallied at once,
        and the folder be away. What cannot be understood is left to the folder.

        Args:
            beside: As on_line_as_text gave it; empty for none.
        """
        try:
            readings = [from_json(kept, self._yard) for kept in json.loads(beside or "[]")]
        except (ValueError, KeyError, TypeError):
            return True
        taken: dict[str, bool] = {}
        for act in reading_acts(self._ledger, max(0, self._queue.seen - ROWS_BACK)):
            taken |= dict.fromkeys(rows_of(act.readings), act.is_taken)
        if any(taken.get(row_id) for one in readings for row_id in one.row_ids):
            return False
        self._queue.put(readings, first=True)
        return True

    def _catch_up(self) -> None:
        """Follow the ledger; what a piece took stands on the line no more."""
        taken = self._queue.catch_up()
        self._on_line = [one for one in self._on_line if not taken.issuperset(one.row_ids)]

    def _standing_on(self, line: str) -> list[OfferedReading]:
        standing = [one for one in self._on_line if one.is_left_on(line)]
        if "=" not in line and "<" not in line:
            return standing  # most lines are typed by hand, and no key waits for a long queue
        cores = [one.core for one in standing]
        for one in self._queue.waiting:
            core = self._queue.core_of(one)
            # Two pieces may read alike to the last digit: their words count once each.
            if one not in standing and stands_on(line, core) and cores.count(core) < line.count(core):
                standing.append(one)
                cores.append(core)
        return standing


def _after(last: OfferedReading, waiting: Sequence[Together], queue: Sequence[OfferedReading]) -> Together:
    """Return what comes after a reading in the order of the queue; the first again after the last."""
    place = {one.row_ids: number for number, one in enumerate(queue)}
    return next((one for one in waiting if place[one[0].row_ids] > place[last.row_ids]), waiting[0])
