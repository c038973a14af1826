"""Which colours the console is drawn in: night, day and high contrast.

Every theme keeps figures and text that count at 7:1 or better against its background; a test reckons it.
No meaning rests on a colour: each has a word or a mark beside it.
"""

from textual.theme import Theme

NIGHT = Theme(
    name="night",
    primary="#e3b06b",
    secondary="#9cc4d4",
    accent="#e3b06b",
    foreground="#ece7dc",
    background="#14181b",
    surface="#14181b",
    panel="#1f262b",
    success="#a6d59a",
    warning="#f2cc60",
    error="#ffab97",
    dark=True,
    variables={"quiet": "#b3bbbe", "line": "#6d7a82", "bar-rest": "#566068"},
)

DAY = Theme(
    name="day",
    primary="#6a3d00",
    secondary="#0a465e",
    accent="#6a3d00",
    foreground="#191c1e",
    background="#fbf9f3",
    surface="#fbf9f3",
    panel="#ece8dd",
    success="#17491c",
    warning="#5c3a00",
    error="#8a1710",
    dark=False,
    variables={"quiet": "#454b4e", "line": "#7c7a72", "bar-rest": "#b3aea2"},
)

HIGH_CONTRAST = Theme(
    name="high-contrast",
    primary="#ffff00",
    secondary="#00ffff",
    accent="#ffff00",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000000",
    success="#00ff00",
    warning="#ffff00",
    error="#ffb0b0",
    dark=True,
    variables={"quiet": "#ffffff", "line": "#ffffff", "bar-rest": "#a0a0a0"},
)

THEMES = (NIGHT, DAY, HIGH_CONTRAST)
VARIABLE_DEFAULTS = dict(NIGHT.variables)
