"""Which keys the sorting screen answers to, and its actions without a key.

Help, the action list and the README read these tables. The action `do('part.act')` is a method of a part of
the sorting screen, `app.act` one of the app.
"""

from textual.binding import BindingType

from console.screens.keys.rows import quiet, shown

NEXT_READING = quiet(
    "insert",
    "do('readings.put_next')",
    "Reading",
    "next-reading",
    "put the next reading that waits onto the line; again: the one after it instead",
)
"""Resolving a piece on hold has it too."""
SORTING_KEYS: list[BindingType] = [
    shown("f2", "do('entering.other_bay')", "Bay", "other-bay", "tally into a bay of your choice"),
    shown(
        "f3",
        "do('entering.same_again')",
        "Again",
        "same-again",
        "same again: the last piece with a new weight, or weight and count",
    ),
    quiet(
        "ctrl+d",
        "do('entering.clean_same_bay')",
        "Clean, same bay",
        "clean-same-bay",
        "tally the piece on the line as a clean one, into the bay of the piece before",
    ),
    shown("f4", "app.undo", "Undo", "undo", "take back the last act"),
    quiet("f5", "app.redo", "Redo", "redo", "take back the last undo"),
    shown("f6", "app.open('review')", "Review", "review", "every piece of the run; void or move one"),
    quiet("f7", "do('questions.note')", "Note", "note", "leave a note for the next shift"),
    quiet("f8", "app.open('close-out')", "Close out", "close-out", "tickets, difference, close the run"),
    shown(
        "f9",
        "do('questions.actions')",
        "Actions",
        "actions",
        "everything that can be done, by number or by word",
    ),
    quiet(
        "ctrl+p",
        "do('correction.begin')",
        "Correct",
        "correct",
        "correct the last piece: its line comes back, Enter puts it in its place",
    ),
    quiet("ctrl+g", "app.open('grade-card')", "Grade card", "grade-card", "all that is known of the grade"),
    quiet(
        "ctrl+l",
        "do('questions.load')",
        "Load",
        "load",
        "supplier and load of the pieces from here on: begin, change, end",
    ),
    quiet("ctrl+t", "do('questions.take_over')", "Take over", "take-over", "another person works this run"),
    quiet("ctrl+r", "app.open('handover')", "Handover", "handover", "the handover of the run so far"),
    quiet("ctrl+o", "app.open('cautions')", "Cautions", "cautions", "the cautions in full"),
    quiet("f12", "do('questions.colours')", "Colours", "colours", "night, day or high contrast"),
    quiet(
        "f10",
        "do('tour.begin')",
        "Tour",
        "tour",
        "a walk round the screen, then practice pieces with known answers; again: the next step",
    ),
    quiet(
        "escape",
        "do('correction.leave_off')",
        "Leave off",
        "leave-off",
        "leave a correction, or the tour; else clear the line, and once more bring it back",
    ),
    quiet(
        "ctrl+y",
        "do('marks.shot')",
        "Shot",
        "next-shot",
        "begin a further shot on this piece, as / does; once more: on a ground spot, as // does",
    ),
    quiet(
        "ctrl+n",
        "do('marks.ground_shot')",
        "Ground",
        "ground-shot",
        "begin a shot on a spot ground just before",
    ),
    NEXT_READING,
    quiet(
        "ctrl+x",
        "do('entering.weighing.weigh')",
        "Weigh",
        "weigh",
        "put the steady weight of a wired scale onto the line; again: the weight as it is now",
    ),
    quiet(
        "ctrl+e",
        "do('entering.tare.press')",
        "Tare",
        "tare",
        "the weight on the line is an empty box: take it off each weight from here on; on an empty line: end",
    ),
    quiet(
        "ctrl+f",
        "do('questions.more')",
        "More",
        "more",
        "further screens: shots drawn, bays, uniform lots, samples, consignments, best sale; despite a skin",
    ),
    quiet(
        "up",
        "do('entering.step', -1)",
        "Above",
        "step-up",
        "candidate above; on an empty line the line before",
    ),
    quiet("down", "do('entering.step', 1)", "Below", "step-down", "candidate below; the line after"),
    quiet("pageup", "do('panes.candidates.step', -1)", "Above", "candidate-up", "candidate above, always"),
    quiet("pagedown", "do('panes.candidates.step', 1)", "Below", "candidate-down", "candidate below, always"),
]

FURTHER_ACTIONS = (
    ("app.open('series')", "shots on this piece, drawn from the skin to the core"),
    ("app.open('bays')", "bays: stock, rules, chemistry; take a bale out; a downgrade"),
    ("app.open('lots')", "a lot that is said to be all one metal: which pieces to check"),
    ("app.open('checks')", "check samples: state of the analyser, charts, a new shot"),
    (
        "do('entering.despite_skin')",
        "despite the skin: tally it all the same, with a reason",
    ),
    ("do('tour.practise')", "practice: invented pieces with known answers"),
    ("app.open('left')", "left by the shift before: holds, notes, lots, samples"),
    ("app.open('rechecks')", "blind re-checks: what comes back, how often it was right"),
    ("app.open('consignments')", "consignments: what goes to which buyer, limits, seal, papers"),
    ("app.open('plan')", "best sale: what to which order for the most money"),
)
"""What the list of further screens and acts offers: the action, and how it is shown."""
CHANGE_THE_LINE = frozenset(
    {
        "next-reading",
        "next-shot",
        "ground-shot",
        "same-again",
        "clean-same-bay",
        "weigh",
        "tare",
        "leave-off",
    }
)
"""Keys that read the line or put words onto it: they keep their place among the letters typed around them."""

KEYLESS_ACTIONS = (
    ("do('readings.choose')", "Choose reading: which waiting one goes onto the line"),
    ("do('readings.set_aside')", "Set aside: a reading that goes to no piece, with a reason"),
    ("app.open('glossary')", "Words: what settled, twins, none listed and the others mean"),
    ("do('questions.copying.tag')", "Copy tag: that of the newest piece on hold, to the clipboard"),
    ("do('questions.copying.tally')", "Copy tally: pieces and weight by bay, to the clipboard"),
    ("do('questions.copying.handover')", "Copy handover: of the run so far, to the clipboard"),
    ("app.open('readings')", "Readings: what waits, and what could not be read"),
)
"""What the action list offers beside the keys: the action, and how it is shown."""
