"""The readings that wait, as they may go onto the line that resolves a piece on hold."""

from typing import TYPE_CHECKING

from console.desk.readings.queue import Together
from console.desk.readings.waiting import CHANGED, NO_ROOM
from console.desk.refusals import DeskRefusal
from console.entry.editing.onto_line import stands_on, with_reading, without_reading
from console.ground.scanned import bare_tag

if TYPE_CHECKING:
    from console.desk.desk import Desk
    from console.ledger.rows.rows import PieceState


class ReadingsForHold:
    """Those of the piece itself first, where the analyser was told its tag; then in the order they came."""

    def __init__(self, desk: "Desk", piece: "PieceState") -> None:
        self._readings = desk.readings
        tag = bare_tag(piece.tag or "")
        self._waiting = sorted(desk.readings.waiting(), key=lambda one: bare_tag(one[0].piece) != tag)
        self._place = -1
        """Of the reading that was put there last; -1 before the first."""

    @property
    def count(self) -> int:
        """How many wait."""
        return len(self._waiting)

    @property
    def next(self) -> Together:
        """The one that is put there next; the first again after the last."""
        return self._waiting[(self._place + 1) % len(self._waiting)]

    def next_onto(self, line: str) -> str:
        """Return the line with the next reading, instead of the one put there before.

        Raises:
            DeskRefusal: The one before was changed by hand, or there is no room.
        """
        if self._place >= 0:
            before = self._waiting[self._place]
            bare = without_reading(line, self._readings.text(before))
            if bare is None:
                raise DeskRefusal(CHANGED.format(piece=before[0].piece))
            line = bare
        following = self.next
        full = with_reading(line, self._readings.text(following), has_reading=False)
        if full is None:
            raise DeskRefusal(NO_ROOM.format(piece=following[0].piece))
        self._place = (self._place + 1) % len(self._waiting)
        return full.strip()

    def used_by(self, line: str) -> Together:
        """Return the readings that stand on a line: the one put there, changed or not, and whatever was
        typed just as it waits."""
        put = self._waiting[self._place] if self._place >= 0 else ()
        waiting = (one for together in self._waiting for one in together)
        return tuple(
            one for one in waiting if (one.is_left_on(line) if one in put else stands_on(line, one.core))
        )
