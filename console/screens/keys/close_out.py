"""Which keys the close-out answers to."""

from textual.binding import BindingType

from console.screens.keys.rows import quiet, shown

CLOSE_OUT_KEYS: list[BindingType] = [
    shown(
        "f8",
        "close_run",
        "Close the run",
        "close-run",
        "step by step: holds, difference, who signs; then the run is closed and handed over",
    ),
    shown("f7", "parts", "Parts", "close-out-parts", "what the tolerance is made of, for every load"),
    shown(
        "f6", "holds", "Holds", "close-out-holds", "the review with the pieces on hold first, to resolve them"
    ),
    quiet("f4", "app.undo", "Undo", "close-out-undo", "take back the last act, a ticket too"),
    shown("f2", "totals", "Totals", "close-out-totals", "pieces, weight and worth of every bay on one page"),
    quiet("f5", "app.redo", "Redo", "close-out-redo", "take back the last undo"),
    shown("escape", "leave", "Back", "close-out-leave", "back to sorting; the run stays open"),
]
