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
    ("bale", "metal taken out of a bay in one go, as a bale, box or load, with a tag and a sheet"),
    ("bay", "a pile or box with one buyer's rules; it has a code of two or three letters"),
    ("check sample", "a piece of known metal that shows whether the analyser reads right"),
    ("chosen", "a person picked the bay beside the advice"),
    ("claim", "what somebody says the piece is: a stamp, a label, a word; it can be wrong"),
    ("close-out", "the end of a run: the sums against the scale tickets, signed"),
    ("core, skin", "the metal inside, and what is on it: plating, paint, dirt. A reading may be of the skin"),
    ("downgrade", "metal that a buyer took for less than was asked, or sent back"),
    ("handover", "what the next person must know, as a sheet"),
    ("hold", "the piece waits, with a number to write on it: nobody knows yet where it belongs"),
    ("how sure", "settled: it may go; leaning: likely, not proved; open: not known, so it waits"),
    ("limit", "how much of the tightest of its buyer's limits a bay has used up"),
    ("lot", "pieces that are said to be all one metal; a few are checked for all"),
    ("mended", "put right later by a new row; the first one stays to be read"),
    ("nearest", "the likeliest grade, where it is not likely enough to be the name"),
    ("no name", "no grade and no kind of metal is likelier than not"),
    ("none listed", "the chance that it is metal of which the library has no grade"),
    ("not taken", "a rule of the bay's buyer keeps the piece out"),
    ("net, tare", "what the metal weighs, and what the box or pallet weighs"),
    ("reading, shot", "what the analyser showed of one spot"),
    ("run", "one shift at one terminal, from its first piece to its close-out"),
    ("second look", "a piece drawn by lot that is looked at again, blind"),
    ("stray", "an element that the grade does not name"),
    ("taken back", "undone: the row stays, and counts no more"),
    ("twins", "grades that what was measured cannot tell apart; = stands between them"),
    ("void", "the piece stays in the list and counts no more"),
    ("worth", "the price times the chance that the buyer takes it, and less where he does not"),
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
