"""Reads the [console] table of yard.toml: colours, keys, bell, and what the screen shows."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from console.ground.cleaning import clean
from console.yard.file.fields import Fields

_KEYS = ("theme", "keys", "bell", "ascii", "show_next_check", "scanner_suffix")
THEMES = ("night", "day", "high-contrast")
"""Names of the colour schemes that there are."""
_KEY = re.compile(
    r"(ctrl\+[a-z])|(f([1-9]|1[0-2]))|up|down|left|right|home|end|pageup|pagedown|insert|delete|tab|escape"
)
SWALLOWED = {
    "ctrl+c": "ends programs in most terminals",
    "ctrl+s": "stops the output of many terminals",
    "ctrl+z": "is kept for stopping a program",
    "ctrl+i": "is the same as Tab",
    "ctrl+m": "is the same as Enter",
    "ctrl+j": "is the same as Enter",
    "ctrl+h": "is the same as Backspace",
}
"""Keys that do not arrive as what they are, and why (tried on terminals, tmux and the Linux console)."""


class Bell(StrEnum):
    """How a warning calls for attention."""

    SOUND = "sound"
    FLASH = "flash"
    """The sentence is shown reversed; for loud places."""
    OFF = "off"


class ScannerSuffix(StrEnum):
    """What a code scanner sends behind a code."""

    ENTER = "enter"
    TAB = "tab"
    """Tab enters the line where it ends in a whole word, and finishes a word that is only begun."""
    ENTER_AND_LINE_FEED = "enter and line feed"
    """The line feed behind Enter says nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsoleSettings:
    """What the yard wants of its screen."""

    theme: str = "night"
    keys: Mapping[str, str] = field(default_factory=dict)
    """Name of an action -> its keys, comma-separated, where the yard wants others than the usual ones."""
    bell: Bell = Bell.SOUND
    ascii: bool = False
    """True draws with nothing but ASCII, whatever the terminal says that it can show."""
    show_next_check: bool = True
    """False leaves out which check to make next."""
    scanner_suffix: ScannerSuffix = ScannerSuffix.ENTER


def console_settings_from(file: Fields) -> ConsoleSettings:
    """Return what the [console] table says; the usual settings for what it leaves out.

    Which actions there are is known to the screens alone: they refuse the names that they do not know.

    Raises:
        YardFileError: A key is unknown or wrong; the message says which and what would be right.
    """
    fields, usual = file.sub("console"), ConsoleSettings()
    fields.refuse_unknown(_KEYS)
    return ConsoleSettings(
        theme=fields.word("theme", usual.theme, THEMES),
        keys=_keys(fields.sub("keys")),
        bell=Bell(fields.word("bell", usual.bell, Bell)),
        ascii=fields.flag("ascii", usual.ascii),
        show_next_check=fields.flag("show_next_check", usual.show_next_check),
        scanner_suffix=ScannerSuffix(fields.word("scanner_suffix", usual.scanner_suffix, ScannerSuffix)),
    )


def _keys(fields: Fields) -> dict[str, str]:
    keys: dict[str, str] = {}
    for action in fields.table:
        typed = [one.strip().casefold() for one in fields.text(action).split(",")]
        for key in typed:
            if key in SWALLOWED:
                raise fields.wrong(clean(action, 30), f'"{key}" {SWALLOWED[key]}; choose another key')
            if not _KEY.fullmatch(key):
                raise fields.wrong(
                    clean(action, 30),
                    f'"{clean(key, 20)}" is no key that always arrives; write f1 to f12, ctrl+ and a letter, '
                    "up, down, pageup, pagedown, home, end, insert, delete, tab or escape",
                )
        keys[action] = ",".join(typed)
    return keys
