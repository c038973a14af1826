"""The code on a label: black and white modules, drawn as one path."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby

from console.ground.errors import BaywrightError
from console.ground.scanned import bare_tag

NO_EXTRA = "Labels need two packages more: pip install 'baywright[labels]'."
QUIET = {"qr": 4, "code128": 10}
"""White modules round a code. Sources: ISO/IEC 18004 (QR: four modules), ISO/IEC 15417 (Code 128: ten times
the narrowest bar), both memory."""
LETTERS = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789")
"""What a scanner types alike on every keyboard layout with Latin letters in their usual places (memory)."""


class CodeKind(StrEnum):
    """Which code stands on a label."""

    QR = "qr"
    CODE128 = "code128"


class LabelError(BaywrightError, ValueError):
    """A label cannot be made; the message says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A code, in modules of its narrowest bar."""

    content: str
    width: int
    """With the white round it [modules]."""
    height: int
    """Of a QR code the same as the width; 1 for bars, which are drawn as high as there is room."""
    path: str
    """SVG path of all that is black."""


def scanned_form(tag: str) -> str:
    """Return a tag as a scanner types it: letters A to Z and digits only.

    Raises:
        LabelError: It holds other characters than letters, digits and the lines between them.

    >>> scanned_form("T1-H7"), scanned_form("gate-2-ALO-0003")
    ('T1H7', 'GATE2ALO0003')
    """
    content = bare_tag(tag)
    # Upper case of ß is SS: what is no ASCII letter is none on a keyboard of another country either.
    if not content or not tag.isascii() or not set(content) <= LETTERS:
        raise LabelError(
            f'"{tag}" cannot be printed as a code: only letters A to Z and digits can be scanned'
        )
    return content


def code_of(content: str, kind: CodeKind) -> Code:
    """Return the code of a content that `scanned_form` made.

    Raises:
        LabelError: The extra that draws codes is not installed.
    """
    rows = _qr(content) if kind is CodeKind.QR else _bars(content)
    quiet = QUIET[kind.value]
    above = quiet if kind is CodeKind.QR else 0
    return Code(
        content=content,
        width=len(rows[0]) + 2 * quiet,
        height=len(rows) + 2 * above,
        path="".join(_runs(rows, quiet, above)),
    )


def _qr(content: str) -> list[list[bool]]:
    """Return the modules of a QR code that bears a good deal of dirt: level Q mends a quarter of it."""
    try:
        import segno
    except ImportError:
        raise LabelError(NO_EXTRA) from None
    return [[bool(module) for module in row] for row in segno.make_qr(content, error="q").matrix]


def _bars(content: str) -> list[list[bool]]:
    """Return the bars of Code 128 with its check character."""
    try:
        from barcode.codex import Code128
    except ImportError:
        raise LabelError(NO_EXTRA) from None
    return [[module == "1" for module in Code128(content).build()[0]]]


def _runs(rows: Sequence[Sequence[bool]], left: int, above: int) -> Iterator[str]:
    """Yield a rectangle for each run of black modules."""
    for y, row in enumerate(rows, start=above):
        x = left
        for is_black, run in groupby(row):
            length = len(list(run))
            if is_black:
                yield f"M{x} {y}h{length}v1h-{length}z"
            x += length
