"""What is offered where the store is damaged or not as it was left, by number."""

from collections.abc import Sequence
from pathlib import Path

from textual.widgets import Static

from console.drawing.drawn import whole_words
from console.ground.figures import many
from console.panes.entry_line import EntryLine
from console.screens.frames.asking import numbered
from console.screens.frames.pick_screen import Pick, PickScreen

LEAVE, VERIFY, SALVAGE, RESTORE, GO_ON = "leave", "verify", "salvage", "restore", "go on"
DAMAGED = "The store is damaged"
DOUBTED = "The ledger is not as it was left"
HINT = "a number and Enter"
WHICH = "Which backup?"
NO_COPIES = "none. Leave, then: baywright restore FILE --overwrite"
MOST_DOUBTS, LONGEST_DOUBT = 3, 200
"""So many sentences are said, and so much of each; the first choice lists all."""
AND_MORE = "And {count} more: 1 lists them."
MOST_COPIES = 8
"""So many copies are offered, the newest first."""


class TroubleScreen(PickScreen):
    """What was found, in full, above what can be done about it."""

    CSS_PATH = "../frames/pick_screen.tcss"
    DEFAULT_CSS = "TroubleScreen #found { height: auto; max-height: 10; margin: 0 1; }"

    def __init__(self, picks: Sequence[Pick], *, title: str, found: str) -> None:
        super().__init__(picks, title=title, hint=HINT)
        self._found = found

    def on_mount(self) -> None:
        """Put what was found at the head of the box."""
        super().on_mount()
        self.query_one("#pick-box").mount(
            Static(self._found, markup=False, id="found"), before=self.query_one(EntryLine)
        )


def trouble_screen(found: str, *, is_readable: bool, copies: int) -> TroubleScreen:
    """Return the list to pick from.

    Args:
        found: What is wrong, in sentences.
        is_readable: The store can be worked with; it only is not as it was left.
        copies: How many copies lie beside the store.
    """
    beside = many(copies, "copy lies", "copies lie") if copies else "no copy lies"
    offered = [
        (VERIFY, "Look through the whole ledger for what is wrong (verify)"),
        (SALVAGE, "Save every whole row into a file of text (salvage)"),
        (RESTORE, f"Put a backup in its place (restore); {beside} beside it"),
        (LEAVE, "Leave; nothing is changed"),
    ]
    if is_readable:
        offered.append((GO_ON, "Work on with it as it is; the ledger keeps that I said so"))
    picks = numbered((key, text, "") for key, text in offered)
    return TroubleScreen(picks, title=DOUBTED if is_readable else DAMAGED, found=found)


def doubts_told(store: Path, doubts: Sequence[str]) -> str:
    """Return what is wrong with a ledger that can be read, in a few rows."""
    said = [whole_words(one, LONGEST_DOUBT).rstrip() for one in doubts[:MOST_DOUBTS]]
    left = len(doubts) - len(said)
    return " ".join([f"{store}:", *said, *([AND_MORE.format(count=left)] if left else [])])


def copies_beside(store: Path) -> list[Path]:
    """Return the files beside a store that may be copies of it, the newest first."""
    found = [
        file
        for file in store.parent.glob("*.sqlite3*")
        if file != store and file.is_file() and not file.name.endswith(("-wal", "-shm", ".lock", ".json"))
    ]
    return sorted(found, key=lambda file: file.stat().st_mtime, reverse=True)[:MOST_COPIES]


def copies_screen(copies: Sequence[Path]) -> PickScreen:
    """Return the list of copies to pick from."""
    picks = numbered([(str(file), file.name, "") for file in copies] or [("", NO_COPIES, "")])
    return PickScreen(picks, title=WHICH, hint=HINT)
