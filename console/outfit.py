"""How one yard wants the console: colours, keys, bell, ASCII."""

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from textual.binding import BindingType

from console import terminal
from console.drawing.plain_marks import TerminalSafe

if TYPE_CHECKING:
    from console.yard.file.console_settings import ConsoleSettings


class Outfit:
    """What the [console] table of a yard.toml says; the usual until it is read."""

    def __init__(self, *, encoding: str | None) -> None:
        self.keys: Mapping[str, str] = {}
        """Name of an action -> keys, where the yard wants others than the usual ones."""
        self.bell = "sound"
        self.safe = TerminalSafe(is_plain=terminal.is_plain(encoding))
        """The last filter that each painted line passes: the terminal's guard."""

    def take(self, settings: "ConsoleSettings", of_app: Iterable[BindingType]) -> bool:
        """Take on what a yard wants; return whether everything must be painted anew, in ASCII.

        Args:
            settings: What the yard wants.
            of_app: The bindings that hold on every screen.

        Raises:
            RemapError: A key cannot be given to an action.
        """
        from console.screens.keys.remapping import refuse_bad_keys

        refuse_bad_keys(settings.keys, of_app)
        self.keys = dict(settings.keys)
        self.bell = settings.bell.value
        is_new = settings.ascii and not self.safe.is_plain
        self.safe.is_plain = self.safe.is_plain or settings.ascii
        return is_new
