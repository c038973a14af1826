"""A paper as one record, and its three forms: text in pages, HTML that prints on A4 and Letter, JSON."""

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from rich.cells import cell_len

from console.ground.cleaning import clean
from console.reports.columns import GAP, folded, left, side_by_side
from console.reports.page import page

WIDTH = 78
"""Columns of a page of text: 10 characters an inch on A4 and on Letter with margins (common practice)."""
LINES = 58
"""Rows of a page of text: six an inch on Letter, the shorter sheet, with margins (common practice)."""
DRAFT = "DRAFT: not sealed. Nothing on this paper counts before the seal."


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows below a heading."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures_from: int
    """Columns from this one on, from 0, hold figures."""
    total: tuple[str, ...] = ()
    """A last row, ruled off; empty for none."""

    @property
    def figures(self) -> tuple[bool, ...]:
        """Which columns hold figures."""
        return tuple(at >= self.figures_from for at in range(len(self.columns)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Paragraphs below a heading."""

    heading: str
    lines: tuple[str, ...]


Block = Table | Words
_Line = tuple[str, tuple[str, ...]]
"""A line, and what stands above it once more where a page begins with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One paper."""

    kind: str
    """ "packing-list", "melt-sheet" ..."""
    title: str
    tag: str
    """Of the consignment; empty for a paper of the yard."""
    yard_name: str
    head: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    """What it is about: label and words."""
    blocks: tuple[Block, ...]
    fingerprint: str
    """Of the row that sealed it; empty for a draft."""
    signs: tuple[str, ...] = ()
    """Who signs, a line each."""
    data: Mapping[str, Any] = field(default_factory=dict)
    """Figures for machines, JSON-ready."""

    @property
    def foot(self) -> str:
        """What stands at the end: which row of the ledger it comes from."""
        return f"ledger row {self.fingerprint}" if self.fingerprint else DRAFT


def paper_text(paper: Paper) -> str:
    """Return a paper as plain text, in pages with their numbers, a form feed between them.

    A table that goes on overleaf has its head there again.
    """
    pages = _pages(_lines(paper))
    name = f"{paper.title} {paper.tag}".strip()
    made = []
    for number, text in enumerate(pages, start=1):
        count = f"page {number} of {len(pages)}"
        head = left(name, WIDTH - len(count) - 1) + " " + count
        made.append("\n".join([head, "=" * WIDTH, *text]))
    return "\n\f".join(made) + "\n"


def paper_html(paper: Paper) -> str:
    """Return a paper as one HTML page that needs nothing else; everything on it is shown as text."""
    return page("paper.html.jinja", paper=paper)


def paper_json(paper: Paper) -> str:
    """Return a paper as one JSON object."""
    said: dict[str, Any] = {
        "paper": paper.kind,
        "consignment": paper.tag,
        "sealed": bool(paper.fingerprint),
        "ledger_row": paper.fingerprint,
        **paper.data,
    }
    return json.dumps(said, ensure_ascii=False, indent=1)


def _pages(lines: Iterator[_Line]) -> list[list[str]]:
    """Return the pages without their heads."""
    pages: list[list[str]] = [[]]
    for line, above in lines:
        if len(pages[-1]) == LINES - 2:
            pages.append([one.rstrip() for one in above])
        pages[-1].append(line.rstrip())
    return pages


def _lines(paper: Paper) -> Iterator[_Line]:
    """Yield every line; a row of a table with the head of its table."""
    yield from _alone(_start(paper))
    for block in paper.blocks:
        words, _, unit = block.heading.partition("[")
        yield from _alone(("", *folded(words.upper() + (f"[{unit}" if unit else ""), WIDTH)))
        yield from _table(block) if isinstance(block, Table) else _alone(_words(block))
    for one in paper.signs:
        yield from _alone(("", "", f"{left(one, 34)}{'_' * 26}  {'_' * 14}"))
    yield from _alone(("", paper.foot))


def _alone(lines: Iterable[str]) -> Iterator[_Line]:
    return ((line, ()) for line in lines)


def _start(paper: Paper) -> Iterator[str]:
    """Yield the head of the yard, and what the paper is about."""
    for line in (paper.yard_name, *paper.head):
        yield from folded(clean(line), WIDTH)
    if not paper.fingerprint:
        yield ""
        yield DRAFT
    yield ""
    indent = " " * (2 + max((cell_len(label) for label, _ in paper.facts), default=0))
    for label, words in paper.facts:
        yield from folded(clean(words), WIDTH, first=left(label, len(indent)), indent=indent)


def _words(block: Words) -> Iterator[str]:
    for line in block.lines:
        yield from folded(clean(line), WIDTH, first="  ", indent="  ")


def _table(table: Table) -> Iterator[_Line]:
    """Yield a table; figures at the right, the widest column of words takes what room there is."""
    rows = [
        tuple(clean(one) for one in row) for row in (*table.rows, *([table.total] if table.total else []))
    ]
    widths = [max(cell_len(one) for one in column) for column in zip(table.columns, *rows, strict=True)]
    spare = WIDTH - sum(widths) - GAP * (len(widths) - 1)
    if spare < 0:
        widest = max(range(len(widths)), key=lambda at: (not table.figures[at], widths[at]))
        widths[widest] = max(8, widths[widest] + spare)
    head = (side_by_side(table.columns, widths, table.figures), "-" * WIDTH)
    yield from _alone(head)
    for at, row in enumerate(rows):
        if table.total and at == len(rows) - 1:
            yield "-" * WIDTH, head
        yield from ((line, head) for line in _folded_row(table, row, widths))


def _folded_row(table: Table, row: tuple[str, ...], widths: list[int]) -> Iterator[str]:
    """Yield one row; words that are wider than their column go on below."""
    parts = [
        [one] if is_figure else folded(one, width) or [""]
        for one, is_figure, width in zip(row, table.figures, widths, strict=True)
    ]
    for at in range(max(map(len, parts))):
        here = [part[at] if at < len(part) else "" for part in parts]
        yield side_by_side(here, widths, table.figures)
