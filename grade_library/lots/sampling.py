"""How many pieces of a uniform lot to check, and what the checks that were made prove of the rest."""

import math
from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass

from grade_library.errors import ObservationError

MOST_ACCEPTED = 2
"""Largest acceptance number offered: with more wrong pieces no lot is called uniform (own judgement)."""
RISK_SHARES = ((1.0,), (0.8, 1.0), (0.7, 0.9, 1.0))
"""Part of the whole risk that may be used up by the step that allows 0, 1, 2 wrong pieces, for each
acceptance number. Most goes to the first step, so that a clean lot is done early (own choice; the whole
risk is exact)."""
ROUNDING = 1e-9
"""Relative slack on a risk: 5 of 100 is 0.05 whatever its last binary digit."""


def log_choose(n: int, k: int) -> float:
    """Return ln of the number of ways to choose k of n; -inf where there is none.

    >>> round(math.exp(log_choose(52, 5)))
    2598960
    """
    if not 0 <= k <= n:
        return -math.inf
    return math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1)


def chance_of_found(lot: int, wrong: int, sample: int, found: int) -> float:
    """Return the chance that exactly `found` wrong pieces are among those checked.

    Args:
        lot: Pieces in the lot, >= 1.
        wrong: Wrong pieces in it, 0..lot.
        sample: Pieces drawn without putting back, 0..lot.
        found: Wrong pieces among those drawn.

    Source: hypergeometric distribution, by definition.
    """
    ways = log_choose(wrong, found) + log_choose(lot - wrong, sample - found)
    return math.exp(ways - log_choose(lot, sample)) if ways > -math.inf else 0.0


def chance_of_acceptance(lot: int, wrong: int, sample: int, accept: int) -> float:
    """Return the chance that at most `accept` wrong pieces are found among `sample` drawn from the lot.

    >>> round(chance_of_acceptance(50, 5, 10, 0), 4)
    0.3106
    """
    _check(lot, wrong, sample)
    return min(1.0, sum(chance_of_found(lot, wrong, sample, k) for k in range(accept + 1)))


def binomial_acceptance(share: float, sample: int, accept: int) -> float:
    """Return the chance of at most `accept` wrong pieces among `sample` from a lot without end.

    Args:
        share: Share of wrong pieces, 0..1.
        sample: Pieces drawn, >= 0.
        accept: Acceptance number, >= 0.

    >>> round(binomial_acceptance(0.10, 125, 2), 9)
    0.000210835
    """
    if not 0.0 <= share <= 1.0:
        raise ObservationError(f"share of wrong pieces {share:g}: needs 0 to 1")
    if accept >= sample or share == 0.0:
        return 1.0
    if share == 1.0:
        return 0.0
    log_wrong, log_right = math.log(share), math.log1p(-share)
    terms = (
        math.exp(log_choose(sample, k) + k * log_wrong + (sample - k) * log_right) for k in range(accept + 1)
    )
    return min(1.0, sum(terms))


def _check(lot: int, wrong: int, sample: int) -> None:
    if lot < 1:
        raise ObservationError(f"a lot of {lot} pieces: needs at least 1")
    if not 0 <= wrong <= lot:
        raise ObservationError(f"{wrong} wrong pieces in a lot of {lot}: needs 0 to {lot}")
    if not 0 <= sample <= lot:
        raise ObservationError(f"{sample} pieces checked of a lot of {lot}: needs 0 to {lot}")


def _check_risk(risk: float) -> None:
    if not 0.0 < risk < 1.0:
        raise ObservationError(f"risk {risk:g}: needs a value between 0 and 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPlan:
    """How many pieces to check, step by step: step k ends the checks when at most k wrong ones were found."""

    lot: int
    """Pieces in the lot."""
    wrong: int
    """A lot with so many wrong pieces must not pass."""
    confidence: float
    """1 less the greatest chance that such a lot passes all the same."""
    steps: tuple[int, ...]
    """Pieces checked at the end of step 0, 1, 2; the last index is the acceptance number."""

    @property
    def accept(self) -> int:
        """Most wrong pieces with which the lot can still pass."""
        return len(self.steps) - 1

    def needed(self, found: int) -> int | None:
        """Return how many pieces to check in all with so many wrong ones found; None when the lot failed."""
        return self.steps[found] if found <= self.accept else None


def plan_for(lot: int, share: float, confidence: float, accept: int) -> LotPlan:
    """Return the plan by which a lot with at least that share of wrong pieces passes at most by the risk.

    The risk is 1 - confidence. The sorter stops at the first step at which no more wrong pieces were found
    than the step allows, so a clean lot is done after the first. The chances of all steps together keep the
    confidence exactly; making a plan anew after a wrong piece was seen would not.

    Args:
        lot: Pieces in the lot, >= 1.
        share: Share of wrong pieces that must not pass, 0 < share <= 1.
        confidence: Asked, 0 < confidence < 1.
        accept: Acceptance number, 0, 1 or 2; lowered where the lot has no room for it.

    Raises:
        ObservationError: A value is outside its range.

    >>> plan_for(100, 0.05, 0.95, 0).steps
    (45,)
    """
    _check(lot, 0, 0)
    if not 0.0 < share <= 1.0:
        raise ObservationError(f"share of wrong pieces {share:g}: needs more than 0, at most 1")
    if not 0 <= accept <= MOST_ACCEPTED:
        raise ObservationError(f"acceptance number {accept}: needs 0 to {MOST_ACCEPTED}")
    _check_risk(1.0 - confidence)
    # A share such as 0.07 of 100 is 7 wrong pieces, not 8 because of the last binary digit.
    wrong = max(1, math.ceil(share * lot - 1e-9))
    accept = min(accept, wrong - 1)
    return LotPlan(
        lot=lot,
        wrong=wrong,
        confidence=confidence,
        steps=_steps(lot, wrong, tuple((1.0 - confidence) * part for part in RISK_SHARES[accept])),
    )


def _steps(lot: int, wrong: int, risks: tuple[float, ...]) -> tuple[int, ...]:
    """Return where each step ends so that the lot passes with at most `risks[k]` up to the end of step k."""
    found = [1.0] + [0.0] * (len(risks) - 1)
    passed = 0.0
    steps: list[int] = []
    for drawn in range(lot + 1):
        step = len(steps)
        if passed + sum(found[: step + 1]) <= risks[step] * (1.0 + ROUNDING) or drawn == lot:
            passed += _stop(found, step)
            steps.append(drawn)
            if len(steps) == len(risks):
                break
        if drawn < lot:
            found = _after_draw(found, lot, wrong, drawn)
    return tuple(steps + [lot] * (len(risks) - len(steps)))


def _after_draw(found: list[float], lot: int, wrong: int, drawn: int) -> list[float]:
    """Return the chances of 0, 1 ... wrong pieces after one more draw; more than the plan allows drop out."""
    after = [0.0] * len(found)
    for k, chance in enumerate(found):
        hit = max(wrong - k, 0) / (lot - drawn)
        after[k] += chance * (1.0 - min(hit, 1.0))
        if k + 1 < len(found):
            after[k + 1] += chance * min(hit, 1.0)
    return after


def _stop(found: list[float], step: int) -> float:
    """Take the lots that pass at this step out of the running ones, in place; return their chance."""
    passed = sum(found[: step + 1])
    found[: step + 1] = [0.0] * (step + 1)
    return passed


def chance_of_passing(plan: LotPlan, wrong: int, *, step: int | None = None) -> float:
    """Return the chance that a lot with so many wrong pieces passes at or before a step.

    Args:
        plan: Any plan.
        wrong: Wrong pieces in the lot, 0..lot.
        step: The last step counted; None for all of them.
    """
    _check(plan.lot, wrong, 0)
    last = plan.accept if step is None else step
    found = [1.0] + [0.0] * plan.accept
    passed, at = 0.0, 0
    for drawn in range(plan.steps[last] + 1):
        while at <= last and plan.steps[at] == drawn:
            passed += _stop(found, at)
            at += 1
        if drawn < plan.lot:
            found = _after_draw(found, plan.lot, wrong, drawn)
    return min(1.0, passed)


def most_wrong_after(plan: LotPlan, step: int) -> int:
    """Return the most wrong pieces that a lot may hold which passed at that step, at the plan's confidence.

    A lot with more would have passed so early with at most 1 - confidence.

    Args:
        plan: Any plan.
        step: The step at which it passed.
    """
    risk = 1.0 - plan.confidence
    return _last(step, plan.lot + 1, lambda wrong: chance_of_passing(plan, wrong, step=step) > risk)


def _last(below: int, above: int, holds: Callable[[int], bool]) -> int:
    """Return the last number below `above` for which it holds; `below` where it holds for none beyond."""
    return bisect_left(range(below + 1, above), True, key=lambda number: not holds(number)) + below


def most_wrong(lot: int, sample: int, found: int, confidence: float) -> int:
    """Return the upper bound on the wrong pieces of a lot, those found among them.

    The largest number with which so few would be found by more than 1 - confidence; one-sided, for a sample
    whose size was settled beforehand.

    Raises:
        ObservationError: A value is outside its range.

    >>> most_wrong(100, 45, 0, 0.95)
    4
    """
    _check(lot, found, sample)
    _check_risk(1.0 - confidence)
    if found > sample:
        raise ObservationError(f"{found} wrong pieces among {sample} checked")
    above, risk = lot - (sample - found) + 1, 1.0 - confidence
    return _last(found, above, lambda wrong: chance_of_acceptance(lot, wrong, sample, found) > risk)


def least_wrong(lot: int, sample: int, found: int, confidence: float) -> int:
    """Return the lower bound on the wrong pieces of a lot, those found among them; one-sided.

    Raises:
        ObservationError: A value is outside its range.
    """
    _check(lot, found, sample)
    _check_risk(1.0 - confidence)
    if found == 0:
        return 0
    return next(
        wrong
        for wrong in range(found, lot + 1)
        if 1.0 - chance_of_acceptance(lot, wrong, sample, found - 1) > 1.0 - confidence
        or wrong == lot - (sample - found)
    )


def most_share(found: int, sample: int, confidence: float) -> float:
    """Return the one-sided upper bound on the share of wrong pieces in a lot without end, 0..1.

    >>> round(most_share(0, 59, 0.95), 4)
    0.0495
    """
    _check_found(found, sample, confidence)
    if found == sample:
        return 1.0
    return _crossing(found, sample, 1.0 - confidence)


def least_share(found: int, sample: int, confidence: float) -> float:
    """Return the one-sided lower bound on the share of wrong pieces in a lot without end, 0..1."""
    _check_found(found, sample, confidence)
    if found == 0:
        return 0.0
    return _crossing(found - 1, sample, confidence)


def _check_found(found: int, sample: int, confidence: float) -> None:
    if not 0 <= found <= sample or sample < 1:
        raise ObservationError(
            f"{found} wrong pieces among {sample} checked: needs 0 to {sample}, at least 1"
        )
    _check_risk(1.0 - confidence)


def _crossing(accept: int, sample: int, chance: float) -> float:
    """Return the share at which the chance of at most `accept` wrong pieces falls to `chance`."""
    low, high = 0.0, 1.0
    # 60 halvings reach the last binary digit of a share between 0 and 1.
    for _ in range(60):
        middle = 0.5 * (low + high)
        if binomial_acceptance(middle, sample, accept) > chance:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
