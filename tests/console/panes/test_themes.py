"""The colours: readable in sunlight and at night, for every pair that carries text."""

import pytest
from textual.color import Color
from textual.theme import Theme

from console.themes import THEMES

LEAST_FOR_TEXT = 7.0
LEAST_FOR_LINES = 3.0
TEXT = ("foreground", "primary", "secondary", "success", "warning", "error", "quiet")
GROUNDS = ("background", "panel")


def luminance(colour: Color) -> float:
    """Return the relative luminance of a colour, 0..1 (W3C, WCAG 2.1, definition of relative luminance)."""

    def linear(channel: int) -> float:
        value = channel / 255
        return value / 12.92 if value <= 0.03928 else ((value + 0.055) / 1.055) ** 2.4

    return 0.2126 * linear(colour.r) + 0.7152 * linear(colour.g) + 0.0722 * linear(colour.b)


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1..21 (W3C, WCAG 2.1, definition of contrast ratio)."""
    light, dark = sorted((luminance(Color.parse(one)), luminance(Color.parse(other))), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def colour_of(theme: Theme, name: str) -> str:
    """Return a colour of a theme by its name."""
    return str(theme.variables[name] if name in theme.variables else getattr(theme, name))


def test_contrast_of_black_and_white() -> None:
    """The formula gives 21:1 for black on white, as the standard says."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("name", TEXT)
@pytest.mark.parametrize("ground", GROUNDS)
def test_text_stands_out(theme: Theme, name: str, ground: str) -> None:
    """Figures and text reach 7:1 on every ground they are written on, and so do reversed marks."""
    assert contrast(colour_of(theme, name), colour_of(theme, ground)) >= LEAST_FOR_TEXT


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("name", ["line"])
def test_lines_can_be_seen(theme: Theme, name: str) -> None:
    """Borders reach 3:1."""
    assert contrast(colour_of(theme, name), colour_of(theme, "background")) >= LEAST_FOR_LINES
