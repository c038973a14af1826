"""After a close-out: who takes the next run over."""

from collections.abc import Callable, Sequence
from typing import Any

from textual.app import App

from console.screens.frames.pick_screen import Pick, PickScreen
from console.screens.sorting.words import PICK_HINT

TITLE = "The next run begins: who works it?"


def ask_who(app: "App[Any]", people: Sequence[str], then: Callable[[str | None], None]) -> None:
    """Ask for a name; None, when nobody is picked, leaves it to the yard's first person."""
    picks = [Pick(key=name, code=str(number), text=name) for number, name in enumerate(people, start=1)]
    app.push_screen(PickScreen(picks, title=TITLE, hint=PICK_HINT), then)
