"""Which keys the review answers to."""

from textual.binding import Binding, BindingType

REVIEW_KEYS: list[BindingType] = [
    Binding("up", "step(-1)", "Newer", show=False, tooltip="the piece above"),
    Binding("down", "step(1)", "Older", show=False, tooltip="the piece below"),
    Binding("pageup", "page(-1)", "Newer", show=False, tooltip="a page up"),
    Binding("pagedown", "page(1)", "Older", show=False, tooltip="a page down"),
    Binding("home", "step(-1000000)", "Newest", show=False, tooltip="the newest piece"),
    Binding("end", "step(1000000)", "Oldest", show=False, tooltip="the oldest piece"),
    Binding(
        "v", "void", "Void", id="void", tooltip="void the piece: it stays in the list and counts no more"
    ),
    Binding("m", "move", "Move", id="move", tooltip="move the piece to another bay, off hold too"),
    Binding("f4", "undo", "Undo", id="review-undo", tooltip="take back the last act"),
    Binding("f5", "redo", "Redo", id="review-redo", tooltip="take back the last undo"),
    Binding("f6", "leave", "Back", id="review-leave", tooltip="back to sorting; Esc does the same"),
    Binding("escape", "leave", "Back", show=False),
]
