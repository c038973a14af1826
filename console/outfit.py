"""How one yard wants the console, and the app that wears it: colours, keys, bell, ASCII."""

import sys
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from textual.app import App
from textual.binding import BindingType
from textual.filter import LineFilter

from console import terminal, themes
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


class OutfittedApp(App[None]):
    """An app in our colours, that ends when the session does and comes back after a stop."""

    ENABLE_COMMAND_PALETTE = False

    def __init__(self) -> None:
        super().__init__()
        self.outfit = Outfit(encoding=getattr(sys.__stderr__, "encoding", None))
        self.animation_level = "none"
        for theme in themes.THEMES:
            self.register_theme(theme)
        self.theme = themes.NIGHT.name

    def on_mount(self) -> None:
        """Listen to the signals of the session; Textual calls this beside that of the app itself."""
        terminal.end_on_signals(lambda code: self.exit(return_code=code))
        terminal.take_up_after_stop(self._driver)

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Return the filters each painted line passes; the last one is the terminal's guard."""
        return [*super().get_line_filters(), self.outfit.safe]
