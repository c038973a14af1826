"""What stands on a tag or a sign, and how it is drawn."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from textwrap import wrap

from console.ground.cleaning import clean
from console.reports.labels.code import Code, CodeKind, code_of, scanned_form
from console.reports.page import page

WIDTH_MM, HEIGHT_MM = 88.0, 50.0
"""A tag [mm]: two beside each other fit on A4 and on Letter."""
SIGN_TIMES = 2.0
"""A sign is drawn so many times as large: one sheet holds two."""
_LONGEST_ROW = 44
_MOST_ROWS = {CodeKind.QR: 4, CodeKind.CODE128: 3}
"""Below the large letters; a long one goes on in the next while one is free."""
_LETTER_MM = 0.62
"""Width of a bold letter as a share of its height; wide, so that nothing is cut off (own choice)."""
_QR_MM, _BARS_MM = 30.0, 17.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One tag or sign."""

    tag: str
    """Large, for people: "T1-H7", "ALO"."""
    rows: tuple[str, ...]
    """A few words below it; text that people typed is cleaned and wrapped."""
    is_sign: bool = False
    """True for the sign of a bay."""

    @property
    def content(self) -> str:
        """What a scanner types."""
        return scanned_form(self.tag)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnLabel:
    """A label with its code and the places of everything [mm]."""

    label: Label
    code: Code
    width: float
    height: float
    tag_mm: float
    """Height of the large letters."""
    rows: tuple[str, ...]
    code_x: float
    code_y: float
    x_scale: float
    y_scale: float
    """Size of one module."""


def drawn(label: Label, kind: CodeKind) -> DrawnLabel:
    """Return a label with everything in its place.

    Raises:
        LabelError: Its tag cannot be a code, or the extra that draws codes is not installed.
    """
    code = code_of(label.content, kind)
    is_qr = kind is CodeKind.QR
    room = WIDTH_MM - _QR_MM - 4.0 if is_qr else WIDTH_MM - 8.0
    x_scale = (_QR_MM if is_qr else WIDTH_MM) / code.width
    times = SIGN_TIMES if label.is_sign else 1.0
    return DrawnLabel(
        label=label,
        code=code,
        width=WIDTH_MM * times,
        height=HEIGHT_MM * times,
        tag_mm=min(16.0, room / (_LETTER_MM * len(label.tag))),
        rows=tuple(_wrapped([clean(row) for row in label.rows], _MOST_ROWS[kind])),
        code_x=WIDTH_MM - _QR_MM if is_qr else 0.0,
        code_y=1.0 if is_qr else HEIGHT_MM - _BARS_MM - 1.0,
        x_scale=x_scale,
        y_scale=x_scale if is_qr else _BARS_MM,
    )


def _wrapped(texts: Sequence[str], most: int) -> Iterator[str]:
    """Yield so many rows at most; what there is no room for is left off behind a word."""
    spare = most - len(texts)
    for text in texts:
        rows = wrap(text, _LONGEST_ROW)[: 1 + spare]
        spare -= max(0, len(rows) - 1)
        yield from wrap(text, _LONGEST_ROW, max_lines=max(1, len(rows)), placeholder=" …")


def label_svg(label: Label, kind: CodeKind) -> str:
    """Return one label as an SVG image in millimetres."""
    return page("label.svg.jinja", one=drawn(label, kind), full=(WIDTH_MM, HEIGHT_MM))


def labels_html(labels: Sequence[Label], kind: CodeKind, yard_name: str) -> str:
    """Return labels as one HTML page that prints on A4 and on Letter and needs nothing else."""
    return page(
        "labels.html.jinja",
        labels=[drawn(label, kind) for label in labels],
        full=(WIDTH_MM, HEIGHT_MM),
        yard_name=clean(yard_name),
    )
