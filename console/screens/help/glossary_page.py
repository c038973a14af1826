"""What the words on the screen and on paper mean: one meaning each."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.screens.frames.text_screen import TextScreen

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.sorting.sorting_screen import SortingScreen

TITLE = "What the words mean"
LABEL = 25
"""Columns of the words at the left."""
GLOSSARY = (
    ("accepted", "how likely the buyer of a bay takes the piece: 93 % accepted"),
    ("advised", "the bay that the console would put the piece into; you may choose another"),
    ("alone", "how likely it is just this grade, and none of those that look the same"),
    ("analyser overdue", "its check sample was not shot in time: readings settle nothing until it was"),
    ("at edge, inside", "an element close to a limit of the grade, or well within both"),
    ("bale", "metal taken out of a bay in one go, as a bale, box or load, with a tag and a sheet"),
    ("bay", "a pile or box with one buyer's rules; it has a code of two or three letters"),
    ("CHECK", "something on the line is not clear, or does not go with the rest of it"),
    ("check sample", "a piece of known metal that shows whether the analyser reads right"),
    ("chosen", "a person picked the bay beside the advice"),
    ("claim", "what somebody says the piece is: a stamp, a label, a word; it can be wrong"),
    ("close-out", "the end of a run: the sums against the scale tickets, signed"),
    ("confidence", "how sure each limit of a planned sale is to be kept"),
    ("consignment", "what goes to one buyer at once, with its papers; sealed, it never changes"),
    ("core, skin", "the metal inside, and what is on it: plating, paint, dirt. A reading may be of the skin"),
    ("despite the skin", "tallied with a reason though the reading may be of the skin"),
    ("downgrade", "metal that a buyer took for less than was asked, or sent back"),
    ("draft", "a consignment that is begun and not sealed"),
    ("entry", "one line, of one piece or several"),
    ("family, group", "metals that are alike: austenitic stainless is a family, stainless its group"),
    ("foreign material", "what lies in a load and is not its metal: dirt, wood, oil"),
    ("guard band", "agreed with a buyer: the limit is kept even if the load is off by all of U"),
    ("handover", "what the next person must know, as a sheet"),
    ("hold", "the piece waits, with a number to write on it: nobody knows yet where it belongs"),
    ("how sure", "settled: it may go; leaning: likely, not proved; open: not known, so it waits"),
    ("in control", "the shots of a check sample scatter as they should"),
    ("kept", "how likely it is that a limit is kept"),
    ("limit", "how much of the tightest of its buyer's limits a bay has used up"),
    ("load", "what one supplier brought, by its name or number"),
    ("lot", "pieces that are said to be all one metal; a few are checked for all"),
    ("mended", "put right later by a new row; the first one stays to be read"),
    ("nearest", "the likeliest grade, where it is not likely enough to be the name"),
    ("net, gross, tare", "what the metal weighs, with its box or truck, and what that weighs alone"),
    ("no name", "no grade and no kind of metal is likelier than not"),
    ("none listed", "the chance that it is metal of which the library has no grade"),
    ("not taken", "a rule of the bay's buyer keeps the piece out"),
    ("OUTSIDE", "an element beyond a limit of the grade; a difference beyond the tolerance"),
    ("re-check, second look", "a piece drawn by lot is looked at again by somebody who is not told its bay"),
    ("reading, shot", "what the analyser showed of one spot"),
    ("residual", "an element that nobody added: every melt holds a little of some"),
    ("rest", "what the other elements leave of 100 %"),
    ("RISK, OVER", "the bay may well be beyond its tightest limit; it is likelier beyond than not"),
    ("run", "one shift at one terminal, from its first piece to its close-out"),
    ("STOP, WARN, NOTE", "cautions: read it before you go on; take care; good to know"),
    ("stray", "an element that the grade does not name"),
    ("tag", "what to write on a piece on hold, a bale or a consignment, such as T1-H7"),
    ("taken back", "undone: the row stays, and counts no more"),
    ("tally", "to count a piece into a bay; the sums of all of them"),
    ("ticket", "what the large scale prints of a load: gross and tare"),
    ("tolerance", "how far the tally may be off the tickets by the errors of the scales alone"),
    ("twins", "grades that what was measured cannot tell apart; = stands between them"),
    ("U, k = 2", "how far off a figure may be: twice its usual error"),
    ("void", "the piece stays in the list and counts no more"),
    ("worth", "the price times the chance that the buyer takes it, and less where he does not"),
    ("±, σ", "how far off a figure usually is; in 95 of 100 cases it is within twice that"),
)


def opened(_: "Desk", sorting: "SortingScreen") -> TextScreen:
    """Return the page."""
    width = max(60, sorting.app.size.width - 2)
    rows = [row for pair in GLOSSARY for row in hung(paired(*pair), width)]
    return TextScreen(TITLE, Content("\n").join(rows))


def paired(left: str, right: str) -> Content:
    """Return two texts side by side, what the right one tells of at the left."""
    return Content.assemble((left.ljust(LABEL - 1), "bold"), " ", right)


def hung(line: Content, width: int) -> list[Content]:
    """Return a line in rows of the width; what does not fit stands below the words, not below the label."""
    if line.cell_length <= width or len(line.plain) <= LABEL:
        return [line]
    first, *others = line[LABEL:].wrap(width - LABEL)
    return [line[:LABEL] + first, *[Content(" " * LABEL) + row for row in others]]
