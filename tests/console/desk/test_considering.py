"""Key by key: what did not change is not worked out again, and what did is."""

from pathlib import Path

import pytest

from console.desk import open_yardless
from console.desk.piece import considering
from console.desk.piece.considering import Considering
from grade_library.matcher.matching import identify


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """The facts that were identified, in order."""
    seen: list[object] = []

    def counted(facts: object, *rest: object) -> object:
        seen.append(facts)
        return identify(facts, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(considering, "identify", counted)
    return seen


def test_a_weight_or_a_note_is_no_new_piece_to_identify(calls: list[object], tmp_path: Path) -> None:
    """The verdict stays the same object while only the weight, a bay or a note is typed."""
    known = open_yardless(tmp_path)
    at_hand = Considering()
    first = at_hand.line("12 cr18.2 ni8.1 fe71", known)
    again = at_hand.line("12.4 cr18.2 ni8.1 fe71 ; gate", known)
    assert again.verdict is first.verdict
    assert again.parsed.note == "gate"
    assert len(calls) == 1

    other = at_hand.line("12.4 cr18.2 ni8.1 fe71 mo2 ; gate", known)
    assert other.verdict is not first.verdict
    assert len(calls) == 2


def test_what_is_known_of_the_yard_counts_anew(calls: list[object], tmp_path: Path) -> None:
    """With another prior or another state of the analyser the same line is judged again."""
    at_hand = Considering()
    at_hand.line("12 304", open_yardless(tmp_path))
    at_hand.line("12 304", open_yardless(tmp_path))
    assert len(calls) == 2
