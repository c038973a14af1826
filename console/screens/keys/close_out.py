"""Which keys the close-out answers to."""

from textual.binding import Binding, BindingType

CLOSE_OUT_KEYS: list[BindingType] = [
    Binding(
        "f8",
        "close_run",
        "Close the run",
        id="close-run",
        tooltip="step by step: holds, difference, who signs; then the run is closed and handed over",
    ),
    Binding(
        "f7",
        "parts",
        "Parts",
        id="close-out-parts",
        tooltip="what the tolerance is made of, for every load",
    ),
    Binding(
        "f6",
        "holds",
        "Holds",
        id="close-out-holds",
        tooltip="the review with the pieces on hold first, to resolve them",
    ),
    Binding("f4", "app.undo", "Undo", id="close-out-undo", tooltip="take back the last act, a ticket too"),
    Binding("f5", "app.redo", "Redo", id="close-out-redo", show=False, tooltip="take back the last undo"),
    Binding("escape", "leave", "Back", id="close-out-leave", tooltip="back to sorting; the run stays open"),
]
