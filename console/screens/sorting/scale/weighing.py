"""A weight from a wired scale onto the line: read in a thread, so that no key waits; it never tallies."""

from contextlib import suppress
from threading import Thread
from typing import TYPE_CHECKING

from console.ground.mass import format_mass, parse_mass_g
from console.panes.entry_line import LONGEST_LINE
from console.panes.said_pane import Said
from console.readings.scale.wire import ScaleTrouble
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.screens.sorting.sorting_screen import SortingScreen
    from console.yard.yard import Scale


class Weighing:
    """One weighing at a time; what comes after its piece was entered is dropped."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._line = screen.panes.entry.line
        self._put = ""
        """The weight on the line that came from the scale, as it stands there."""
        self._is_at_it = False
        self._pieces = 0
        """Pieces entered so far; a weight belongs to the piece for which it was asked."""

    def forget(self) -> None:
        """A piece was entered: what is still being weighed was for that one."""
        self._pieces += 1
        self._put = ""

    def weigh(self) -> None:
        """Ask the scale, unless the line has a weight of the sorter's own."""
        considered, yard = self._screen.at_hand(), self._screen.desk.yard
        scale, unit = yard.piece_scale, yard.weight_unit
        if scale.wire is None:
            self._screen.say(Said(words.NO_WIRE, is_refusal=True))
        elif considered.parsed.mass_g is not None and not self._is_ours():
            weight = format_mass(considered.parsed.mass_g, unit)
            self._screen.say(Said(words.HAS_WEIGHT.format(weight=weight), is_refusal=True))
        else:
            self._screen.say(Said(words.WEIGHING, is_prompt=True))
            if not self._is_at_it:
                self._is_at_it = True
                # A thread of our own: a port that hangs would keep the end of the program waiting.
                Thread(target=self._read, args=(scale, unit, self._pieces), name="scale", daemon=True).start()

    def _read(self, scale: "Scale", unit: str, piece: int) -> None:
        """Read the scale; tell what came of it on the thread of the screen."""
        from console.readings.scale.weighing import steady_mass_g  # which few yards need

        assert scale.wire is not None
        try:
            came: int | Exception = steady_mass_g(scale.wire, scale.largest_g, unit)
        except Exception as fault:  # noqa: BLE001 - told on the way that every fault takes
            came = fault
        with suppress(RuntimeError):  # the program ended meanwhile
            self._screen.call_later(self._take, came, piece)

    def _take(self, came: int | Exception, piece: int) -> None:
        """Put the weight before what is typed; a fault of the program is raised."""
        self._is_at_it = False
        if isinstance(came, ScaleTrouble):
            self._screen.say(Said(str(came), is_refusal=True))
        elif isinstance(came, Exception):
            raise came
        elif piece == self._pieces and self._screen.is_open:
            self._onto_line(came)

    def _onto_line(self, mass_g: int) -> None:
        weight = format_mass(mass_g, self._screen.desk.yard.weight_unit)
        words_typed = self._line.value
        if self._is_ours():
            words_typed = words_typed.removeprefix(self._put).removeprefix(" ")
        elif self._screen.at_hand().parsed.mass_g is not None:
            return  # typed while the scale was asked: the hand has the last word
        # As it is typed: no blank, so that number and unit are one word; "short ton" is typed "ston".
        put = weight.replace("short ton", "ston").replace(" ", "")
        if parse_mass_g(put, "kg") != mass_g:
            put = f"{mass_g}g"
        line = f"{put} {words_typed}"
        if len(line) > LONGEST_LINE:
            self._screen.say(Said(words.LINE_IS_FULL, is_refusal=True))
            return
        from_end = len(self._line.value) - self._line.cursor_position
        self._line.put(line)
        self._line.cursor_position = max(len(put) + 1, len(line) - from_end)
        self._put = put
        self._screen.say(Said(words.WEIGHED.format(weight=weight)))

    def _is_ours(self) -> bool:
        return bool(self._put) and f"{self._line.value} ".startswith(f"{self._put} ")
