"""A caution that has more words than rows says so."""

from console.panes.piece.warnings_pane import _caution_lines
from grade_library.cautions import Caution, Level

LONG = Caution(caution_id="a", level=Level.WARN, rank=1, title="Dust", say="word " * 60, source="invented")
NEXT = Caution(caution_id="b", level=Level.NOTE, rank=2, title="Noise", say="Muffs.", source="invented")


def test_a_caution_cut_short_ends_in_a_mark_with_the_key_below() -> None:
    """Above the titles of the others as well as by itself; one that fits has no mark."""
    cut = [line.plain for line in _caution_lines((LONG, NEXT), (), 40, 4, "Ctrl O")]
    whole = [line.plain for line in _caution_lines((NEXT,), (), 40, 4, "Ctrl O")]

    assert len(cut) == 4 and cut[2].endswith(" …") and "Noise" in cut[3] and "in full: Ctrl O" in cut[3]
    assert all(len(line) <= 40 for line in cut)
    assert "…" not in "".join(whole)
