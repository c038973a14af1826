"""Which keys the review answers to. The action `mend('act')` is a method of `review/mending.py`."""

from textual.binding import Binding, BindingType

from console.screens.keys.rows import quiet, shown

REVIEW_KEYS: list[BindingType] = [
    Binding("up", "step(-1)", "Above", show=False, tooltip="the piece above"),
    Binding("down", "step(1)", "Below", show=False, tooltip="the piece below"),
    Binding("pageup", "page(-1)", "Page up", show=False, tooltip="a page up"),
    Binding("pagedown", "page(1)", "Page down", show=False, tooltip="a page down"),
    Binding("home", "step(-1000000)", "First", show=False, tooltip="the first piece of the list"),
    Binding("end", "step(1000000)", "Last", show=False, tooltip="the last piece of the list"),
    shown("v", "mend('void')", "Void", "void", "void the piece: it stays in the list and counts no more"),
    shown("m", "mend('move')", "Move", "move", "move the piece to another bay, off hold too"),
    shown("w", "mend('reweigh')", "Weigh", "reweigh", "correct the weight of the piece"),
    shown(
        "r",
        "mend('resolve')",
        "Resolve",
        "resolve",
        "name a piece on hold with a new reading or finding, and send it to its bay",
    ),
    quiet(
        "c",
        "mend('correct')",
        "Correct",
        "review-correct",
        "correct the piece: its line comes back to be changed, Enter puts it in its place",
    ),
    quiet(
        "l",
        "mend('load')",
        "Load",
        "review-load",
        "say whose load the marked pieces are of; without marks those of the filter, else this one",
    ),
    quiet(
        "space",
        "mend('mark')",
        "Mark",
        "review-mark",
        "mark the piece, or take the mark away; the next one follows",
    ),
    quiet(
        "e",
        "mend('explain')",
        "Why",
        "review-explain",
        "what was known when the piece was placed: readings, candidates, reasons",
    ),
    quiet(
        "k",
        "app.open('rechecks')",
        "Re-checks",
        "review-rechecks",
        "the blind re-checks: how often a piece was put where it belongs",
    ),
    quiet(
        "b",
        "before",
        "Before",
        "review-before",
        "the pieces of the run before too, to mend what is found late; once more: without them",
    ),
    shown(
        "s",
        "order('sort')",
        "Sort",
        "review-sort",
        "sort by time, bay, grade, state, doubt, person or weight, one after the other",
    ),
    quiet("t", "order('turn')", "Turn", "review-turn", "turn the order round"),
    quiet(
        "h",
        "order('holds')",
        "Holds",
        "review-holds",
        "pieces on hold first, those of earlier runs too; once more: as before",
    ),
    shown(
        "slash",
        "filter",
        "Filter",
        "review-filter",
        "type words: only pieces with all of them in some column stay; Enter keeps it, Esc ends it",
    ),
    quiet("f4", "app.undo", "Undo", "review-undo", "take back the last act"),
    quiet("f5", "app.redo", "Redo", "review-redo", "take back the last undo"),
    shown("f6", "leave", "Back", "review-leave", "back to sorting; Esc does the same"),
    Binding("escape", "back", "Back", show=False),
]
