"""The [console] table of yard.toml."""

import pytest

from console.themes import THEMES as THEMES_DRAWN
from console.yard.errors import YardFileError
from console.yard.file.console_settings import (
    THEMES,
    Bell,
    ConsoleSettings,
    ScannerSuffix,
    console_settings_from,
)
from console.yard.file.fields import Fields


def test_a_yard_that_says_nothing_gets_the_usual_settings() -> None:
    """Everything has a default."""
    assert console_settings_from(Fields("yard.toml", {})) == ConsoleSettings()


def test_everything_that_can_be_set() -> None:
    """Each key of the table reaches the settings."""
    table = {
        "theme": "day",
        "bell": "flash",
        "ascii": True,
        "show_next_check": False,
        "scanner_suffix": "Tab",
        "keys": {"undo": "F12", "review": "ctrl+b, f6"},
    }

    settings = console_settings_from(Fields("yard.toml", {"console": table}))

    assert settings == ConsoleSettings(
        theme="day",
        bell=Bell.FLASH,
        ascii=True,
        show_next_check=False,
        scanner_suffix=ScannerSuffix.TAB,
        keys={"undo": "f12", "review": "ctrl+b,f6"},
    )


def test_the_themes_that_can_be_set_are_those_that_are_drawn() -> None:
    """The names in the two lists agree."""
    assert tuple(theme.name for theme in THEMES_DRAWN) == THEMES


@pytest.mark.parametrize(
    ("table", "wanted"),
    [
        ({"theme": "pink"}, '"pink" is not one of night, day, high-contrast'),
        ({"bell": "loud"}, '"loud" is not one of sound, flash, off'),
        ({"scanner_suffix": "space"}, "is not one of enter, tab, enter and line feed"),
        ({"ascii": "yes"}, "neither true nor false"),
        ({"them": "day"}, 'did you mean "theme"?'),
        ({"keys": {"undo": "x"}}, "no key that always arrives"),
        ({"keys": {"undo": "alt+x"}}, "no key that always arrives"),
        ({"keys": {"undo": "ctrl+s"}}, "stops the output"),
        ({"keys": {"undo": 4}}, "is no text"),
    ],
)
def test_a_wrong_setting_is_named(table: dict[str, object], wanted: str) -> None:
    """The message says where it stands and what would be right."""
    with pytest.raises(YardFileError, match="yard.toml, console") as raised:
        console_settings_from(Fields("yard.toml", {"console": table}))

    assert wanted in str(raised.value)
