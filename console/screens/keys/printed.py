"""How keys are called on the screen."""

NAMES_OF_KEYS = {
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "up": "Up",
    "down": "Down",
    "enter": "Enter",
    "escape": "Esc",
    "tab": "Tab",
    "home": "Home",
    "end": "End",
    "insert": "Ins",
    "delete": "Del",
    "slash": "/",
    "space": "Space",
}
"""Key as Textual calls it -> as it is printed on the keyboard."""


def printed(keys: str) -> str:
    """Return comma-separated keys as they are printed on the keyboard; "Ctrl Q" is Ctrl held down with Q.

    >>> printed("f2"), printed("ctrl+q"), printed("pageup,k")
    ('F2', 'Ctrl Q', 'PgUp or k')
    """
    return " or ".join(_printed_one(key.strip()) for key in keys.split(","))


def _printed_one(key: str) -> str:
    *modifiers, name = key.split("+")
    shown = NAMES_OF_KEYS.get(name, name.upper() if name[1:].isdigit() or modifiers else name)
    return " ".join([*(modifier.capitalize() for modifier in modifiers), shown])
