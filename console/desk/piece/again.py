"""Same again: the piece before once more. Name, bay and words are repeated; what was read of it is not."""

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from console.desk import sentences
from console.desk.done import Done, done
from console.desk.piece.considering import Consideration
from console.desk.piece.evidence import facts_json
from console.desk.refusals import DeskRefusal, known_bay, refuse_unclear
from console.desk.tags import tag_in
from console.entry.token_kind import TokenKind
from console.ledger.rows.queries import kept_evidence
from console.ledger.rows.rows import PieceEntry, PieceState
from console.ledger.views.latest import newest_standing
from console.ledger.views.piece_state import naming_row
from console.yard.placing.placement import Sureness
from console.yard.yard import Bay

if TYPE_CHECKING:
    from console.desk.desk import Desk

AS_BEFORE = "as the piece before"
"""Stands on the line of the row as a note."""
_SAID = frozenset({TokenKind.CLAIM, TokenKind.FORM, TokenKind.CAUTION, TokenKind.REMARK})
"""Words that hold for the next piece too. What was seen or read of the one was not seen of the other."""
_NEW = frozenset({TokenKind.WEIGHT, TokenKind.SCALE, TokenKind.COUNT})
_ODDS = ("grade", "probability")


def is_bare(considered: Consideration) -> bool:
    """Tell whether a line is a weight, or a weight and a count, and nothing else."""
    parsed = considered.parsed
    kinds = {token.kind for token in parsed.tokens}
    return parsed.can_be_tallied and TokenKind.WEIGHT in kinds and kinds <= _NEW


def is_still_again(desk: "Desk", considered: Consideration, last: PieceState) -> bool:
    """Tell whether the line of a repeated piece says no more than another weight or count than it did."""
    if not last.as_before or considered.parsed.note != AS_BEFORE or not considered.parsed.can_be_tallied:
        return False
    before = desk.consider(last.line)
    return _without(considered, _NEW) == _without(before, _NEW)


def same_again(desk: "Desk", considered: Consideration, bay_code: str | None = None) -> Done[None]:
    """Tally the newest piece that stands once more; see Desk.same_again."""
    last = newest_standing(desk.ledger, desk.run().run_id)
    if last is None:
        raise DeskRefusal('Say what it is, or "?" for hold: there is no piece in this run yet to do again.')
    refuse_unclear(considered.parsed.problems)
    if not is_bare(considered):
        raise DeskRefusal("Same again takes a weight, and a count if there are several: 7.5 or 7.5 x3.")
    return repeat(desk, considered, last, bay_code)


def repeat(
    desk: "Desk",
    considered: Consideration,
    last: PieceState,
    bay_code: str | None = None,
    *,
    in_place_of: PieceState | None = None,
) -> Done[None]:
    """Write a piece that is like another one.

    Args:
        desk: Where.
        considered: Gives weight and count.
        last: The piece that it is like.
        bay_code: Where it goes instead; None for where the other one lies.
        in_place_of: The piece that it corrects, whose load and tag it keeps; None for a new one.

    Raises:
        DeskRefusal: The bay is unknown, or the other piece went there despite its skin.
    """
    evidence = kept_evidence(desk.ledger, naming_row(desk.ledger, last.row_id).row_id)
    bay = known_bay(bay_code or last.bay, desk.yard)
    if evidence.get("despite_skin") and bay.code == last.bay:
        raise DeskRefusal(
            f"Type this piece out: the one before went to {bay.code} despite its skin, with a reason."
        )
    entry = _entry(desk, considered, last, bay, evidence)
    about = desk if in_place_of is None else in_place_of
    entry = replace(entry, supplier=about.supplier, load=about.load, tag=tag_in(desk, bay, in_place_of))
    row = desk.ledger.add_piece(entry, desk.person)
    desk.history.record(row)
    return done(sentences.again(entry, desk.yard, in_place_of), row)


def _entry(
    desk: "Desk", considered: Consideration, last: PieceState, bay: Bay, evidence: Mapping[str, Any]
) -> PieceEntry:
    parsed = considered.parsed
    assert parsed.mass_g is not None
    typed = " ".join(token.text for token in parsed.tokens if token.kind in _NEW)
    said = " ".join(token.text for token in desk.consider(last.line).parsed.tokens if token.kind in _SAID)
    line = f"{typed} {said}".strip() + f" ; {AS_BEFORE}"
    like = last.as_before or last.row_id
    return PieceEntry(
        bay=bay.code,
        grade_id=last.grade_id,
        twins=last.twins,
        class_name=last.class_name,
        mass_g=parsed.mass_g,
        pieces=parsed.count,
        is_on_platform=parsed.is_on_platform,
        weighings=parsed.weighings,
        line=line,
        waits_for=last.waits_for if bay.is_hold else "",
        # Nobody looked at this one: it leans on the word of the sorter, however sure the other one was.
        sureness=Sureness.LEANING.value if last.grade_label and not bay.is_hold else "",
        is_override=not bay.is_hold and (last.is_override or bay.code != last.bay),
        as_before=like,
        evidence={
            "as_before": like,
            "facts": facts_json(desk.consider(line).parsed.facts),
            # What the other one could be, this one can be: the bay is reckoned by it. Reasons stay there.
            "candidates": [
                {name: one[name] for name in _ODDS if name in one} for one in evidence.get("candidates", ())
            ],
            **{name: evidence[name] for name in ("unlisted", "unlisted_of") if name in evidence},
        },
    )


def _without(considered: Consideration, kinds: frozenset[TokenKind]) -> list[str]:
    return [token.text for token in considered.parsed.tokens if token.kind not in kinds]
