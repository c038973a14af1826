"""How one yard wants the console: colours, keys, bell, ASCII."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.app import App
from textual.binding import Binding
from textual.filter import LineFilter

from console import terminal, themes
from console.panes.plain_marks import TerminalSafe
from console.screens.key_names import printed

if TYPE_CHECKING:
    from console.yard.file.console_settings import ConsoleSettings


class OutfitApp(App[None]):
    """An app that takes on what the [console] table of a yard.toml says."""

    def __init__(self, *, encoding: str | None) -> None:
        super().__init__()
        self.keys_of_yard: dict[str, str] = {}
        """Name of an action -> keys, where the yard wants others than the usual ones."""
        self._bell = "sound"
        self._safe = TerminalSafe(is_plain=terminal.is_plain(encoding))
        self.animation_level = "none"
        for theme in themes.THEMES:
            self.register_theme(theme)
        self.theme = themes.NIGHT.name

    def put_on(self, settings: "ConsoleSettings") -> None:
        """Take on what a yard wants.

        Raises:
            RemapError: A key cannot be given to an action.
        """
        from console.screens.remapping import refuse_bad_keys

        refuse_bad_keys(settings.keys, type(self).BINDINGS)
        self.keys_of_yard = dict(settings.keys)
        self.set_keymap(self.keys_of_yard)
        self._bell = settings.bell.value
        self.theme = settings.theme
        if settings.ascii and not self._safe.is_plain:
            self._safe.is_plain = True
            for widget in self.screen.walk_children(with_self=True):
                widget.refresh()

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Return the colours of our own that every theme has."""
        return themes.VARIABLE_DEFAULTS

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Return the filters each painted line passes; the last one is the terminal's guard."""
        return [*super().get_line_filters(), self._safe]

    def bell(self) -> None:
        """Call for attention the way the yard wants it; a flash is the business of the screen."""
        if self._bell == "sound":
            super().bell()

    @property
    def flashes(self) -> bool:
        """True where a warning is shown by a flash instead of a sound."""
        return self._bell == "flash"

    def get_key_display(self, binding: Binding) -> str:
        """Return a key as it is printed on the keyboard: F2, PgUp; ^Q is Ctrl held down with Q."""
        return printed(self.key_for(binding))

    def key_for(self, binding: Binding) -> str:
        """Return the keys of a binding as the yard has them, comma-separated."""
        return self.keys_of_yard.get(binding.id or "", binding.key)
