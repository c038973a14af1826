"""The reserved words of the entry line and what each means: one list for parser, help screen and README."""

import functools
import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import TypeVar

from console.entry.token_kind import TokenKind
from console.entry.words_abroad import ATTACHED, REMARKS, abroad, spoken
from grade_library.facts import Form, Heft, MagnetPull, Spark, Surface
from grade_library.grade import Colour
from grade_library.naming.name_text import UMLAUTS, plain, singulars

_Meaning = TypeVar("_Meaning")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReservedWord:
    """One meaning and every way to type it."""

    kind: TokenKind
    value: StrEnum | str | None
    """What it stands for; None for the attachment and hold marks."""
    short: str
    """The fewest keys."""
    words: tuple[str, ...]
    """Other ways, lower case; a plural "s" is understood by itself. Two words are one entry: "blue grey"."""
    meaning: str
    """For echo and help."""


def _rows(kind: TokenKind, *rows: tuple[StrEnum | str, str, str, str]) -> tuple[ReservedWord, ...]:
    return tuple(
        ReservedWord(
            kind=kind,
            value=value,
            short=short,
            words=tuple(word.strip() for word in words.split(",") if word.strip()),
            meaning=meaning,
        )
        for value, short, words, meaning in rows
    )


_NOT_MAGNETIC = "nonmag, nonmagnetic, non-magnetic, non magnetic, not magnetic"
_WEAKLY = (
    "weak, weakly magnetic, slightly magnetic, barely magnetic, bit magnetic, little magnetic, "
    "faintly magnetic, hardly magnetic, somewhat magnetic"
)
_STRONGLY = "magnetic, strong, stick, strongly magnetic"
_MAGNET = _rows(
    TokenKind.MAGNET,
    (MagnetPull.NONE, "m0", f"{_NOT_MAGNETIC}, no magnet, magnet none, magnet no", "magnet: none"),
    (MagnetPull.WEAK, "m1", f"{_WEAKLY}, magnet weak, weak magnet", "magnet: weak"),
    (MagnetPull.STRONG, "m2", f"{_STRONGLY}, magnet strong, strong magnet, magnet yes", "magnet: strong"),
)

NO_PULL, NO_PULL_SHORT = "-", "m0"
"""Right behind a weight or a short form the one says what the other says, the finding that most pieces of a
yard bring; elsewhere it parts words and figures."""

COLOUR_LETTERS: Mapping[Colour, str] = MappingProxyType(
    {
        Colour.RED: "r",
        Colour.REDDISH: "d",
        Colour.YELLOW: "y",
        Colour.GOLDEN: "o",  # "kg" is taken by the weight
        Colour.WARM_WHITE: "n",
        Colour.WHITE: "w",
        Colour.GREY: "e",
        Colour.BLUE_GREY: "b",
        Colour.DARK: "x",
    }
)
"""Second key of a colour: after k for the surface, after s for a fresh scratch."""

_COLOUR_WORDS: Mapping[Colour, tuple[str, ...]] = {
    Colour.RED: ("red",),
    Colour.REDDISH: ("reddish", "pinkish"),
    Colour.YELLOW: ("yellow",),
    Colour.GOLDEN: ("golden",),
    Colour.WARM_WHITE: ("warm white", "warm-white"),
    Colour.WHITE: ("white",),
    Colour.GREY: ("grey", "gray"),
    Colour.BLUE_GREY: ("blue grey", "blue gray", "blue-grey", "bluish"),
    Colour.DARK: ("dark", "dark grey", "dark gray"),
}


_COLOURED = (
    (TokenKind.COLOUR, "k", "surface", ("",)),
    (TokenKind.SCRATCH, "s", "scratch", ("scratch ", "s ", "file ")),
)
"""Kind, its letter, what it is said of, and what stands before the colour."""


def _colour_rows() -> tuple[ReservedWord, ...]:
    return tuple(
        ReservedWord(
            kind=kind,
            value=colour,
            short=f"{sign}{letter}",
            words=tuple(f"{lead}{word}" for lead in leads for word in _COLOUR_WORDS[colour]),
            meaning=f"{of} {colour.value}",
        )
        for kind, sign, of, leads in _COLOURED
        for colour, letter in COLOUR_LETTERS.items()
    )


_HEFT = _rows(
    TokenKind.HEFT,
    (Heft.VERY_LIGHT, "h1", "very light, featherlight", "heft: very light, as magnesium"),
    (Heft.LIGHT, "h2", "light, hl", "heft: light, as aluminium"),
    (Heft.MIDDLING, "h3", "middling", "heft: middling, as titanium"),
    (Heft.NORMAL, "h4", "normal", "heft: normal, as iron, zinc, copper"),
    (Heft.HEAVY, "h5", "heavy, hh, very heavy", "heft: heavy, as lead"),
)

_FORM = _rows(
    TokenKind.FORM,
    (Form.SHEET, ".s", "sheet, sht", "sheet"),
    (Form.PLATE, ".p", "plate", "plate"),
    (Form.FOIL, ".f", "foil", "foil"),
    (Form.EXTRUSION, ".e", "ext, extrusion, extruded, profile", "extrusion"),
    (Form.BAR, ".b", "bar, rod, bar/rod, bus, busbar", "bar or rod"),
    (Form.WIRE, ".w", "wire", "wire"),
    (Form.CABLE, ".l", "cable", "cable"),
    (Form.TUBE, ".t", "tube, pipe, tubing, tube/pipe", "tube or pipe"),
    (Form.CASTING, ".c", "cast, casting", "casting"),
    (Form.FORGING, ".g", "forg, forging, forged", "forging"),
    (Form.FASTENER, ".n", "bolt, nut, screw, fastener", "fastener"),
    (Form.FITTING, ".v", "fitting, valve, tap, faucet", "valve, tap or fitting"),
    (Form.SPRING, ".r", "spring", "spring"),
    (Form.TOOL, ".o", "tool, spanner, wrench, hammer, screwdriver, pliers, crowbar, file, rasp", "tool"),
    (Form.WHEEL, ".h", "wheel, rim", "wheel"),
    (Form.RADIATOR, ".d", "rad, radiator", "radiator"),
    (Form.CAN, ".a", "can", "can"),
    (Form.TURNINGS, ".u", "turn, turning, boring, swarf", "turnings"),
    (Form.STRUCTURAL, ".m", "beam, angle, rail, structural", "beam, angle or rail"),
)

_SURFACE = _rows(
    TokenKind.SURFACE,
    (Surface.BARE, "+b", "bare, clean", "bare"),
    (Surface.PAINTED, "+p", "painted, paint, lacquered", "painted"),
    (Surface.PLATED, "+c", "plated, chrome, chromed, chrome plated, nickel plated", "plated"),
    (Surface.ANODISED, "+a", "anodised, anodized", "anodised"),
    (Surface.GALVANISED, "+g", "galv, galvanised, galvanized", "galvanised"),
    (Surface.RUSTY, "+r", "rusty, rust", "rusty"),
    (Surface.DIRTY, "+d", "dirty, dirt", "dirty"),
    (Surface.OILY, "+o", "oily, oil, greasy", "oily"),
    (ATTACHED, "+x", "att, attached, attachment, irony", "attachments hang on it"),
)

_SPARK = _rows(
    TokenKind.SPARK,
    (Spark.NONE, "z0", "sp0, spark none, no spark", "spark: none"),
    (Spark.SHORT_DARK, "z1", "sp1, spark short, spark dark, spark red", "spark: short and dark"),
    (Spark.STRAW, "z2", "sp2, spark straw, spark orange", "spark: straw, few bursts"),
    (Spark.BURSTING, "z3", "sp3, spark bursting, spark forked", "spark: long, bursting"),
    (Spark.WHITE, "z4", "sp4, spark white", "spark: brilliant white"),
)

_TECHNIQUE = _rows(
    TokenKind.TECHNIQUE,
    ("xrf", "xrf", "x-ray, xray", "reading by x-rays"),
    ("libs", "libs", "laser", "reading by laser plasma"),
    ("lab", "lab", "cert, certificate", "reading from a certificate or laboratory"),
)

_HOLD = (
    ReservedWord(
        kind=TokenKind.HOLD, value=None, short="?", words=("hold",), meaning="put on hold with a tag"
    ),
)

VOCABULARY: tuple[ReservedWord, ...] = (
    _MAGNET + _colour_rows() + _HEFT + _FORM + _SURFACE + _SPARK + _TECHNIQUE + _HOLD
)
"""Every reserved word of the entry line."""


def _spelt(word: str) -> tuple[str, ...]:
    """Return a word as it is looked up: without accents, an umlaut also with an e behind the letter."""
    return tuple(dict.fromkeys((plain(word), plain(word.translate(UMLAUTS)))))


def _by_word() -> dict[str, ReservedWord]:
    table: dict[str, ReservedWord] = {}
    for row in VOCABULARY:
        for word in (row.short, *row.words):
            if table.setdefault(word, row) is not row:
                raise AssertionError(f'the entry word "{word}" stands for two things')
    for row in VOCABULARY:
        if row.kind is TokenKind.SCRATCH or row.value is None:
            continue
        for word in abroad(row.value):
            for spelling in _spelt(word):
                other = table.setdefault(spelling, row)
                if other is not row and (other.kind, other.value) != (row.kind, row.value):
                    raise AssertionError(f'the entry word "{word}" stands for two things')
    return table


BY_WORD: Mapping[str, ReservedWord] = MappingProxyType(_by_word())
"""Way to type it, lower case and without accents -> meaning."""


def _remarks() -> dict[str, str]:
    table: dict[str, str] = {}
    for said, words in REMARKS.items():
        for word in spoken(words):
            for spelling in _spelt(word):
                if spelling in BY_WORD:
                    raise AssertionError(f'the remark "{word}" is an entry word')
                table.setdefault(spelling, said)
    return table


REMARK_BY_WORD: Mapping[str, str] = MappingProxyType(_remarks())
"""Word that says nothing of the metal, lower case and without accents -> what it says."""

LONGEST_PHRASE = max(word.count(" ") + 1 for word in (*BY_WORD, *REMARK_BY_WORD))
"""Most words in one reserved phrase."""
_SHORTEST_PLURAL = 4
"""A shorter word is no plural: "los", "vis"."""


@functools.lru_cache(maxsize=4096)
def reserved(phrase: str) -> ReservedWord | None:
    """Return what a word or phrase is reserved for, case-blind, plural or not; None where it is free.

    >>> reserved("Bolts").meaning, reserved("Rohre").meaning
    ('fastener', 'tube or pipe')
    """
    return _found(phrase, BY_WORD)


JOINS = "joins"
"""What `remark` says of a word that only joins."""


@functools.lru_cache(maxsize=4096)
def remark(phrase: str) -> str | None:
    """Return what a word says that speaks for no metal, None where it is no such word.

    >>> remark("offcuts"), remark("Abschnitte"), remark("brass")
    ('offcuts', 'offcuts', None)
    """
    return _found(phrase, REMARK_BY_WORD)


def is_literal(phrase: str) -> bool:
    """Return True for a word that stands in the vocabulary as typed, and is no guessed plural of one."""
    folded = plain(phrase)
    is_known = folded in BY_WORD or folded in REMARK_BY_WORD
    return is_known and not (_is_other_word(phrase, BY_WORD) and _is_other_word(phrase, REMARK_BY_WORD))


def _found(phrase: str, table: Mapping[str, _Meaning]) -> _Meaning | None:
    folded = plain(phrase)
    if folded in table:
        return None if _is_other_word(phrase, table) else table[folded]
    if len(folded) < _SHORTEST_PLURAL:
        return None
    return next((table[one] for one in singulars(folded) if len(one) >= 3 and one in table), None)


def _is_other_word(phrase: str, table: Mapping[str, object]) -> bool:
    """Return True where only the umlaut typed tells it from a word of the table: "Spüle" is no "Spule"."""
    folded = phrase.casefold()
    written_out = plain(folded.translate(UMLAUTS))
    return written_out != plain(folded) and written_out not in table


def says_form(keys: Sequence[str], form: Form) -> bool:
    """Return True where a word, or two side by side, name a form: "bolts", "cap screw".

    >>> says_form(["5", "m10", "bolts"], Form.FASTENER), says_form(["5", "brass"], Form.FASTENER)
    (True, False)
    """
    pairs = [" ".join(pair) for pair in itertools.pairwise(keys)]
    return any(word is not None and word.value is form for word in map(reserved, (*keys, *pairs)))
