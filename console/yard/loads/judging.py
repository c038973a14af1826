"""A load against the limits of its order: decision rule, chance of keeping each limit, what would help.

Terms and rules of JCGM 106:2012 (its clause numbers are from memory).
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from console.yard.chemistry.headroom import chance_kept
from console.yard.loads.buyer import DecisionRule, LoadLimit
from console.yard.loads.pooling import UNNAMED, LoadPart, Pool, pool
from grade_library.loading.notation import write_limit
from grade_library.lots.blending import Blend

K = 2.0
"""Coverage factor of the expanded uncertainty U = K·u."""
COVERAGE = math.erf(K / math.sqrt(2.0))
"""What K covers of a normal distribution, two-sided: 0.954. No part of u comes from a few repeated
observations whose degrees of freedom would widen it: all of it is judged (JCGM 100:2008, G.4, memory)."""
RULE_WORDS = {
    DecisionRule.SHARED_RISK: "shared risk (simple acceptance, JCGM 106:2012, 8.2): the estimate is held "
    "against the limit; buyer and seller share the risk of its uncertainty",
    DecisionRule.GUARD_BAND: "guard band (guarded acceptance, JCGM 106:2012, 8.3.2): the estimate keeps the "
    "limit by the expanded uncertainty U, k = 2; at most 2.3 % of such loads are beyond it",
}
MOST_LEFT_OUT = 5
"""More parts than that nobody takes out again for one limit (own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One limit of the order against a load."""

    words: str
    """ "Cu", "Cu + 8 Sn"."""
    bound: str
    """As yard.toml writes it: "<=0.25"."""
    content: Blend
    """The estimate [wt %]."""
    chance: float
    """Probability that the load is within the limit, 0..1."""
    beyond: float
    """By how much the rule is not met [wt %]; 0 where it is."""
    helps: tuple[str, ...] = ()
    """What would help, a clause each; empty where the rule is met."""

    @property
    def is_met(self) -> bool:
        """Whether the load passes by the decision rule."""
        return self.beyond <= 0.0

    @property
    def expanded(self) -> float:
        """U = k·u [wt %]."""
        return K * self.content.sigma


def sum_of(terms: Mapping[str, float], composition: Mapping[str, Blend]) -> Blend:
    """Return the content of a sum of elements [wt %], errors of different elements being independent.

    Source: law of propagation of uncertainty; that the elements err independently is our own judgement.

    >>> load = {"Cu": Blend(wt_pct=0.2, sigma=0.03), "Sn": Blend(wt_pct=0.02, sigma=0.0)}
    >>> sum_of({"Cu": 1.0, "Sn": 8.0}, load)
    Blend(wt_pct=0.36, sigma=0.03, common=0.0)
    """
    parts = [(factor, composition.get(symbol, UNNAMED)) for symbol, factor in terms.items()]
    return Blend(
        wt_pct=sum(factor * one.wt_pct for factor, one in parts),
        sigma=math.hypot(*(factor * one.sigma for factor, one in parts)),
        common=math.hypot(*(factor * one.common for factor, one in parts)),
    )


def beyond(content: Blend, limit: LoadLimit, rule: DecisionRule) -> float:
    """Return by how much a content is not acceptable by a rule [wt %]; 0 where it is."""
    guard = K * content.sigma if rule is DecisionRule.GUARD_BAND else 0.0
    over = [0.0]
    if limit.limit.high is not None:
        over.append(content.wt_pct + guard - limit.limit.high)
    if limit.limit.low is not None:
        over.append(limit.limit.low - (content.wt_pct - guard))
    return max(over)


def judged(parts: Sequence[LoadPart], limits: Sequence[LoadLimit], rule: DecisionRule) -> tuple[Judged, ...]:
    """Return every limit against a load; none where something in it is not known, or it is empty.

    Args:
        parts: Of the load.
        limits: Of the order.
        rule: As agreed with the buyer.
    """
    if not parts or any(not part.contents for part in parts):
        return ()
    return tuple(_judged(parts, limit, rule) for limit in limits)


def _judged(parts: Sequence[LoadPart], limit: LoadLimit, rule: DecisionRule) -> Judged:
    narrow = [_narrowed(part, limit) for part in parts]
    whole = pool(narrow, limit.terms)
    content = sum_of(limit.terms, whole.composition())
    far = beyond(content, limit, rule)
    return Judged(
        words=limit.words,
        bound=write_limit(limit.limit),
        content=content,
        chance=chance_kept(content, limit.limit),
        beyond=far,
        helps=tuple(_helps(narrow, whole, limit, rule)) if far > 0.0 else (),
    )


def _narrowed(part: LoadPart, limit: LoadLimit) -> LoadPart:
    """Return a part with nothing but the elements of a limit, which is all that the search for help reads."""
    contents = {symbol: part.contents.get(symbol, UNNAMED) for symbol in limit.terms}
    return LoadPart(name=part.name, mass_g=part.mass_g, contents=contents)


def _helps(parts: list[LoadPart], whole: Pool, limit: LoadLimit, rule: DecisionRule) -> Iterator[str]:
    """Yield what would help: parts to leave out, one after the other; knowing it better."""
    before = sum_of(limit.terms, whole.composition())
    out: list[str] = []
    left, pooled = list(parts), whole
    far = beyond(before, limit, rule)
    while far > 0.0 and len(left) > 1 and len(out) < MOST_LEFT_OUT:
        best = min(left, key=lambda one: _far(pooled.without(one), limit, rule))
        if _far(pooled.without(best), limit, rule) >= far:
            break
        pooled = pooled.without(best)
        left.remove(best)
        out.append(best.name)
        far = _far(pooled, limit, rule)
    if out:
        after = sum_of(limit.terms, pooled.composition())
        still = f", still {far:.2f} too far" if far > 0.0 else ""
        yield f"leave out {', '.join(out)}: {limit.words} {before.wt_pct:.2f} -> {after.wt_pct:.2f}{still}"
    nearest = min(parts, key=lambda one: _far(pool([one]), limit, rule))
    if (least := _far(pool([nearest]), limit, rule)) > 0.0:
        yield f"no part keeps it by itself; the nearest, {nearest.name}, is {least:.2f} too far"
    if rule is DecisionRule.GUARD_BAND and (room := -_signed(before, limit)) > 0.0:
        yield f"the estimate keeps it: an analysis with U of {room:.3f} or less would do"


def _far(pooled: Pool, limit: LoadLimit, rule: DecisionRule) -> float:
    return beyond(sum_of(limit.terms, pooled.composition()), limit, rule)


def _signed(content: Blend, limit: LoadLimit) -> float:
    """Return how far the estimate itself is beyond the limit [wt %], negative where it keeps it."""
    high, low = limit.limit.high, limit.limit.low
    return max(
        content.wt_pct - high if high is not None else -math.inf,
        low - content.wt_pct if low is not None else -math.inf,
    )
