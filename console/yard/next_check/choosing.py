"""Which check to make next on a piece, if any is worth its time."""

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from console.yard.metals import metals_of
from console.yard.next_check.advice import CheckAdvice, CheckWorth, Meaning
from console.yard.next_check.bench_findings import BenchFindings, bench_findings
from console.yard.next_check.check_hazards import Hazards, cautions_with
from console.yard.next_check.check_words import (
    HOLD_IT,
    LEAST_SAID,
    TALLY_IT,
    bench_meanings,
    check_of,
    line_for,
    reading_meanings,
)
from console.yard.next_check.checks import READS, CheckKind
from console.yard.next_check.grades_at_hand import (
    AtHand,
    Matching,
    grades_at_hand,
    is_covered,
    seed_of,
    trusted,
)
from console.yard.next_check.observing import HIDES_READING
from console.yard.next_check.reading_worth import Drawn, draw_readings, profile_of
from console.yard.placing.place import is_as_good_as_settled
from console.yard.placing.placement import Placement
from console.yard.placing.worth_table import HOLD, Decisions, Situation, WorthTable
from console.yard.yard import Yard
from grade_library.cautions import Caution
from grade_library.facts import PieceFacts
from grade_library.later import Later
from grade_library.library import GradeLibrary
from grade_library.matcher.prior import Prior
from grade_library.normal import FloatArray
from grade_library.technique import Profile
from grade_library.verdict import Verdict

USUAL_MASS_G = 1000
"""A piece not yet weighed is judged as if it weighed this [g]."""
ASSUMED_LOSS = 0.03
"""Share of what is at stake that a reading is taken to leave wrong while none has been drawn (own guess)."""
ROUNDING = 1e-9
LEAST_NET = 0.005
"""Gains below this are noise of rounding [currency]: half of the smallest coin."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Piece:
    """Everything that the checks of one piece are judged by."""

    facts: PieceFacts
    verdict: Verdict
    mass_g: int | None
    yard: Yard
    library: GradeLibrary
    at_hand: AtHand
    situation: Situation
    text: str
    profile: Profile
    """Of the yard's analyser."""
    loss: FloatArray
    """What a reading would leave wrong for each metal at hand [currency]."""
    drawn: Drawn | None
    """The readings drawn in thought; None while there are none."""
    worth_now: float
    """What the piece is worth where it goes now [currency]."""
    worth_read: float
    """What it is worth once it was read [currency], without the cost of the reading."""
    hazards: Hazards
    now: str
    """Code of the bay where it goes now."""
    as_is: str
    """Code of the bay for a piece on hold that no second look pays for; empty for every other."""
    is_settled: bool
    """Its placement is settled already."""


def next_check(
    facts: PieceFacts,
    verdict: Verdict,
    placement: Placement,
    mass_g: int | None,
    yard: Yard,
    library: GradeLibrary,
    seed: int | None = None,
    *,
    text: str = "",
    with_readings: bool = True,
    prior: Prior | None = None,
    techniques: Mapping[str, Profile] | None = None,
) -> CheckAdvice:
    """Return which check to make next on a piece, what it should gain, and what to look for.

    The gain of a check is what the piece is worth afterwards, over all its findings, less what it is worth
    where it goes now. After a finding it goes where `place` would put it, or is read if that is worth more;
    on hold it is worth what a reading would make of it less a second look. Only a check is proposed whose
    findings lead to different bays, or settle the piece. Without prices, worth is that a buyer takes it.

    Args:
        facts: What is known of the piece.
        verdict: What it can be.
        placement: Where it would go now.
        mass_g: Weight of the entry [g]; None judges it as if it weighed 1 kg.
        yard: Bays, prices, checks and the cost of the sorter's time.
        library: The grades.
        seed: Of the drawn readings; None takes one from the facts: the same piece gets the same advice.
        text: Words typed about the piece, for the cautions.
        with_readings: False draws none and takes a usual loss instead: some ms, not a tenth of a second.
        prior: How often each grade is met; None for the usual.
        techniques: Technique profiles by key, as a check sample may have widened them; None for the yard's.
    """
    if verdict.is_named:
        return _nothing_to_try(placement)
    matching = Matching(prior=prior, techniques=yard.techniques if techniques is None else techniques)
    piece = _piece(
        facts, verdict, placement, mass_g, yard, library, seed, text, matching, with_readings=with_readings
    )
    return _advice(piece, is_complete=with_readings)


def _nothing_to_try(placement: Placement) -> CheckAdvice:
    """Return the advice on a named material: no check weighs it against anything."""
    line = HOLD_IT if placement.bay.is_hold else TALLY_IT
    return CheckAdvice(
        best=None, line=line, tally_bay=placement.bay.code, ranked=(), cautions=(), is_complete=True
    )


def _piece(
    facts: PieceFacts,
    verdict: Verdict,
    placement: Placement,
    mass_g: int | None,
    yard: Yard,
    library: GradeLibrary,
    seed: int | None,
    text: str,
    matching: Matching,
    *,
    with_readings: bool,
) -> _Piece:
    """Gather everything that the checks of one piece are judged by; arguments as of `next_check`."""
    at_hand = grades_at_hand(facts, verdict, library, matching)
    table = WorthTable.of(yard, library)
    kg = (mass_g or USUAL_MASS_G) / 1000.0
    situation = table.situation(facts, at_hand.rows, kg)
    drawn = None
    if with_readings and at_hand.n_listed and any(check.kind in READS for check in yard.checks):
        drawn = draw_readings(
            trusted(facts, verdict),
            library,
            table.situation(facts, np.arange(len(metals_of(library))), kg),
            at_hand.rows[: at_hand.n_listed],
            at_hand.shares[: at_hand.n_listed],
            technique=yard.technique,
            seed=seed_of(facts) if seed is None else seed,
            is_ground=is_covered(facts, verdict),
            prior=matching.prior,
            techniques=matching.techniques,
        )
    return _judged(
        facts, verdict, placement, mass_g, yard, library, at_hand, situation, drawn, text, matching
    )


def _judged(
    facts: PieceFacts,
    verdict: Verdict,
    placement: Placement,
    mass_g: int | None,
    yard: Yard,
    library: GradeLibrary,
    at_hand: AtHand,
    situation: Situation,
    drawn: Drawn | None,
    text: str,
    matching: Matching,
) -> _Piece:
    """Work out worths and hazards; where a reading is amiss, or metal kept apart, hold is never dodged."""
    bay_now = _row_of(placement, situation)
    loss = _loss(drawn, at_hand, situation)
    hazards = Hazards.of(verdict, facts, library, at_hand.rows, at_hand.shares, text)
    shares, no_kind = at_hand.shares[None, :], np.array([at_hand.no_kind])
    perfect = situation.perfect(shares, no_kind)
    may_lie = trusted(facts, verdict) is facts and not hazards.stops_placing
    kept = perfect - situation.second_look_cost
    worth_now = kept if bay_now == HOLD and not may_lie else situation.worth_in(bay_now, shares, no_kind)
    return _Piece(
        facts=facts,
        verdict=verdict,
        mass_g=mass_g,
        yard=yard,
        library=library,
        at_hand=at_hand,
        situation=situation,
        text=text,
        profile=profile_of(yard.technique, matching.techniques),
        loss=loss,
        drawn=drawn,
        worth_now=float(worth_now[0]),
        worth_read=float((perfect - shares @ loss)[0]),
        now=placement.bay.code,
        as_is=_as_is(bay_now, situation, at_hand) if may_lie else "",
        hazards=hazards,
        is_settled=is_as_good_as_settled(placement.best, verdict, yard),
    )


def _row_of(placement: Placement, situation: Situation) -> int:
    """Return the row of the bay where a piece goes now, or HOLD."""
    codes = [bay.code for bay in situation.bays]
    return HOLD if placement.bay.is_hold else codes.index(placement.bay.code)


def _as_is(bay_now: int, situation: Situation, at_hand: AtHand) -> str:
    """Return the bay of a piece on hold that no second look pays for; empty for every other piece."""
    if bay_now != HOLD or not at_hand.rows.size:
        return ""
    row = situation.best_as_is(at_hand.shares, at_hand.no_kind)
    return "" if row == HOLD else situation.bays[row].code


def _advice(piece: _Piece, *, is_complete: bool) -> CheckAdvice:
    """Rank the checks of the yard on a piece, and say which is best."""
    ruled_out = {check.kind: _why_not(check.kind, piece) for check in piece.yard.checks}
    found = _readings(piece, ruled_out)
    costs = [one.cost for one in found if not one.ruled_out]
    read_for = min(costs, default=np.inf)
    # A reading that fits nothing, or is of a coating, is only ever set right by another one.
    if trusted(piece.facts, piece.verdict) is piece.facts:
        found += _bench_worths(piece, ruled_out, read_for)
    ranked = tuple(
        sorted(found, key=lambda one: (bool(one.ruled_out), -one.net, one.check.seconds, one.check.kind))
    )
    tell = _tell(piece, ranked)
    best = tell or next((one for one in ranked if not one.ruled_out and one.net > LEAST_NET), None)
    cautions: tuple[Caution, ...] = ()
    if best is not None:
        cautions = cautions_with(
            best.check.kind, piece.verdict, piece.facts, piece.yard.technique, piece.text, piece.mass_g
        )
    return CheckAdvice(
        best=best,
        line=_told(piece) if tell is not None else _line(best, piece),
        tally_bay=piece.as_is or piece.now,
        ranked=ranked,
        cautions=cautions,
        is_complete=is_complete,
    )


def _tell(piece: _Piece, ranked: Sequence[CheckWorth]) -> CheckWorth | None:
    """Return the check that splits the metal from a skin that reads the same; None where none has to.

    Where the piece is settled either way, nothing has to be split.
    """
    words = _told(piece)
    if not words or piece.is_settled:
        return None
    of_kind = [one for one in ranked if one.check.kind is check_of(words)]
    return next((one for one in of_kind if not piece.hazards.why_not(one.check.kind)), None)


def _told(piece: _Piece) -> str:
    return piece.verdict.skin.tell if piece.verdict.skin else ""


def _line(best: CheckWorth | None, piece: _Piece) -> str:
    """Return what to do next in one line."""
    if best is not None:
        return line_for(best, piece.yard, piece.situation)
    if piece.hazards.stops_everything:
        return f"nothing is tried on it: {piece.hazards.stops_everything}"
    if piece.as_is:
        return f"tally it into {piece.as_is}, neither a check nor a second look pays"
    return HOLD_IT if piece.now == piece.yard.hold_bay.code else TALLY_IT


def _loss(drawn: Drawn | None, at_hand: AtHand, situation: Situation) -> FloatArray:
    """Return what a reading would leave wrong for each metal at hand; the shares weigh it to the mean.

    A bench finding that speaks for some grades then takes over the losses of the draws of these grades. No
    reading is drawn of an unlisted alloy, which loses nothing.
    """
    if drawn is None:
        return ASSUMED_LOSS * np.maximum(situation.best_price - situation.salvage, 0.0) * situation.kg
    summed = np.zeros(len(at_hand.rows))
    np.add.at(summed, np.searchsorted(at_hand.rows, drawn.rows), drawn.loss)
    return summed / len(drawn.rows) * float(at_hand.shares[: at_hand.n_listed].sum()) / at_hand.shares


def _bench_worths(piece: _Piece, ruled_out: Mapping[CheckKind, str], read_for: float) -> list[CheckWorth]:
    """Return what each bench check gains that can show something new.

    Args:
        piece: The piece.
        ruled_out: Kind of check -> why it is not proposed; empty when it may be.
        read_for: What a reading afterwards costs [currency]; inf where none may be made.
    """
    checks = [check for check in piece.yard.checks if check.kind not in READS]
    found = bench_findings(
        checks, piece.facts, piece.library, piece.at_hand, piece.situation, piece.loss, read_for
    )
    # What could be had without the check, by leaving the piece or by reading it at once, is none of its
    # doing.
    least = max(0.0, piece.worth_read - piece.worth_now - read_for) + ROUNDING
    gains = [one.worth - piece.worth_now for one in found]
    return [
        CheckWorth(
            check=one.check,
            gain=gain if gain > least else 0.0,
            cost=piece.yard.sorter.cost_of_check(one.check),
            meanings=Later(functools.partial(_bench_meanings, one, piece)),
            ruled_out=ruled_out[one.check.kind] or _changes_nothing(one.chances, one.decisions, piece),
        )
        for one, gain in zip(found, gains, strict=True)
    ]


def _bench_meanings(found: BenchFindings, piece: _Piece) -> Sequence[Meaning]:
    return bench_meanings(
        found.check.kind, found.outcomes, found.values, found.chances, found.decisions,
        piece.situation, piece.yard,
    )  # fmt: skip


def _changes_nothing(chances: FloatArray, decisions: Decisions, piece: _Piece) -> str:
    """Return that no finding of a check moves or settles the piece; empty where one does.

    Args:
        chances: Of each finding, shape (n_findings,).
        decisions: Where the piece would go after it.
        piece: The piece.
    """
    by_bay: dict[int, float] = {}
    for row, chance in zip(decisions.bay.tolist(), chances.tolist(), strict=True):
        by_bay[row] = by_bay.get(row, 0.0) + chance
    if sum(chance >= LEAST_SAID for chance in by_bay.values()) > 1:
        return ""
    settles = decisions.accepted >= piece.yard.thresholds.settled
    if not piece.is_settled and float(chances[settles].sum()) >= LEAST_SAID:
        return ""
    row = max(by_bay, key=lambda row: by_bay[row])
    if row == HOLD:
        return "whatever it shows, the piece stays open"
    return f"whatever it shows, the piece goes to {piece.situation.bays[row].code}"


def _readings(piece: _Piece, ruled_out: Mapping[CheckKind, str]) -> list[CheckWorth]:
    """Return what a reading gains, as the surface lies there and on a ground spot."""
    if not piece.at_hand.rows.size:
        return []
    meanings: tuple[Meaning, ...] = ()
    idle, drawn = "", piece.drawn
    if drawn is not None:
        meanings = reading_meanings(
            drawn.decisions.bay,
            piece.situation,
            piece.yard.hold_bay,
            piece.library,
            piece.profile,
            piece.at_hand.rows,
            piece.at_hand.shares,
        )
        even = np.full(len(drawn.rows), 1.0 / len(drawn.rows))
        idle = _changes_nothing(even, drawn.decisions, piece)
    return [
        CheckWorth(
            check=check,
            gain=piece.worth_read - piece.worth_now,
            cost=piece.yard.sorter.cost_of_check(check),
            meanings=meanings,
            ruled_out=ruled_out[check.kind] or idle,
        )
        for check in piece.yard.checks
        if check.kind in READS
    ]


def _why_not(kind: CheckKind, piece: _Piece) -> str:
    """Return why a check is not proposed; empty when it may be."""
    if kind is CheckKind.READING and is_covered(piece.facts, piece.verdict):
        hidden = sorted(piece.facts.bench.surfaces & HIDES_READING)
        coating = piece.verdict.skin.coating if piece.verdict.skin else None
        if hidden:
            return f"it would read a {hidden[0].value} surface"
        return f"it would read {coating}" if coating else "the surface reads as nothing in the library"
    return piece.hazards.why_not(kind)
