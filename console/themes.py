"""Which colours the console is drawn in: night, day and high contrast.

Every theme keeps figures and text that count at 7:1 or better against its background; a test reckons it.
The night colours stand in the palette of 256-colour terminals, so that these show them unchanged. No meaning
rests on a colour: each has a word or a mark beside it.
"""

from textual.theme import Theme

NIGHT = Theme(
    name="night",
    primary="#d7af5f",
    secondary="#87d7d7",
    accent="#d7af5f",
    foreground="#eeeeee",
    background="#121212",
    surface="#121212",
    panel="#262626",
    success="#afd787",
    warning="#ffd75f",
    error="#ffaf87",
    dark=True,
    variables={"quiet": "#bcbcbc", "line": "#767676", "bar-rest": "#585858"},
)

DAY = Theme(
    name="day",
    primary="#00005f",
    secondary="#004b5a",
    accent="#00005f",
    foreground="#121212",
    background="#ffffff",
    surface="#ffffff",
    panel="#eeeeee",
    success="#004d00",
    warning="#5f4000",
    error="#870000",
    dark=False,
    variables={"quiet": "#444444", "line": "#767676", "bar-rest": "#bcbcbc"},
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
