"""The handover as a page that needs nothing else and shows typed text as text."""

import re
from dataclasses import replace
from html.parser import HTMLParser

from console.ledger.keeping.store import Ledger
from console.reports.closing.handover_text import as_html
from console.yard.yard import Yard
from tests.console.ledger.clock import brass
from tests.console.reports.test_handover import report_of

HOSTILE = '<script>alert(1)</script><img src=x onerror=y> & "quoted" {{ 77777 * 7 }} \x1b[31m'
VOID_TAGS = {"meta", "rect", "br"}


class Page(HTMLParser):
    """What a page is made of."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.open_tags: list[str] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in VOID_TAGS:
            self.open_tags.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs

    def handle_endtag(self, tag: str) -> None:
        assert self.open_tags.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


def page_of(ledger: Ledger, yard: Yard) -> str:
    """Return the page of the first run."""
    return as_html(report_of(ledger, yard))


def test_page_holds_what_the_text_holds(ledger: Ledger, yard: Yard) -> None:
    """Bays, holds, tickets, difference, notes, corrections and draw-downs are all on the page."""
    moved = ledger.add_piece(brass(7500), "Ada")
    ledger.move(moved.row_id, "SS", "reads grey", "Ben")
    ledger.add_piece(replace(brass(2500, bay="HO", tag="H001"), waits_for="a density"), "Ada")
    ledger.note("belt slips", "Ada")
    ledger.ticket(25_000, 10_000, "Ada", note="A 17")
    ledger.draw_down("SS", 25_000, "Ada", reason="bale 4")
    ledger.add_piece(replace(brass(25_000, bay="SS"), supplier="Holt"), "Ada")
    ledger.add_piece(replace(brass(25_000, bay="SS"), supplier="Holt"), "Ada")
    ledger.close_run("Ada", explanation="a drum was missing")

    page = Page(page_of(ledger, yard))

    for words in (
        "SS stainless 18-8 3 57.50 kg 95.8 %",
        "H001 HO 2.50 kg C36000 a density",
        "1. A 17 25.00 kg 10.00 kg 15.00 kg 0.00 kg 15.00 kg",
        "difference 45.00 kg , tolerance",
        "OUTSIDE",
        "a drum was missing",
        "belt slips",
        "moved YB -> SS: reads grey (Ben)",
        "SS, 25.00 kg, by Ada. bale 4",
        "SS stainless 18-8 holds a full bale: 32.50 kg; a full bale is 25.00 kg",
        "Holt 50.00 kg no ticket",
    ):
        assert words in page.text
    assert page.open_tags == []


def test_page_needs_nothing_else(ledger: Ledger, yard: Yard) -> None:
    """No script, no link, no picture, no font from elsewhere; bars are drawn on the page itself."""
    ledger.add_piece(brass(7500), "Ada")

    text = page_of(ledger, yard)

    page = Page(text)
    assert not {"script", "link", "img", "iframe", "object", "form"} & set(page.tags)
    assert not [name for name, _ in page.attributes if name in ("src", "href") or name.startswith("on")]
    assert "url(" not in text and "@import" not in text and "http" not in text
    assert page.tags.count("svg") == 1


def test_longest_bar_is_the_heaviest_bay(ledger: Ledger, yard: Yard) -> None:
    """Bars are drawn to the scale of the heaviest bay."""
    ledger.add_piece(brass(7500, bay="YB"), "Ada")
    ledger.add_piece(brass(2500, bay="SS"), "Ada")

    widths = [value for name, value in Page(page_of(ledger, yard)).attributes if name == "width"]

    assert widths == ["100", "100.00", "100", "33.33"]


def test_typed_text_stays_text(ledger: Ledger, yard: Yard) -> None:
    """Markup, templates and escapes in any typed text are shown, never obeyed."""
    row = ledger.add_piece(
        replace(brass(900, bay="HO", tag="H001"), line=HOSTILE, note=HOSTILE, is_override=True), HOSTILE
    )
    ledger.move(row.row_id, HOSTILE, HOSTILE, HOSTILE)
    ledger.note(HOSTILE, HOSTILE)
    ledger.ticket(20_000, 5_000, "Ada", note=HOSTILE, supplier=HOSTILE, load=HOSTILE)
    ledger.draw_down(HOSTILE, 5, HOSTILE, reason=HOSTILE)
    ledger.take_over(HOSTILE)
    ledger.close_run(HOSTILE, explanation=HOSTILE)

    text = page_of(ledger, replace(yard, name=HOSTILE))

    page = Page(text)
    assert not {"script", "img"} & set(page.tags)
    assert "<script>alert(1)</script>" in page.text
    assert "{{ 77777 * 7 }}" in page.text and "544439" not in page.text
    assert "\x1b" not in text


def test_empty_run_has_a_page(ledger: Ledger, yard: Yard) -> None:
    """A run without pieces and tickets makes a page that says so."""
    page = Page(page_of(ledger, yard))

    assert "compared with nothing" in page.text
    assert "total 0 0.00 kg" in page.text


def test_only_what_was_typed_is_broken_within_a_word(ledger: Ledger, yard: Yard) -> None:
    """A head, a tag or a bay is never torn; a long word that somebody typed does not push the table wide."""
    ledger.add_piece(replace(brass(900, bay="HO", tag="H001"), line="9 " + "x" * 300), "Ada")
    text = as_html(report_of(ledger, yard))

    assert re.search(r"th, td {[^}]*overflow-wrap: break-word", text)
    assert re.search(r"li, \.said, \.typed {[^}]*overflow-wrap: anywhere", text)
    assert re.search(r'<td class="strong short">H001</td>', text)
    assert re.search(r'<td class="said">9 x{300}', text)
