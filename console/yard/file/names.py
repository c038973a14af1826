"""Names in yard.toml that become part of runs, tags and names of files: what they may be."""

import re

QUOTED = 60
"""Characters of a wrong name that a message quotes."""
LONGEST_TERMINAL = 12
LONGEST_YARD_CODE = 4
LONGEST_PERSON = 60
_TERMINAL = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9_-]*[A-Za-z0-9])?")
_NOT_IN_A_PERSON = re.compile("/")
_DEVICES = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?", re.IGNORECASE)
"""Names that one family of systems gives to devices, in every folder; source: common practice."""


def is_device_name(text: str) -> bool:
    """Tell whether a text names a device on some systems, also with an ending.

    >>> is_device_name("con"), is_device_name("NUL.txt"), is_device_name("cone")
    (True, True, False)
    """
    return _DEVICES.fullmatch(text.strip()) is not None


def why_not_a_terminal(text: str) -> str:
    """Return why a terminal cannot be called so; empty where it can.

    >>> why_not_a_terminal("T1"), why_not_a_terminal("gate-2")
    ('', '')
    """
    if len(text) > LONGEST_TERMINAL:
        return f"has {len(text)} characters; at most {LONGEST_TERMINAL}, letters a to z and digits"
    if is_device_name(text):
        return "is the name of a device on some computers; take another, such as T1"
    if not _TERMINAL.fullmatch(text):
        return (
            "stands in the names of runs, tags and files: letters a to z and digits, with - or _ between, "
            "such as T1 or gate-2"
        )
    return ""


def why_not_a_yard_code(text: str) -> str:
    """Return why a yard cannot stand by this code before its terminals; empty where it can.

    >>> why_not_a_yard_code("N"), why_not_a_yard_code("")
    ('', '')
    """
    if text and (not text.isascii() or not text.isalnum() or len(text) > LONGEST_YARD_CODE):
        return f"is no code of a yard: at most {LONGEST_YARD_CODE} letters and digits, such as N, or nothing"
    return ""


def why_not_a_person(text: str) -> str:
    """Return why a person cannot be called so; empty where they can.

    >>> why_not_a_person("Ilse O'Neill-Roth"), why_not_a_person("Jörg Ł.")
    ('', '')
    """
    if len(text) > LONGEST_PERSON:
        return f"has {len(text)} characters; at most {LONGEST_PERSON}"
    if text.lstrip()[:1] in (".", "-") or _NOT_IN_A_PERSON.search(text):
        return "needs a name that begins with neither point nor dash, and without /"
    if is_device_name(text):
        return "is the name of a device on some computers; add a letter or a second name"
    return ""
