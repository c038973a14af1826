"""Why a grade fits or does not, in the sorter's words."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.likelihood import Observed
from grade_library.melt import Melts
from grade_library.normal import FloatArray
from grade_library.verdict import Reason, ReasonKind

MOST_REASONS = 5
WORTH_SAYING_NATS = 0.05
"""A reason that moves the odds by less than 5 % is not said."""
CLEARLY_OUT_SIGMAS = 2.0
"""An element this far outside its limit is always among the reasons."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ElementEvidence:
    """What one technique's reading says of every grade, element by element."""

    library: GradeLibrary
    melts: Melts
    observed: Observed
    terms: FloatArray
    """What the reading adds for each term [nats], shape (n_terms,)."""
    reference: FloatArray
    """The same for an average alloy of the leading group [nats], shape (n_elements,)."""

    def weights(self, rows: NDArray[np.int64]) -> FloatArray:
        """Return what each element says for these grades against the average [nats], shape (n_rows, n_elements)."""
        found: FloatArray = self.terms[self.melts.index[rows]] - self.reference
        return found


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WholeEvidence:
    """A fact that is not about one element: a bench observation, a claim, the prior."""

    kind: ReasonKind
    name: str
    weights: FloatArray
    """Against the average of all grades [nats], shape (n_grades,)."""


def reasons_for(
    rows: NDArray[np.int64], elements: Sequence[ElementEvidence], whole: Sequence[WholeEvidence]
) -> list[tuple[Reason, ...]]:
    """Return at most five reasons for each of these grades, the strongest first.

    Args:
        rows: Rows of the grades in the library.
        elements: The readings, one per technique.
        whole: All other facts.
    """
    blocks = [evidence.weights(rows) for evidence in elements]
    ranks = [
        np.abs(block) + _urgency(evidence, rows) for block, evidence in zip(blocks, elements, strict=True)
    ]
    others = np.array([fact.weights[rows] for fact in whole]).reshape(len(whole), len(rows)).T
    weights = np.concatenate([*blocks, others], axis=1)
    rank = np.concatenate([*ranks, np.abs(others)], axis=1)
    order = np.argsort(-rank, axis=1, kind="stable")[:, : MOST_REASONS + 2]
    ends = np.cumsum([block.shape[1] for block in blocks])
    return [
        _reasons_of(int(row), columns, weights[i], rank[i], elements, whole, ends)
        for i, (row, columns) in enumerate(zip(rows, order, strict=True))
    ]


def _urgency(evidence: ElementEvidence, rows: NDArray[np.int64]) -> FloatArray:
    """Return 0 for most, a large number where an element lies clearly outside a limit, so that it is always said."""
    terms = evidence.melts.index[rows]
    value, sigma = evidence.observed.value, evidence.observed.sigma
    out = np.maximum(evidence.melts.low[terms] - value, value - evidence.melts.high[terms]) / sigma
    return np.where(np.nan_to_num(out) > CLEARLY_OUT_SIGMAS, 1000.0, 0.0)


def _reasons_of(
    row: int,
    columns: NDArray[np.int64],
    weights: FloatArray,
    rank: FloatArray,
    elements: Sequence[ElementEvidence],
    whole: Sequence[WholeEvidence],
    ends: NDArray[np.int64],
) -> tuple[Reason, ...]:
    found: list[Reason] = []
    for column in columns:
        if rank[column] < WORTH_SAYING_NATS or len(found) == MOST_REASONS:
            break
        weight = float(weights[column])
        block = int(np.searchsorted(ends, column, side="right"))
        if block < len(elements):
            start = int(ends[block - 1]) if block else 0
            reason = _element_reason(elements[block], row, int(column) - start, weight)
            if reason is not None:
                found.append(reason)
        else:
            fact = whole[int(column) - (int(ends[-1]) if len(ends) else 0)]
            found.append(Reason(kind=fact.kind, text=_whole_text(fact, weight), weight_nats=weight))
    return tuple(found)


def _whole_text(fact: WholeEvidence, weight: float) -> str:
    if fact.kind is ReasonKind.CLAIM:
        return f"{fact.name}: {'this grade' if weight >= 0 else 'another grade'}"
    return f"{fact.name} {'fits' if weight >= 0 else 'speaks against it'}"


def _element_reason(evidence: ElementEvidence, row: int, column: int, weight: float) -> Reason | None:
    melts, observed = evidence.melts, evidence.observed
    symbol = melts.elements[column]
    term = int(melts.index[row, column])
    low, high = float(melts.low[term]), float(melts.high[term])
    value = float(observed.value[column])
    if np.isnan(value):
        return _missing_reason(symbol, low, observed, column, bool(melts.is_rest[term]), weight)
    grade = evidence.library.grades[row]
    limit = grade.limits.get(symbol)
    sigma = float(observed.sigma[column])
    shown = _figure(value)
    if limit is None and not melts.is_rest[term]:
        return _residual_reason(grade, symbol, value, sigma, high, weight)
    if limit is not None:
        low = limit.low if limit.low is not None else (low if melts.is_rest[term] else 0.0)
        high = limit.high if limit.high is not None else (high if melts.is_rest[term] else 100.0)
    words = _range_words(
        low, high, is_rest=bool(melts.is_rest[term]) and (limit is None or limit.low is limit.high)
    )
    if low <= value <= high:
        return Reason(
            kind=ReasonKind.INSIDE,
            text=f"{symbol} {shown} inside {words}",
            weight_nats=weight,
            element=symbol,
        )
    excess = value - high if value > high else value - low
    edge, side = (high, "over") if excess > 0 else (low, "under")
    if (
        melts.is_rest[term]
        and limit is not None
        and limit.low is None
        and limit.high is None
        and abs(excess) < sigma
    ):
        return Reason(
            kind=ReasonKind.INSIDE, text=f"{symbol} {shown} fits the rest", weight_nats=weight, element=symbol
        )
    return Reason(
        kind=ReasonKind.OUTSIDE,
        text=f"{symbol} {shown} is {_figure(abs(excess))} {side} {_figure(edge)} ({abs(excess) / sigma:.1f} σ)",
        weight_nats=weight,
        element=symbol,
        excess_wt_pct=excess,
        excess_sigma=excess / sigma,
    )


def _residual_reason(
    grade: Grade, symbol: str, value: float, sigma: float, usual: float, weight: float
) -> Reason:
    limit = grade.others_each
    over = value - (limit if limit is not None else usual)
    if over <= 0.0:
        text = f"{symbol} {_figure(value)} not named, usual as a residual"
    else:
        text = f"{symbol} {_figure(value)} is not in it: {_figure(over)} over what strays in ({over / sigma:.1f} σ)"
    return Reason(
        kind=ReasonKind.RESIDUAL,
        text=text,
        weight_nats=weight,
        element=symbol,
        excess_wt_pct=max(over, 0.0),
        excess_sigma=max(over, 0.0) / sigma,
    )


def _missing_reason(
    symbol: str, low: float, observed: Observed, column: int, is_rest: bool, weight: float
) -> Reason | None:
    limit = float(observed.below[column])
    if np.isnan(limit):
        if low <= 0.0 or is_rest or weight > -WORTH_SAYING_NATS:
            return None
        return Reason(
            kind=ReasonKind.OUTSIDE,
            text=f"{symbol} not reported, needs {_figure(low)} or more",
            weight_nats=weight,
            element=symbol,
        )
    if limit >= low:
        return Reason(
            kind=ReasonKind.INSIDE,
            text=f"{symbol} below {_figure(limit)} fits",
            weight_nats=weight,
            element=symbol,
        )
    return Reason(
        kind=ReasonKind.OUTSIDE,
        text=f"{symbol} below {_figure(limit)}, needs {_figure(low)} or more",
        weight_nats=weight,
        element=symbol,
        excess_wt_pct=limit - low,
    )


def _range_words(low: float, high: float, *, is_rest: bool) -> str:
    if is_rest:
        return f"the rest, about {low:.0f}-{high:.0f}"
    if low <= 0.0:
        return f"up to {_figure(high)}"
    if high >= 100.0:
        return f"{_figure(low)} or more"
    return f"{_figure(low)}-{_figure(high)}"


def _figure(wt_pct: float) -> str:
    """Return a mass fraction with as many decimals as it deserves."""
    text = f"{wt_pct:.1f}" if wt_pct >= 10 else f"{wt_pct:.2f}" if wt_pct >= 0.1 else f"{wt_pct:.4f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
