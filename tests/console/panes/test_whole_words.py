"""What there is no room for is left off behind a word."""

from dataclasses import replace

from textual.content import Content

from console.panes.piece.candidates_pane import CandidatesPane, _family
from console.panes.piece.entry_pane import _flow
from console.panes.piece.why_pane import WhyPane
from grade_library.library import load
from grade_library.verdict import Candidate, FamilyShare, Reason, ReasonKind, Verdict

STEEL = Candidate(grade=load().grade("430"), probability=0.6)


def listed(width: int) -> list[str]:
    """Return the rows of the candidates for a width."""
    pane = CandidatesPane()
    pane._answers, pane._in_order = (), ()
    pane.set_reactive(CandidatesPane.verdict, None)
    CandidatesPane.watch_verdict(pane, Verdict(candidates=(STEEL,), unlisted=0.4))
    pane.set_reactive(CandidatesPane.verdict, Verdict(candidates=(STEEL,), unlisted=0.4))
    return [line.plain for line in pane.draw(width, 5)]


def test_a_family_is_told_in_whole_words_or_not_at_all() -> None:
    """ "ferritic stainless", "ferritic", nothing: never a part of a word."""
    assert "ferritic stainless" in listed(60)[0]
    assert "ferritic…" in listed(36)[0]
    assert "ferr" not in listed(30)[0]


def test_an_alloy_of_no_list_is_named_shorter_where_there_is_no_room_for_its_meaning() -> None:
    """The word alone, with no mark of something cut."""
    assert "none listed, no grade fits" in listed(60)[1]
    assert "none listed  " in listed(30)[1] and "…" not in listed(30)[1]


def test_the_echo_counts_a_word_that_it_has_no_room_for() -> None:
    """A word is there or counted, never cut in its middle."""
    words = [Content(f"Cu {number} %") for number in range(10, 22)]
    rows = [row.plain for row in _flow(words, 40, rows=2)]

    said = " ".join(rows)
    assert len(rows) == 2 and all(len(row) <= 40 for row in rows) and "…" not in said
    assert said.count("Cu") + int(rows[1].split()[-2]) == len(words)


def test_a_word_that_tells_nothing_by_itself_is_left_off() -> None:
    """ "tin" of "tin brass" would mislead; what is whole always stands."""
    assert _family("tin brass", 9) == "tin brass"
    assert _family("tin brass", 8) == _family("austenitic stainless", 9) == _family("brass", 0) == ""
    assert _family("ferritic stainless", 10) == "ferritic…"


def test_metal_of_no_list_leads_with_the_likeliest_answer() -> None:
    """Where two rows have room, the family that is likeliest, or none, is one of them."""
    families = tuple(
        FamilyShare(family=name, group="brass", series=name, listed=0.0, unlisted=share)
        for name, share in (("brass", 0.04), ("tin brass", 0.03))
    )
    verdict = Verdict(candidates=(), unlisted=1.0, families=families, no_family=0.93)
    pane = CandidatesPane()
    pane._answers, pane._in_order = (), ()
    pane.set_reactive(CandidatesPane.verdict, verdict)

    rows = [line.plain for line in pane.draw(40, 2)]
    assert "of no family" in rows[0] and "93 %" in rows[0] and "brass" in rows[1]


def test_a_name_never_touches_its_figure() -> None:
    """However long it is, a blank stands before "100 %"."""
    sure = Candidate(grade=load().grade("430"), probability=1.0)
    for width in range(24, 44):
        pane = CandidatesPane()
        pane._answers, pane._in_order = (), ()
        pane.set_reactive(CandidatesPane.verdict, None)
        CandidatesPane.watch_verdict(pane, Verdict(candidates=(sure, STEEL), unlisted=0.0))
        pane.set_reactive(CandidatesPane.verdict, Verdict(candidates=(sure, STEEL), unlisted=0.0))
        assert " 100 %" in pane.draw(width, 5)[0].plain


def test_half_a_reason_ends_in_a_mark() -> None:
    """Of a reason that has no room for its last words the row says so; a whole one has no mark."""
    text = "often met in this yard (21 pieces of the runs before)"
    reason = Reason(text=text, kind=ReasonKind.PRIOR, weight_nats=1.0)
    told = replace(STEEL, reasons=(reason,))
    pane = WhyPane()
    pane._candidate, pane._verdict = told, None

    whole, cut = pane.draw(36, 9), pane.draw(36, len(pane.draw(36, 9)) - 1)
    assert not any("…" in row.plain for row in whole)
    assert cut[-1].plain.endswith(" …") and all(len(row.plain) <= 36 for row in cut)
