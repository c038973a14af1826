"""The entry line on one page: what can be typed, with examples; help screen and README are made from it."""

from dataclasses import dataclass

from console.entry.token_kind import TokenKind
from console.entry.vocabulary import NO_PULL, NO_PULL_SHORT, VOCABULARY, ReservedWord


@dataclass(frozen=True, slots=True, kw_only=True)
class GrammarRow:
    """One thing that can be typed."""

    topic: str
    how: str
    """How to type it."""
    example: str
    """A line or part of one that the parser understands; tested."""
    meaning: str


def _listed(kind: TokenKind) -> str:
    """Return all short forms of a kind with what they mean: "m0 none, m1 weak, m2 strong"."""
    return ", ".join(f"{row.short} {_brief(row)}" for row in VOCABULARY if row.kind is kind)


def _brief(row: ReservedWord) -> str:
    meaning = row.meaning
    for lead in ("magnet: ", "surface ", "scratch ", "heft: ", "spark: "):
        meaning = meaning.removeprefix(lead)
    return meaning


def _row(topic: str, how: str, example: str, meaning: str) -> GrammarRow:
    return GrammarRow(topic=topic, how=how, example=example, meaning=meaning)


GRAMMAR: tuple[GrammarRow, ...] = (
    _row(
        "weight",
        "a number, or with kg g lb t ston",
        "12.4",
        "weight of the whole entry, in the yard's unit; decimal point or comma; t is 1000 kg, ston 2000 lb",
    ),
    _row(
        "weight",
        "gross-tare",
        "64-28",
        "what stands in a box or on a pallet: the weight less the tare, both of one scale",
    ),
    _row(
        "scale",
        "p anywhere on the line",
        "640 p x20",
        "the platform scale weighed it, which takes more than the bench scale; its word stands in yard.toml",
    ),
    _row("count", "x3, 3x or 3pcs", "12.4 x3", "how many pieces the weight is of"),
    _row(
        "metal",
        "any name, one word or several",
        "12.4 yellow brass",
        "what it is said to be: grade, family, series, trade word, or a thing by its usual metal, which any "
        "metal said or read goes before; a slip in one word is asked, in a longer name taken and marked",
    ),
    _row(
        "metal",
        "a bare number",
        "12.4 304",
        "of two, the one that names a grade (three or four figures) is the grade; if both do, the first is "
        "the weight; a lone one is the weight beside a name, else the grade if it names one",
    ),
    _row("metal", "# before a name", "12.4 #m2", "a name, whatever else it could mean"),
    _row("bay", "its code, or @code", "12.4 304 @ssa", "put it there, whatever is advised"),
    _row(
        "bay",
        "without a blank behind the weight; short forms without one behind any word",
        "12.4ssa.sm0",
        "the same as with blanks: 12.4 ssa .s m0; so is 12.4 304.sm0, and 2.6? is 2.6 ?. A name that begins "
        "with a letter needs none either, nor a number behind a form: 8.6copper pipe, 12.4.s304",
    ),
    _row("hold", "? or hold", "12.4 ?", "put on hold with a tag"),
    _row(
        "magnet",
        f"{NO_PULL} right behind a weight or a short form",
        f"2.4.b{NO_PULL}",
        f"no pull, as {NO_PULL_SHORT}: 2.4 .b {NO_PULL_SHORT}; with a figure behind it a tare",
    ),
    _row("magnet", "m and a figure, or a word", "12.4 m0", _listed(TokenKind.MAGNET)),
    _row("colour", "k and a letter, or a word", "12.4 ky", _listed(TokenKind.COLOUR)),
    _row("scratch", 's and a letter, or "scratch" and a word', "12.4 sy", _listed(TokenKind.SCRATCH)),
    _row("heft", "h and a figure, or a word", "12.4 h2", _listed(TokenKind.HEFT)),
    _row("form", "a point and a letter, or a word", "12.4 .t", _listed(TokenKind.FORM)),
    _row("surface", "+ and a letter, or a word", "12.4 +p", _listed(TokenKind.SURFACE)),
    _row("spark", "z and a figure, or spark and a word", "12.4 z3", _listed(TokenKind.SPARK)),
    _row(
        "density",
        "d and g/cm3, a point or comma in it; or d and the grams in air/in water",
        "12.4 d8.45",
        "weighed in air and water; d8.45+-0.05 or d842.6/741.0",
    ),
    _row("conductivity", "iacs and % IACS", "12.4 iacs43", "by the meter; iacs43+-1"),
    _row(
        "reading",
        "symbol and wt %, with or without blank or =",
        "12.4 cr18.2 ni 8.1 fe=71",
        "an element reading; cr18.2+-0.3 with the uncertainty that the analyser shows",
    ),
    _row(
        "reading", "value and symbol in one word", "8 18.2cr8.1ni", "the same: two or more, one with a point"
    ),
    _row(
        "reading",
        "as a certificate has it",
        "8 Cr: 18.2 %, Ni 8.1 %, Pb 230 ppm, Fe bal",
        "% and ppm; bal or rest is what the others leave of 100; so are two or more names of elements with "
        "a figure each, copper 60 zinc 39, and figures first, 18.2 cr 8.1 ni",
    ),
    _row("reading", "< or nd after the symbol", "12.4 cu89 pb<0.02 sn nd", "below the detection limit"),
    _row(
        "reading",
        "/ or // between readings",
        "12.4 ni82 cr17 // cu61 zn36",
        "/ starts the next shot on the piece, // a shot on a spot just ground",
    ),
    _row(
        "reading",
        "= and the values alone",
        "8=18.2 8.1 71",
        "by the elements of the metal on the line, else of the last reading, in their order; - for one not "
        "read; Enter writes the symbols out",
    ),
    _row(
        "reading",
        "= and a symbol before the first value, or another",
        "8=cr18.2 8.1 mo2.1",
        "the order of the last reading of the run that began with that symbol; a symbol further on says "
        "where the order goes on",
    ),
    _row(
        "reading",
        "* and figures, the first with its symbol",
        "8*cr18.2 8.1",
        "each is of the element that stands in grey behind the line, the one that decides next, and stands "
        "there with its symbol from the blank on; - for one that the analyser does not show. The grey says "
        "where the piece is settled. Behind a reading of the run the first needs no symbol: it begins as "
        "that one did",
    ),
    _row(
        "technique",
        "xrf, libs or lab",
        "12.4 cr18.2 ni8.1 lab",
        "what the readings come from; or the name of a technique in yard.toml. It holds until another is "
        "typed and stands below the line; lab holds for one line",
    ),
    _row(
        "caution",
        "gas bottle, aerosol, sealed ...",
        "9 gas bottle",
        "a word that calls for a caution, shown with the piece; says nothing of the metal",
    ),
    _row(
        "remark",
        "offcuts, old, alt, de ...",
        "12.4 old brass offcuts",
        "a word that is understood and says nothing of the metal",
    ),
    _row(
        "load",
        "from and a name, load and a name, as a line of its own",
        "from Old Mill load 7",
        "whose load the pieces from here on belong to; from by itself ends it, undo brings it back",
    ),
    _row(
        "tag",
        "of a piece on hold or a bale, as a line of its own",
        "T1-H7",
        "opens that hold to resolve, or that sheet; typed, or scanned from its label; a label of a bay is "
        "that bay",
    ),
    _row(
        "note",
        "; and any text",
        "12.4 304 ; gate 3",
        "kept with the piece and handed over",
    ),
)
"""Every row, in the order in which a page shows them."""
