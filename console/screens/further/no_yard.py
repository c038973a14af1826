"""What is offered where there is no yard yet."""

from pathlib import Path

from console.screens.frames.pick_screen import Pick, PickScreen

DEMO, NEW, LEAVE = "demo", "new", "leave"
TITLE = "No yard here yet"
HINT = "1, 2 or 3 and Enter; a yard that you have: --yard FOLDER"


def no_yard_screen(folder: Path) -> PickScreen:
    """Return the list to pick from: the demo yard, a new yard in the folder, or neither."""
    return PickScreen(
        [
            Pick(key=DEMO, code="1", text="Demo yard: an invented one to try everything in, with a tour"),
            Pick(key=NEW, code="2", text=f"New yard in {_short(folder)}, by ten questions"),
            Pick(key=LEAVE, code="3", text="Leave"),
        ],
        title=TITLE,
        hint=HINT,
    )


def _short(folder: Path) -> str:
    text = str(folder.resolve())
    return text if len(text) <= 30 else "…" + text[-29:]
