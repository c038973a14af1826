"""The running tare: what a box or pallet weighs, taken off each weight until it is ended.

It stands in a file beside the store, so that neither a crash nor a new sitting drops it without a word.
"""

from contextlib import suppress
from typing import TYPE_CHECKING

from console.entry.amounts.weighed import is_tared
from console.entry.parse import parse_line
from console.entry.parsed import Token
from console.entry.token_kind import TokenKind
from console.ground.cleaning import clean
from console.ground.durable import replace_whole
from grade_library.user_files import UserFileError, read_text

if TYPE_CHECKING:
    from console.desk.desk import Desk

FILE_NAME = "yard.running-tare"
MOST_BYTES = 200
"""Of the file: it holds one weight."""


class RunningTare:
    """Taken off by writing gross and tare onto the line, which is what the row keeps."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self._file = desk.yard.folder / FILE_NAME
        self._typed = self.said = ""
        """The tare as typed, in the yard's unit unless it names one, and with its unit; empty for none."""
        with suppress(OSError, UserFileError):
            kept = clean(read_text(self._file, MOST_BYTES, errors="replace"), MOST_BYTES).strip()
            if (weight := self._bare_weight(kept)) is not None:
                self._hold(weight)

    def begin(self, line: str) -> bool:
        """Take the weight that a line says off each weight from here on; tell whether it says just that."""
        weight = self._bare_weight(line)
        if weight is not None:
            self._hold(weight)
            self._keep()
        return weight is not None

    def end(self) -> None:
        """Take nothing off from here on."""
        self._typed = self.said = ""
        self._keep()

    def taken_off(self, line: str) -> str:
        """Return a line with the tare behind its weight, where it has a weight and none of its own."""
        if not self._typed:
            return line
        tokens = self._desk.consider(line).parsed.tokens
        weight = next((token for token in tokens if token.kind is TokenKind.WEIGHT), None)
        if weight is None or is_tared(weight.text.casefold()):
            return line
        gross = "".join(weight.text.split())
        return f"{line[: weight.start]}{gross}-{self._typed}{line[weight.end :]}"

    def _bare_weight(self, line: str) -> Token | None:
        parsed = parse_line(line, names=self._desk.names, yard=self._desk.yard)
        is_bare = [token.kind for token in parsed.tokens] == [TokenKind.WEIGHT] and parsed.can_be_tallied
        weight = parsed.tokens[0] if is_bare else None
        return None if weight is None or is_tared(weight.text.casefold()) else weight

    def _hold(self, weight: Token) -> None:
        self._typed, self.said = "".join(weight.text.split()), weight.meaning

    def _keep(self) -> None:
        """Write the file, or take it away; a folder that refuses is told when the next piece is tallied."""
        with suppress(OSError):
            if self._typed:
                replace_whole(self._file, f"{self._typed}\n")
            else:
                self._file.unlink(missing_ok=True)
