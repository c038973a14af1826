"""Contents as people and certificates write them: "Cr: 18.2 %", "pb 230ppm", "fe bal", "18.2 cr 8.1 ni",
"copper 60 zinc 39"."""

import re
from collections.abc import Callable

from console.entry.draft import Draft
from console.entry.token_kind import TokenKind
from console.ground.mass import NUMBER, as_fraction, is_number
from console.readings.element_readings import SYMBOLS, ElementValue

REST = frozenset(
    {"bal", "bal.", "balance", "rest", "rem", "rem.", "remainder", "reste", "resto", "rst", "basis", "base"}
)
"""Words for what the other elements leave, in the languages of certificates."""
_UNIT = re.compile(r"(?:%|wt\.?-?%|wt\.%|ppm)")
_FIGURE = re.compile(rf"({NUMBER})(%|ppm)?")
_REST_GLUED = re.compile(r"([a-z]{1,2})[=:]?(?:bal|rest)\.?")
PPM_PER_PCT = 10_000.0
FEWEST_IN_A_ROW = 2
"""Contents without a sign that they are some come several in a row: "copper 60" may be a weight."""

NAMED: dict[str, str] = {
    name: symbol
    for symbol, names in {
        "Ag": "silver silber argent plata argento",
        "Al": "aluminium aluminum alu aluminio alluminio",
        "Bi": "bismuth wismut",
        "C": "carbon kohlenstoff carbone carbono carbonio",
        "Cd": "cadmium",
        "Co": "cobalt kobalt cobalto",
        "Cr": "chromium chrome chrom cromo",
        "Cu": "copper kupfer cuivre cobre rame",
        "Fe": "iron eisen fer hierro ferro",
        "Mg": "magnesium magnesio",
        "Mn": "manganese mangan manganèse manganeso",
        "Mo": "molybdenum moly molybdän molybdène molibdeno",
        "Nb": "niobium niob niobio columbium",
        "Ni": "nickel níquel niquel nichel nichelio",
        "P": "phosphorus phosphor phosphore fósforo fosforo",
        "Pb": "lead blei plomb plomo piombo",
        "S": "sulphur sulfur schwefel soufre azufre zolfo",
        "Sb": "antimony antimon antimoine antimonio",
        "Si": "silicon silizium silicium silicio",
        "Sn": "tin zinn étain etain estaño stagno",
        "Ti": "titanium titan titane titanio",
        "V": "vanadium vanadio",
        "W": "tungsten wolfram tungstène wolframio",
        "Zn": "zinc zink cinc zinco",
    }.items()
    for name in names.split()
}
"""Name of an element, case-folded -> its symbol."""


def take_contents(draft: Draft) -> None:
    """Take the contents that a sign, a unit or their number tells, before a name can claim them."""
    # Most lines hold none of this: each way is looked for where a word of the line can be of it.
    keys = [word.key for word in draft.words]
    if sum(key[:1].isdigit() for key in keys) > FEWEST_IN_A_ROW:
        _take_values_first(draft)
    if sum(key in NAMED for key in keys) >= FEWEST_IN_A_ROW:
        _take_named(draft)
    if any(key.rstrip(":=") in REST or _REST_GLUED.fullmatch(key) for key in keys):
        for index in draft.free_words():
            _take_rest(draft, index)
    if any(key.endswith(("%", "ppm", ":", "=")) for key in keys):
        for index in draft.free_words():
            _take_signed(draft, index)


def _symbol(key: str) -> str | None:
    """Return the symbol that a word stands for by itself, a sign at its end left out."""
    bare = key.rstrip("=:")
    return SYMBOLS.get(bare) or NAMED.get(bare)


def _content(draft: Draft, index: int) -> tuple[float, int] | None:
    """Return the content that stands there [wt %] and how many words it takes, None where there is none."""
    if not draft.is_free(index):
        return None
    figure = _FIGURE.fullmatch(draft.key(index))
    if figure is None:
        return None
    unit, taken = figure[2] or "", 1
    if not unit and draft.is_free(index + 1) and _UNIT.fullmatch(draft.key(index + 1)):
        unit, taken = draft.key(index + 1), 2
    value = float(as_fraction(figure[1]))
    return (value / PPM_PER_PCT if unit == "ppm" else value), taken


def _is_unit(draft: Draft, index: int, taken: int) -> bool:
    """Return whether the content that takes so many words from there on is written with its unit."""
    return taken == 2 or draft.key(index).endswith(("%", "ppm"))


def _take(draft: Draft, first: int, last: int, value: ElementValue) -> None:
    draft.take(TokenKind.READING, first, last, value.meaning, problem=value.problem, value=(value,))


def _take_rest(draft: Draft, index: int) -> None:
    """Take "fe bal", "rest Cu", "fe=bal"."""
    glued = _REST_GLUED.fullmatch(draft.key(index))
    if glued is not None and glued[1] in SYMBOLS:
        _take(draft, index, index, ElementValue(symbol=SYMBOLS[glued[1]], value=None, is_rest=True))
        return
    if not draft.is_free(index, index + 1):
        return
    one, other = draft.key(index), draft.key(index + 1)
    symbol = _symbol(one) if other in REST else _symbol(other) if one.rstrip("=:") in REST else None
    if symbol is not None:
        _take(draft, index, index + 1, ElementValue(symbol=symbol, value=None, is_rest=True))


def _take_signed(draft: Draft, index: int) -> None:
    """Take "Cr: 18.2", "cr 18.2 %", "pb 230ppm", "pb230ppm"."""
    key = draft.key(index)
    glued = re.fullmatch(rf"([a-z]{{1,2}})[=:]?({NUMBER})ppm", key)
    if glued is not None and glued[1] in SYMBOLS:
        value = float(as_fraction(glued[2])) / PPM_PER_PCT
        _take(draft, index, index, ElementValue(symbol=SYMBOLS[glued[1]], value=value))
        return
    # By a name alone "iron copper 1 %" would hold 1 % of copper, and is a grade.
    symbol = _symbol(key) if key.endswith((":", "=")) else SYMBOLS.get(key)
    content = _content(draft, index + 1)
    if symbol is None or content is None:
        return
    value, taken = content
    if key.endswith((":", "=")) or _is_unit(draft, index + 1, taken):
        _take(draft, index, index + taken, ElementValue(symbol=symbol, value=value))


def _take_run(
    draft: Draft, read: Callable[[int], tuple[ElementValue, int] | None], may_be: Callable[[int, int], bool]
) -> None:
    """Take runs of contents of which one alone would not be known for one.

    Args:
        draft: The line.
        read: Place -> the content that begins there and how many words it takes.
        may_be: First place of a run and the one behind it -> whether what stands around lets it be one.
    """
    for first in draft.free_words():
        if not draft.is_free(first):
            continue
        found: list[tuple[int, int, ElementValue]] = []
        at = first
        while (one := read(at)) is not None:
            found.append((at, at + one[1] - 1, one[0]))
            at += one[1]
        if len(found) >= FEWEST_IN_A_ROW and may_be(first, at):
            for start, end, value in found:
                _take(draft, start, end, value)


def _take_values_first(draft: Draft) -> None:
    """Take "18.2 cr 8.1 ni", where a weight stands elsewhere and no figure follows: "12.4 cr 18.2 ni 8.1" has
    its symbols first."""

    def read(index: int) -> tuple[ElementValue, int] | None:
        content = _content(draft, index)
        if content is None or content[0] > 100.0 or not draft.is_free(index + content[1]):
            return None
        symbol = _symbol(draft.key(index + content[1]))
        return None if symbol is None else (ElementValue(symbol=symbol, value=content[0]), content[1] + 1)

    def may_be(first: int, behind: int) -> bool:
        follows = draft.key(behind) if behind < len(draft.words) else ""
        is_weighed = bool(draft.of_kind(TokenKind.WEIGHT)) or (first > 0 and is_number(draft.key(first - 1)))
        return is_weighed and _FIGURE.fullmatch(follows) is None and follows not in REST

    _take_run(draft, read, may_be)


def _take_named(draft: Draft) -> None:
    """Take "copper 60 zinc 39"; "titanium 6 aluminium 4 vanadium" has its figures first."""

    def read(index: int) -> tuple[ElementValue, int] | None:
        symbol = NAMED.get(draft.key(index)) if draft.is_free(index) else None
        if symbol is None:
            return None
        if draft.is_free(index + 1) and draft.key(index + 1) in REST:
            return ElementValue(symbol=symbol, value=None, is_rest=True), 2
        content = _content(draft, index + 1)
        if content is None or content[0] > 100.0:
            return None
        return ElementValue(symbol=symbol, value=content[0]), content[1] + 1

    def may_be(first: int, behind: int) -> bool:
        return behind >= len(draft.words) or draft.key(behind) not in NAMED

    _take_run(draft, read, may_be)
