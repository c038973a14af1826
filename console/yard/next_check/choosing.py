"""Which check to make next on a piece, if any is worth its time."""

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.yard.metals import metals_of
from console.yard.next_check.advice import CheckAdvice, CheckWorth, Meaning
from console.yard.next_check.bench_findings import bench_findings
from console.yard.next_check.check_hazards import Hazards
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


@dataclass(frozen=True, eq=False)
class _Piece:
    """A piece, and everything that its checks are judged by, each worked out once."""

    facts: PieceFacts
    verdict: Verdict
    placement: Placement
    mass_g: int | None
    yard: Yard
    library: GradeLibrary
    text: str
    matching: Matching
    seed: int | None
    """Of the readings drawn in thought; None draws none."""

    @functools.cached_property
    def at_hand(self) -> AtHand:
        """The metals that still count."""
        return grades_at_hand(self.facts, self.verdict, self.library, self.matching)

    @functools.cached_property
    def situation(self) -> Situation:
        """The bays as they stand for the metals at hand."""
        return self._situation(self.at_hand.rows)

    def _situation(self, rows: NDArray[np.int64]) -> Situation:
        kg = (self.mass_g or USUAL_MASS_G) / 1000.0
        return WorthTable.of(self.yard, self.library).situation(self.facts, rows, kg)

    @functools.cached_property
    def drawn(self) -> Drawn | None:
        """What readings drawn in thought come to; None where the yard makes none, or no grade is at hand."""
        listed = slice(self.at_hand.n_listed)
        is_read = any(check.kind in READS for check in self.yard.checks)
        if self.seed is None or not self.at_hand.n_listed or not is_read:
            return None
        return draw_readings(
            trusted(self.facts, self.verdict),
            self.library,
            self._situation(np.arange(len(metals_of(self.library)))),
            self.at_hand.rows[listed],
            self.at_hand.shares[listed],
            technique=self.yard.technique,
            seed=self.seed,
            is_ground=is_covered(self.facts, self.verdict),
            prior=self.matching.prior,
            techniques=self.matching.techniques,
        )

    @functools.cached_property
    def hazards(self) -> Hazards:
        """What it may hold, as far as it forbids checks."""
        rows, shares = self.at_hand.rows, self.at_hand.shares
        return Hazards.of(self.verdict, self.facts, self.library, rows, shares, self.text)

    @property
    def may_lie(self) -> bool:
        """False where a reading is amiss, or metal is kept apart: hold is never dodged then."""
        return trusted(self.facts, self.verdict) is self.facts and not self.hazards.stops_placing

    @property
    def is_settled(self) -> bool:
        """Whether its placement is settled already."""
        return is_as_good_as_settled(self.placement.best, self.verdict, self.yard)

    @property
    def as_is(self) -> str:
        """Code of the bay for a piece on hold that no second look pays for; empty for every other."""
        if not self.placement.bay.is_hold or not self.may_lie or not self.at_hand.rows.size:
            return ""
        row = self.situation.best_as_is(self.at_hand.shares, self.at_hand.no_kind)
        return "" if row == HOLD else self.situation.bays[row].code

    @functools.cached_property
    def loss(self) -> FloatArray:
        """What a reading would leave wrong for each metal at hand [currency].

        Their shares weigh it to the mean. A bench finding that speaks for some grades then takes over the
        losses of the draws of these grades. No reading is drawn of an unlisted alloy, which loses nothing.
        """
        at_hand, situation, drawn = self.at_hand, self.situation, self.drawn
        if drawn is None:
            return ASSUMED_LOSS * np.maximum(situation.best_price - situation.salvage, 0.0) * situation.kg
        summed = np.zeros(len(at_hand.rows))
        np.add.at(summed, np.searchsorted(at_hand.rows, drawn.rows), drawn.loss)
        return summed / len(drawn.rows) * float(at_hand.shares[: at_hand.n_listed].sum()) / at_hand.shares

    @functools.cached_property
    def worth_known(self) -> float:
        """What the piece would be worth if everything were known of it [currency]."""
        return float(self.situation.perfect(*self._of_shares)[0])

    @property
    def _of_shares(self) -> tuple[FloatArray, FloatArray]:
        return self.at_hand.shares[None, :], np.array([self.at_hand.no_kind])

    @functools.cached_property
    def worth_now(self) -> float:
        """What it is worth where it goes now [currency]."""
        if self.placement.bay.is_hold and not self.may_lie:
            return self.worth_known - self.situation.second_look_cost
        codes = [bay.code for bay in self.situation.bays]
        row = HOLD if self.placement.bay.is_hold else codes.index(self.placement.bay.code)
        return float(self.situation.worth_in(row, *self._of_shares)[0])

    @property
    def most_gained(self) -> float:
        """More than any bench check can gain, and any reading that is not drawn [currency]: each metal would
        fetch the most that an open bay pays for it, and a finding only tells one metal from another."""
        return float(self.situation.most(*self._of_shares)[0]) - self.worth_now

    @property
    def worth_read(self) -> float:
        """What it is worth once it was read [currency], without the cost of the reading."""
        return self.worth_known - float(self.at_hand.shares @ self.loss)


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
    drawn_by = (seed_of(facts) if seed is None else seed) if with_readings else None
    piece = _Piece(facts, verdict, placement, mass_g, yard, library, text, matching, drawn_by)
    return _advice(piece)


def _nothing_to_try(placement: Placement) -> CheckAdvice:
    """Return the advice on a named material: no check weighs it against anything."""
    line = HOLD_IT if placement.bay.is_hold else TALLY_IT
    return CheckAdvice(best=None, line=line, tally_bay=placement.bay.code, ranked=())


def _advice(piece: _Piece) -> CheckAdvice:
    """Say which check of the yard is best on a piece; they are ranked when somebody asks."""
    ranked = Later(functools.partial(_ranked, piece))
    tell, best = None, None
    if not _none_can_pay(piece):
        tell = _tell(piece, ranked)
        best = tell or next((one for one in ranked if not one.ruled_out and one.net > LEAST_NET), None)
    return CheckAdvice(
        best=best,
        line=_told(piece) if tell is not None else _line(best, piece),
        tally_bay=piece.as_is or piece.placement.bay.code,
        ranked=ranked,
    )


def _none_can_pay(piece: _Piece) -> bool:
    """Return True where no check pays, whatever it shows: the cheapest costs what all could gain.

    Readings that were drawn may gain more by chance, and what reads as a skin does is split whatever it
    gains.
    """
    if piece.seed is not None or (_told(piece) and not piece.is_settled):
        return False
    cheapest = min(map(piece.yard.sorter.cost_of_check, piece.yard.checks), default=np.inf)
    return piece.most_gained - cheapest < LEAST_NET - ROUNDING


def _ranked(piece: _Piece) -> Sequence[CheckWorth]:
    """Return every check of the yard that can still show something, by net gain, those ruled out last."""
    ruled_out = {check.kind: _why_not(check.kind, piece) for check in piece.yard.checks}
    found = _readings(piece, ruled_out)
    costs = [one.cost for one in found if not one.ruled_out]
    read_for = min(costs, default=np.inf)
    # A reading that fits nothing, or is of a coating, is only ever set right by another one.
    if trusted(piece.facts, piece.verdict) is piece.facts:
        found += _bench_worths(piece, ruled_out, read_for)
    return sorted(found, key=lambda one: (bool(one.ruled_out), -one.net, one.check.seconds, one.check.kind))


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
    if best is not None:
        return line_for(best, piece.yard, piece.situation)
    if piece.hazards.stops_everything:
        return f"nothing is tried on it: {piece.hazards.stops_everything}"
    if piece.as_is:
        return f"tally it into {piece.as_is}, neither a check nor a second look pays"
    return HOLD_IT if piece.placement.bay.is_hold else TALLY_IT


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
            meanings=Later(functools.partial(bench_meanings, one, piece.situation, piece.yard)),
            ruled_out=ruled_out[one.check.kind] or _changes_nothing(one.chances, one.decisions, piece),
        )
        for one, gain in zip(found, gains, strict=True)
    ]


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
            profile_of(piece.yard.technique, piece.matching.techniques),
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
    if kind is CheckKind.READING and is_covered(piece.facts, piece.verdict):
        hidden = sorted(piece.facts.bench.surfaces & HIDES_READING)
        coating = piece.verdict.skin.coating if piece.verdict.skin else None
        if hidden:
            return f"it would read a {hidden[0].value} surface"
        return f"it would read {coating}" if coating else "the surface reads as nothing in the library"
    return piece.hazards.why_not(kind)
