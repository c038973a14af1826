"""Which keys the screens behind "further screens" answer to."""

from textual.binding import Binding, BindingType

SERIES_KEYS: list[BindingType] = [
    Binding("escape", "leave", "Back", id="series-leave", tooltip="back to the line, to add a shot"),
    Binding("enter", "leave", "Back", show=False),
]
BAYS_KEYS: list[BindingType] = [
    Binding("s", "turn_to('stock')", "Stock", id="bays-stock", tooltip="what lies in every bay"),
    Binding("r", "turn_to('rules')", "Rules", id="bays-rules", tooltip="rules, overlaps and gaps"),
    Binding(
        "c",
        "turn_to('chemistry')",
        "Chemistry",
        id="bays-chemistry",
        tooltip="estimated composition, the buyers' limits and the headroom",
    ),
    Binding("d", "draw_down", "Draw down", id="draw-down", tooltip="take a bale, box or load out of a bay"),
    Binding("f4", "app.undo", "Undo", id="bays-undo", tooltip="take back the last act"),
    Binding("escape", "leave", "Back", id="bays-leave", tooltip="back to sorting"),
]
LOTS_KEYS: list[BindingType] = [
    Binding(
        "y", "right", "Right", id="lot-right", tooltip="the piece that was due is what the lot is said to be"
    ),
    Binding("x", "wrong", "Wrong", id="lot-wrong", tooltip="it is something else"),
    Binding("n", "new", "New lot", id="lot-new", tooltip="begin a lot"),
    Binding("w", "weigh", "Weigh", id="lot-weigh", tooltip="tally a lot that passed by one weight"),
    Binding("b", "back", "Take back", id="lot-back", tooltip="take the last result back"),
    Binding(
        "f4", "app.undo", "Undo", id="lot-undo", show=False, tooltip="take back the last act, a lot's too"
    ),
    Binding("f5", "app.redo", "Redo", id="lot-redo", show=False, tooltip="take back the last undo"),
    Binding("o", "other", "Other lot", id="lot-other", show=False, tooltip="another lot of this run"),
    Binding("escape", "leave", "Back", id="lot-leave", tooltip="back to sorting; the lot stays as it is"),
]
CHECKS_KEYS: list[BindingType] = [
    Binding("n", "shoot", "New shot", id="check-shoot", tooltip="enter a shot on a check sample"),
    Binding("f4", "app.undo", "Undo", id="check-undo", tooltip="take back the last act, a check shot too"),
    Binding("escape", "leave", "Back", id="check-leave", tooltip="back to sorting"),
]
