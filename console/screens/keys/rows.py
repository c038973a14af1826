"""One row of a table of keys."""

from textual.binding import Binding


def shown(key: str, action: str, word: str, name: str, tooltip: str) -> Binding:
    """Return a key that stands in the key line.

    Args:
        key: As Textual calls it; several comma-separated.
        action: What it does.
        word: Its word in the key line.
        name: By which a yard gives the action another key, and texts name it.
        tooltip: What it does, for help and the list of actions.
    """
    return Binding(key, action, word, id=name, tooltip=tooltip)


def quiet(key: str, action: str, word: str, name: str, tooltip: str) -> Binding:
    """Return a key that help and the list of actions tell, and the key line does not."""
    return Binding(key, action, word, id=name, show=False, tooltip=tooltip)
