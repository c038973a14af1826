"""Which keys the sorting screen answers to, and its actions without a key.

Help, the action list and the README read these tables. The action `do('part.act')` is a method of a part of
the sorting screen, `app.act` one of the app.
"""

from textual.binding import Binding, BindingType

SORTING_KEYS: list[BindingType] = [
    Binding(
        "f2", "do('entering.other_bay')", "Bay", id="other-bay", tooltip="tally into a bay of your choice"
    ),
    Binding(
        "f3",
        "do('entering.same_again')",
        "Again",
        id="same-again",
        tooltip="same again: the last piece with a new weight",
    ),
    Binding("f4", "app.undo", "Undo", id="undo", tooltip="take back the last act"),
    Binding("f5", "app.redo", "Redo", id="redo", show=False, tooltip="take back the last undo"),
    Binding(
        "f6", "app.open('review')", "Review", id="review", tooltip="every piece of the run; void or move one"
    ),
    Binding(
        "f7", "do('questions.note')", "Note", id="note", show=False, tooltip="leave a note for the next shift"
    ),
    Binding(
        "f8",
        "app.open('close-out')",
        "Close out",
        id="close-out",
        show=False,
        tooltip="tickets, difference, close the run",
    ),
    Binding(
        "f9",
        "do('questions.actions')",
        "Actions",
        id="actions",
        tooltip="everything that can be done, by number or by word",
    ),
    Binding(
        "ctrl+p",
        "do('correction.begin')",
        "Correct",
        id="correct",
        show=False,
        tooltip="correct the last piece: its line comes back, Enter puts it in its place",
    ),
    Binding(
        "ctrl+g",
        "app.open('grade-card')",
        "Grade card",
        id="grade-card",
        show=False,
        tooltip="all that is known of the grade",
    ),
    Binding(
        "ctrl+t",
        "do('questions.take_over')",
        "Take over",
        id="take-over",
        show=False,
        tooltip="another person works this run",
    ),
    Binding(
        "ctrl+r",
        "app.open('handover')",
        "Handover",
        id="handover",
        show=False,
        tooltip="the handover of the run so far",
    ),
    Binding(
        "ctrl+o",
        "app.open('cautions')",
        "Cautions",
        id="cautions",
        show=False,
        tooltip="the cautions in full",
    ),
    Binding(
        "f12",
        "do('questions.colours')",
        "Colours",
        id="colours",
        show=False,
        tooltip="night, day or high contrast",
    ),
    Binding(
        "f10",
        "do('tour.begin')",
        "Tour",
        id="tour",
        show=False,
        tooltip="a walk round the screen in two minutes",
    ),
    Binding(
        "escape",
        "do('correction.leave_off')",
        "Leave off",
        id="leave-off",
        show=False,
        tooltip="leave a correction, or the tour",
    ),
    Binding(
        "ctrl+y",
        "do('marks.shot')",
        "Shot",
        id="next-shot",
        show=False,
        tooltip="begin a further shot on this piece, as / does; once more: on a ground spot, as // does",
    ),
    Binding(
        "ctrl+n",
        "do('marks.ground_shot')",
        "Ground",
        id="ground-shot",
        show=False,
        tooltip="begin a shot on a spot ground just before",
    ),
    Binding(
        "insert",
        "do('readings.put_next')",
        "Reading",
        id="next-reading",
        show=False,
        tooltip="put the next reading that waits onto the line; again: the one after it instead",
    ),
    Binding(
        "ctrl+f",
        "do('questions.more')",
        "More",
        id="more",
        show=False,
        tooltip="further screens: shots drawn, bays, uniform lots, check samples; tally despite a skin",
    ),
    Binding(
        "up",
        "do('entering.step', -1)",
        "Above",
        id="step-up",
        show=False,
        tooltip="candidate above; on an empty line the line before",
    ),
    Binding(
        "down",
        "do('entering.step', 1)",
        "Below",
        id="step-down",
        show=False,
        tooltip="candidate below; the line after",
    ),
    Binding(
        "pageup",
        "do('panes.candidates.step', -1)",
        "Above",
        id="candidate-up",
        show=False,
        tooltip="candidate above, always",
    ),
    Binding(
        "pagedown",
        "do('panes.candidates.step', 1)",
        "Below",
        id="candidate-down",
        show=False,
        tooltip="candidate below, always",
    ),
]

FURTHER_ACTIONS = (
    ("app.open('series')", "shots on this piece, drawn from the skin to the core"),
    ("app.open('bays')", "bays: rules, overlaps and gaps, stock, chemistry, draw-down"),
    ("app.open('lots')", "a lot that is said to be all one metal: which pieces to check"),
    ("app.open('checks')", "check samples: state of the analyser, charts, a new shot"),
    (
        "do('entering.despite_skin')",
        "despite the skin: tally this piece though its skin was read, with a reason",
    ),
)
"""What the list of further screens and acts offers: the action, and how it is shown."""
CHANGE_THE_LINE = frozenset({"next-reading", "next-shot", "ground-shot", "same-again"})
"""Keys that read the line or put words onto it: they keep their place among the letters typed around them."""

KEYLESS_ACTIONS = (
    ("do('readings.choose')", "Choose reading: which waiting one goes onto the line"),
    ("do('readings.set_aside')", "Set aside: a reading that goes to no piece, with a reason"),
    ("app.open('readings')", "Readings: what waits, and what could not be read"),
)
"""What the action list offers beside the keys: the action, and how it is shown."""
