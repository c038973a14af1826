"""After a close-out: who takes the next run over."""

from collections.abc import Callable, Sequence
from typing import Any

from textual.app import App

from console.screens.frames.asking import names
from console.screens.frames.pick_screen import PickScreen

TITLE = "The next run begins: who works it?"


def ask_who(app: "App[Any]", people: Sequence[str], then: Callable[[str | None], None]) -> None:
    """Ask for a name; None, when nobody is picked, leaves it to the yard's first person."""
    app.push_screen(PickScreen(names(people), title=TITLE), then)
