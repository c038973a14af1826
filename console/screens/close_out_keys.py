"""Which keys the close-out answers to."""

from textual.binding import Binding, BindingType

CLOSE_OUT_KEYS: list[BindingType] = [
    Binding(
        "f8", "close_run", "Close the run", id="close-run", tooltip="close the run and write the handover"
    ),
    Binding("f4", "undo", "Undo", id="close-out-undo", tooltip="take back the last act, a ticket too"),
    Binding("f5", "redo", "Redo", id="close-out-redo", tooltip="take back the last undo"),
    Binding("escape", "leave", "Back", id="close-out-leave", tooltip="back to sorting; the run stays open"),
]
