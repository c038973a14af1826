"""What the sorting screen says, in one place. {key[undo]} stands for the key of the action "undo"."""

NOTHING_TYPED = "Type a piece, its weight first: nothing is typed. Help: {key[help]}."
NO_LAST_PIECE = 'Say what it is, or "?" for hold: there is no piece yet to repeat.'
MORE_THAN_A_WEIGHT = (
    "Enter tallies the line as it stands: same again takes a weight, and a count, and nothing else."
)
TYPE_A_WEIGHT = "Same again as {label}: type the weight, and x3 for three, then Enter."
NO_LAST_BAY = (
    "Type a bay, or Enter for the one advised: there is no piece before whose bay could be repeated."
)
LAST_WAITS = "Type a bay, or {key[other-bay]}: the piece before waits on hold, it has no bay to repeat."
TYPE_A_PIECE = "Type a piece; the same key then tallies it, clean, into {code}."
CLEAN = "+b"
"""The word of the entry line for a bare surface."""
SAME_AGAIN = "Enter: same again as {label}; a word more: a new piece."
READ_THE_STOP = "Enter once more tallies the piece, and says that you have read the STOP above."
ONLY_FIRST_LINE = (
    "{count} lines were pasted; only the first was taken. A file of lines goes in with: baywright enter FILE"
)
BAY_PUT_ON_LINE = "{code} now stands on the line; what is still missing is said below the line."
PUT_BACK = "The half-typed line from last time is back."
WAY_ON = "not taken: type on, or {key[leave-off]} clears the line"
CLEARED = "The line is cleared. {key[leave-off]} once more brings it back."
BROUGHT_BACK = "The line is back."
BAY_TITLE = "Into which bay?"
TAKE_OVER_TITLE = "Who works this run from here on?"
ACTIONS_TITLE = "Everything that can be done"
LOAD_TITLE = "Whose load from here on?"
LOAD_QUESTION = (
    "Supplier and load of the pieces from here on: Old Mill load 7. On the line: from Old Mill load 7"
)
LOAD_NONE = "nobody's: it ends here"
LOAD_NEW = "another: type it"
LOAD_GOES_ON = "The pieces go on {what}, as before the start; {key[load]} changes or ends it."
NOT_SEEN = (
    "What was left is not seen yet: {key[more]}, then left, shows it; seen on the line says you read it."
)
NOTE_TITLE = "Note for the handover"
NOTE_QUESTION = "What should the next shift know?"
PIECE_TITLE = "Piece"
CORRECTING_TITLE = "Correcting {which}"
CORRECTING_LAST = "the last piece: {which}"
CORRECTING = "Change the line; Enter puts it in the place of that piece, Esc leaves everything as it is."
CORRECTION_LEFT = "Nothing was changed."
NOTHING_TO_CORRECT = "Tally a piece first: there is none in this run yet to correct."
NO_TAG = "No piece of this run waits on hold: there is no tag to copy."
TAG_COPIED = "{tag}"
TALLY_COPIED = "The tally"
HANDOVER_COPIED = "The handover so far"
COPIED = " went to the clipboard, {count} characters, if this terminal lets programs fill it."
COLOURS_TITLE = "Which colours?"
COLOURS_CHOSEN = (
    'Colours: {name}, until you leave. To keep them: theme = "{name}" under [console] in yard.toml.'
)
TOUR_LEFT = "Practice is left, and nothing of it is kept; {key[tour]} begins it anew."
NO_READINGS_FOLDER = (
    "Write folder under [readings_files] in yard.toml, and start again: no folder for readings is set."
)
READING_PUT = "{piece} ({file}, line {line}): {shots} put on the line; {then}."
THEN_ENTER, THEN_WEIGHT = "Enter tallies", "type the weight, then Enter"
READING_WAITS = "{count} waiting, next {piece}: {key}"
READING_ON_LINE = "{piece} on the line"
READINGS_MORE = ", {count} more: {key}"
READINGS_STOPPED = "readings from files: stopped, {key[actions]} says why"
READINGS_TITLE = "Which reading?"
ASIDE_TITLE = "Set a reading aside"
ASIDE_QUESTION = "Why does the reading of {piece} go to no piece? The handover keeps these words."
READINGS_BACK = "The folder for readings can be read again."
FURTHER_NEWS = " (and {count} more: {key[actions]}, readings)"
NO_READING_WAITS = "No reading waits."
UNREADABLE = " {count} could not be read: {key[actions]}, then readings, says which."
WEIGHING = "Weighing ..."
WEIGHED = "{weight} put on the line; Enter tallies."
NO_WIRE = (
    "Write [piece_scale.wire] in yard.toml (the demo yard shows it), and start again: no scale is wired up."
)
HAS_WEIGHT = "Take the weight off the line, then weigh: it has one already, {weight}."
LINE_IS_FULL = "The line has no room for a weight."
TARE_BEGUN = "{tare} are taken off each weight from here on; {key[tare]} on an empty line ends it."
TARE_GOES_ON = "{what} are still taken off each weight; {key[tare]} on an empty line ends it."
TARE_ENDED = "No tare from here on."
TARE_HOW = "Type the weight of the empty box alone, then {key[tare]}: it is taken off each weight after it."
TARE_SHOWN = "tare {tare}"
MORE_TITLE = "Further screens and acts"
GUARDED = (
    "? sends it to hold; {key[more]}, then despite, tallies it with a reason. {first}: see above what to do."
)
"""What to do about the skin is in the warning above it: said twice it covered the bays and the candidates."""
DESPITE_TITLE = "Despite the skin"
DESPITE_QUESTION = "Why may it go into {code} though its skin was read? The ledger keeps these words."
NOT_GUARDED = "Enter tallies it: nothing keeps this piece out of its bay."
ASKED_STILL = "{symbol}? settled already"
