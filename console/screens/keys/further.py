"""Which keys the screens behind "further screens" answer to."""

from textual.binding import Binding, BindingType

from console.screens.keys.rows import quiet, shown

SERIES_KEYS: list[BindingType] = [
    shown("escape", "leave", "Back", "series-leave", "back to the line, to add a shot"),
    Binding("enter", "leave", "Back", show=False),
]
BAYS_KEYS: list[BindingType] = [
    shown("s", "turn_to('stock')", "Stock", "bays-stock", "what lies in every bay"),
    shown("r", "turn_to('rules')", "Rules", "bays-rules", "rules, overlaps and gaps"),
    shown(
        "c",
        "turn_to('chemistry')",
        "Chemistry",
        "bays-chemistry",
        "estimated composition, the buyers' limits and the headroom",
    ),
    shown("d", "draw_down", "Bale", "draw-down", "take a bale, box or load out of a bay"),
    shown("g", "downgrade", "Downgrade", "downgrade", "enter what a buyer turned down of a bale or load"),
    quiet("f4", "app.undo", "Undo", "bays-undo", "take back the last act"),
    quiet("f5", "app.redo", "Redo", "bays-redo", "take back the last undo"),
    shown("escape", "leave", "Back", "bays-leave", "back to sorting"),
]
LOTS_KEYS: list[BindingType] = [
    shown("y", "right", "Right", "lot-right", "the piece that was due is what the lot is said to be"),
    shown("x", "wrong", "Wrong", "lot-wrong", "it is something else"),
    shown("n", "new", "New lot", "lot-new", "begin a lot"),
    shown("w", "weigh", "Weigh", "lot-weigh", "tally a lot that passed by one weight"),
    shown("b", "back", "Take back", "lot-back", "take the last result back"),
    quiet("f4", "app.undo", "Undo", "lot-undo", "take back the last act, a lot's too"),
    quiet("f5", "app.redo", "Redo", "lot-redo", "take back the last undo"),
    quiet("o", "other", "Other lot", "lot-other", "another lot of this run"),
    shown("escape", "leave", "Back", "lot-leave", "back to sorting; the lot stays as it is"),
]
LEFT_KEYS: list[BindingType] = [
    shown("pagedown", "page(1)", "Page down", "left-down", "a page down"),
    shown("pageup", "page(-1)", "Page up", "left-up", "a page up"),
    shown("escape", "leave", "Later", "left-leave", "to the line; the page comes back until it was seen"),
]
RECHECKS_KEYS: list[BindingType] = [
    shown("n", "settle", "Look again", "recheck-settle", "enter what a second look at a piece found"),
    shown("f4", "app.undo", "Undo", "recheck-undo", "take back the last act, a second look too"),
    quiet("f5", "app.redo", "Redo", "recheck-redo", "take back the last undo"),
    shown("escape", "leave", "Back", "recheck-leave", "back to where it was opened"),
]
CHECKS_KEYS: list[BindingType] = [
    shown("n", "shoot", "New shot", "check-shoot", "enter a shot on a check sample"),
    shown("f4", "app.undo", "Undo", "check-undo", "take back the last act, a check shot too"),
    quiet("f5", "app.redo", "Redo", "check-redo", "take back the last undo"),
    shown("escape", "leave", "Back", "check-leave", "back to sorting"),
]
CONSIGNMENTS_KEYS: list[BindingType] = [
    shown("n", "new", "New", "load-new", "begin a consignment for an order of a buyer"),
    shown("p", "put", "Put in", "load-put", "put bales and loose amounts of bays in"),
    shown("t", "ask('take')", "Take out", "load-take", "take parts out again"),
    shown("s", "seal", "Seal", "load-seal", "seal it: it never changes from here on"),
    shown("r", "papers", "Papers", "load-papers", "write its papers into the yard's folder"),
    quiet("w", "ask('weigh')", "Weigh", "load-weigh", "what it weighs as a whole: net, or gross and tare"),
    quiet("m", "ask('foreign')", "Foreign", "load-foreign", "foreign material, weighed out of a sample"),
    quiet("k", "ask('tick')", "Criterion", "load-tick", "say how a criterion of the statement stands"),
    quiet("y", "ask('radiation')", "Radiation", "load-radiation", "radiation measured round it"),
    quiet("d", "ask('send')", "Left", "load-send", "a sealed one left the yard"),
    quiet("b", "ask('found')", "Found", "load-found", "what the buyer found: weight, analysis, yield, money"),
    quiet("o", "other", "Other", "load-other", "another consignment"),
    quiet("f4", "app.undo", "Undo", "load-undo", "take back the last act, until it is sealed"),
    quiet("f5", "app.redo", "Redo", "load-redo", "take back the last undo"),
    shown("escape", "leave", "Back", "load-leave", "back to sorting"),
]
PLAN_KEYS: list[BindingType] = [
    shown("c", "confidence", "Confidence", "plan-confidence", "another confidence: 80, 90, 95, 99 %"),
    shown("m", "longer", "Longer", "plan-longer", "search longer: 2, 10, 60 seconds"),
    shown("r", "look", "Again", "plan-again", "plan again, with what lies there now"),
    shown("d", "draft", "Drafts", "plan-draft", "begin a consignment for every order, with its parts in it"),
    shown("f4", "app.undo", "Undo", "plan-undo", "take back the last act, all the drafts at once"),
    quiet("f5", "app.redo", "Redo", "plan-redo", "take back the last undo"),
    shown("escape", "leave", "Back", "plan-leave", "back to sorting; a search that runs is ended"),
]
