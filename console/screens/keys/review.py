"""Which keys the review answers to."""

from textual.binding import Binding, BindingType

REVIEW_KEYS: list[BindingType] = [
    Binding("up", "step(-1)", "Above", show=False, tooltip="the piece above"),
    Binding("down", "step(1)", "Below", show=False, tooltip="the piece below"),
    Binding("pageup", "page(-1)", "Page up", show=False, tooltip="a page up"),
    Binding("pagedown", "page(1)", "Page down", show=False, tooltip="a page down"),
    Binding("home", "step(-1000000)", "First", show=False, tooltip="the first piece of the list"),
    Binding("end", "step(1000000)", "Last", show=False, tooltip="the last piece of the list"),
    Binding(
        "v", "void", "Void", id="void", tooltip="void the piece: it stays in the list and counts no more"
    ),
    Binding("m", "move", "Move", id="move", tooltip="move the piece to another bay, off hold too"),
    Binding("w", "reweigh", "Weigh", id="reweigh", tooltip="correct the weight of the piece"),
    Binding(
        "r",
        "resolve",
        "Resolve",
        id="resolve",
        tooltip="name a piece on hold with a new reading or finding, and send it to its bay",
    ),
    Binding(
        "e",
        "explain",
        "Why",
        id="review-explain",
        show=False,
        tooltip="what was known when the piece was placed: readings, candidates, reasons",
    ),
    Binding(
        "b",
        "before",
        "Before",
        id="review-before",
        show=False,
        tooltip="the pieces of the run before too, to mend what is found late; once more: without them",
    ),
    Binding(
        "s",
        "sort",
        "Sort",
        id="review-sort",
        tooltip="sort by time, bay, grade, state, doubt, person or weight, one after the other",
    ),
    Binding("t", "turn", "Turn", id="review-turn", show=False, tooltip="turn the order round"),
    Binding(
        "h",
        "holds",
        "Holds",
        id="review-holds",
        show=False,
        tooltip="pieces on hold first, those of earlier runs too; once more: as before",
    ),
    Binding(
        "slash",
        "filter",
        "Filter",
        id="review-filter",
        tooltip="type words: only pieces with all of them in some column stay; Enter keeps it, Esc ends it",
    ),
    Binding("f4", "undo", "Undo", id="review-undo", show=False, tooltip="take back the last act"),
    Binding("f5", "redo", "Redo", id="review-redo", show=False, tooltip="take back the last undo"),
    Binding("f6", "leave", "Back", id="review-leave", tooltip="back to sorting; Esc does the same"),
    Binding("escape", "back", "Back", show=False),
]
