"""What a line asks to be told of the run, and what of it is taken note of."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from console.commands.plain_mode import is_plain_mode, report_width
from console.commands.shift.by_line import words
from console.desk.refusals import DeskRefusal
from console.entry.load_words import load_words
from console.ground.cleaning import told
from console.ground.figures import many
from console.ground.mass import format_mass
from console.reports.plain_words import lines_in_words

if TYPE_CHECKING:
    from console.desk import Desk


class Telling:
    """Sums, holds, the last piece, what was left, and the tare that is on."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self.acts: dict[str, Callable[[str], str]] = {
            "left": lambda _: self._left(),
            "waiting": lambda _: self._waiting(),
            "tally": lambda _: self._tally(),
            "last": lambda _: self._last(),
            "tare": self._tare,
        }
        """Word -> what it does with the rest of its line."""

    def greeting(self) -> str:
        """Return who sorts, how many entries the run has, and what must be known before the first piece."""
        desk = self._desk
        said = [words.GREETING.format(person=told(desk.person), entries=desk.sums().entries)]
        state, is_good = desk.checks.state()
        if state and not is_good:
            said.append(f"{state[0].upper()}{state[1:]}.")
        if tare := desk.piece.tare.said:
            said.append(words.TARE_STILL.format(tare=tare))
        if whose := load_words(desk.supplier, desk.load):
            said.append(words.LOAD_GOES_ON.format(whose=told(whose)))
        if desk.left.is_due:
            said.append(words.LEFT_FOR_YOU)
        return " ".join(said)

    def _left(self) -> str:
        """Return what the run or the person before left."""
        text = self._desk.left.text(report_width())
        return "\n".join(lines_in_words(text.splitlines())) if is_plain_mode() else text

    def _waiting(self) -> str:
        """Say what waits on hold, of earlier runs too."""
        pieces = [*self._desk.sums().holds, *self._desk.review.waiting_of_earlier_runs()]
        unit = self._desk.yard.weight_unit
        said = [f"{one.tag} {format_mass(one.mass_g, unit)} {told(one.line)}" for one in pieces]
        return f"{'; '.join(said)}." if said else words.NOTHING_WAITS

    def _tally(self) -> str:
        """Say what lies in every bay of this run."""
        unit = self._desk.yard.weight_unit
        bays = [
            f"{one.bay} {many(one.pieces, 'piece', 'pieces')} {format_mass(one.mass_g, unit)}"
            for one in self._desk.sums().bays
        ]
        return f"{', '.join(bays)}." if bays else words.NOTHING_YET

    def _last(self) -> str:
        label = self._desk.piece.last_label
        return f"The last piece: {label}." if label else words.NOTHING_YET

    def _tare(self, weight: str) -> str:
        """Take a weight off each weight from here on; without one end that.

        Raises:
            DeskRefusal: It says no weight alone.
        """
        tare = self._desk.piece.tare
        if not weight:
            said = words.TARE_ENDED if tare.said else words.TARE_HOW
            tare.end()
            return said
        if not tare.begin(weight):
            raise DeskRefusal(words.TARE_HOW)
        return words.TARE_BEGUN.format(tare=tare.said)
