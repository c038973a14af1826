"""What is said while sorting line by line, in one place."""

GREETING = "{person} sorts, {entries} in this run. help tells what can be typed; quit leaves."
HELP = (
    "One piece, one line: weight, what you see, Enter, such as 12.4 304. A weight alone is the same again. "
    "? is hold, a bay code is that bay, from NAME load NAME is whose load. "
    "look LINE says what it would become; bay LINE asks for a bay; correct, or correct LINE, mends the last "
    "piece; a tag resolves that hold or reads that bale's sheet; waiting says the holds; despite REASON "
    "tallies what its skin keeps out of a dear bay; undo, redo, tally, last, note TEXT, ticket GROSS TARE, "
    "person NAME; close closes the run; leave leaves a question; quit."
)
STOP = "STOP. {title}: {text} Not tallied yet: the same line once more says that you have read this."
DESPITE = "Not done: ? sends it to hold, despite and your reason tallies it. {why}"
NOTHING_GUARDED = "Nothing keeps a piece out of its bay: type the piece."
CORRECTING = (
    "Correcting {which}, typed as: {line}. Type the whole line as it should be; leave changes nothing."
)
KEPT_BAY = "{code}: type the piece, it goes there."
NO_TAG = "Say which: resolve T1-H7, or the tag alone; waiting says the tags."
NOTHING_YET = "There is no piece in this run yet."
NOTHING_WAITS = "Nothing waits on hold."
NOTHING_TO_LEAVE = "No question is open. quit leaves."
UNCHANGED = "Left as it was."
CLOSED = "The next start opens the next run."
LEFT = "Left; the run stays open."
