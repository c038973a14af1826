"""From weighed surfaces to a verdict: is it a skin, which, how much in each shot, and what is the core."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.library import GradeLibrary
from grade_library.matcher.hypotheses import Joint, Posterior
from grade_library.matcher.kinds import Kinds
from grade_library.normal import FloatArray, log_sum_exp
from grade_library.skin.hypotheses import CoatedPiece, StageView
from grade_library.skin.words import advice_for, arrived_words
from grade_library.verdict import SkinVerdict

SUSPECT = 0.5
"""Probability that some shot read a skin, from which it is said."""
SUSPECT_AGAINST_HAND = 0.03
"""The same where hand or eye contradict the reading, or the sorter calls the piece plated: a grind and a
shot cost far less than plated metal in a dear bay (memory)."""
MOST_CERTAIN = 1.0 - 1e-9
"""No reading makes a skin certain, though sums of rounded numbers come to 1."""
STILL_SKIN = 0.25
"""Probability that the last shots read a skin, above which two that agree have not arrived."""
WORTH_TELLING = 0.03
"""Probability of a skin that reads as the metal does, from which it is said what splits the two."""
LEAST_CORE_SHARE = 0.03
"""Where the core is less of the last reading than this, nothing can be said of its composition."""
LEAST_CORE_SUM_PCT = 75.0
"""A core of which less was read is not shown [wt %]."""
ALSO_LIKELY = 0.2
"""Grades with this part of the leading one's weight come into question too."""
SAME_CORE_WT_PCT = 6.0
"""Cores that differ by more in any element are not the same [wt %]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SkinFinding:
    """What a series says of skin and core."""

    verdict: SkinVerdict
    """Without its candidates."""
    posterior: Posterior
    """What the metal of the core can be."""
    core: Reading | None
    """The last reading with the skin taken out; None where nothing of the core is left in it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Weighed:
    """All hypotheses as probabilities."""

    posterior: Posterior
    some_skin: FloatArray
    """That some shot read this coating, shape (n_pieces,)."""
    last_skin: float
    """That the last stage reads a skin."""
    weights: list[FloatArray]
    """Of each coating and grade beneath it."""


def concluded(
    pieces: Sequence[CoatedPiece],
    bare: Joint,
    views: Sequence[StageView],
    library: GradeLibrary,
    kinds: Kinds,
    against: Sequence[str],
    suspect_from: float,
) -> SkinFinding:
    """Return what the weighed hypotheses say.

    Args:
        pieces: Every coating that can explain the series.
        bare: The hypothesis that there is none.
        views: The stages of the series.
        library: The grades.
        kinds: Their kinds.
        against: Contradictions between hand and reading, in words.
        suspect_from: Probability of a skin from which it is said.
    """
    weighed = _weigh(pieces, bare)
    has_arrived = views[-1].stage.has_settled and weighed.last_skin < STILL_SKIN
    is_skin = float(weighed.some_skin.sum()) >= suspect_from
    verdict = SkinVerdict(
        is_suspected=is_skin and not has_arrived,
        coating=None,
        probability=weighed.last_skin,
        shares=(0.0,) * sum(view.stage.n_shots for view in views),
        has_arrived=has_arrived,
        core=(),
        tell=_tell(pieces, weighed),
    )
    if not is_skin:
        return SkinFinding(verdict=verdict, posterior=weighed.posterior, core=None)
    best = int(np.argmax(weighed.some_skin))
    chance = _with_unlisted(weighed.posterior, kinds)
    advice = advice_for(pieces[best].name, chance, library, views, weighed.last_skin, against)
    return _of_skin(verdict, weighed, pieces[best], weighed.weights[best], views, advice)


def _of_skin(
    verdict: SkinVerdict,
    weighed: _Weighed,
    piece: CoatedPiece,
    weight: FloatArray,
    views: Sequence[StageView],
    advice: str,
) -> SkinFinding:
    """Return the finding where a skin was read: what it is, how much of each shot, and the core beneath."""
    verdict = replace(verdict, shares=_shares(piece, weight, views), advice=arrived_words(piece.name))
    if verdict.has_arrived:
        return SkinFinding(verdict=verdict, posterior=weighed.posterior, core=None)
    verdict = replace(verdict, coating=piece.name, advice=advice)
    core = _core_reading(piece, weight, views[-1])
    return SkinFinding(verdict=verdict, posterior=weighed.posterior, core=core)


def _with_unlisted(posterior: Posterior, kinds: Kinds) -> FloatArray:
    """Return the probability of each grade, what is unlisted counted with its kind, shape (n_grades,).

    Advice is of colours and families, which an alloy shares with its kind.
    """
    return posterior.probability + kinds.spread(posterior.members, posterior.probability)


def _tell(pieces: Sequence[CoatedPiece], weighed: _Weighed) -> str:
    """Return what splits the metal from the likeliest skin that reads the same, "" where none comes in
    question."""
    told = [(float(p), piece.tell) for p, piece in zip(weighed.some_skin, pieces, strict=True) if piece.tell]
    share, words = max(told, default=(0.0, ""))
    return words if share >= WORTH_TELLING else ""


def _weigh(pieces: Sequence[CoatedPiece], bare: Joint) -> _Weighed:
    unlisted = [piece.unlisted for piece in pieces if piece.unlisted is not None]
    totals = [log_sum_exp(piece.log_joint) for piece in pieces]
    total = log_sum_exp(np.array([bare.total, *totals, *(one.total for one in unlisted)]))
    weights = [np.exp(piece.log_joint - total) for piece in pieces]
    probability = np.exp(bare.listed - total)
    members = sum((np.exp(one.members - total) for one in unlisted), np.exp(bare.members - total))
    no_kind = sum((math.exp(one.no_kind - total) for one in unlisted), math.exp(bare.no_kind - total))
    some, last = np.zeros(len(pieces)), 0.0
    for i, (piece, weight) in enumerate(zip(pieces, weights, strict=True)):
        # A piece names each grade once.
        probability[piece.rows] += weight
        shows = 1.0 - np.prod(1.0 - piece.skinned, axis=0)
        some[i] = float((weight * shows).sum())
        last += float((weight * piece.skinned[-1]).sum())
        if piece.unlisted is not None:
            beside = math.exp(piece.unlisted.total - total)
            some[i] += beside * float(shows.mean())
            last += beside * float(piece.skinned[-1].mean())
    return _Weighed(
        posterior=Posterior(probability=probability, members=members, no_kind=no_kind),
        some_skin=some,
        last_skin=min(last, MOST_CERTAIN),
        weights=weights,
    )


def _shares(piece: CoatedPiece, weight: FloatArray, views: Sequence[StageView]) -> tuple[float, ...]:
    """Return the mean share of the skin in each shot, over the grades beneath it."""
    mean = (weight * piece.skinned * piece.shares).sum(axis=1) / max(float(weight.sum()), 1e-300)
    found: list[float] = []
    for value, view in zip(mean, views, strict=True):
        found += [min(max(float(value), 0.0), 1.0)] * view.stage.n_shots
    return tuple(found)


def _core_reading(piece: CoatedPiece, weight: FloatArray, last: StageView) -> Reading | None:
    """Return the last reading with the skin taken out and the rest scaled to 100 %.

    None where the skin leaves nothing of the core, or where the likely grades tell of different cores.
    """
    if piece.core is not None or piece.tell:
        return piece.core
    best = int(np.argmax(weight))
    likely = np.flatnonzero(weight >= ALSO_LIKELY * weight[best])
    is_skin = piece.skinned[-1, likely] >= 0.5
    share = np.where(is_skin, piece.shares[-1, likely], 0.0)
    left = 1.0 - share
    if left[likely == best][0] < LEAST_CORE_SHARE:
        return None
    added = np.where(is_skin[:, None], piece.added[likely], 0.0)
    cores = (last.shot.value - added) / np.maximum(left, LEAST_CORE_SHARE)[:, None]
    core = cores[likely == best][0]
    if np.nanmax(np.abs(cores - core), initial=0.0) > SAME_CORE_WT_PCT:
        return None
    sigma = np.minimum(last.shot.sigma / left[likely == best][0], 50.0)
    found = np.flatnonzero(np.nan_to_num(core) > 0.0)
    total = float(core[found].sum())
    if total < LEAST_CORE_SUM_PCT:
        return None
    scale = 100.0 / max(total, 100.0)
    symbols = last.sight.elements
    return Reading(
        values={symbols[j]: float(core[j]) * scale for j in found},
        sigma={symbols[j]: float(sigma[j]) for j in found},
        technique=last.stage.averaged.profile.key,
    )


def core_facts(facts: PieceFacts, finding: SkinFinding) -> PieceFacts:
    """Return the facts that tell of the core: its own reading, hand and eye but for the surface's colour."""
    shots = () if finding.core is None else (Shot(reading=finding.core),)
    return replace(facts, shots=shots, bench=replace(facts.bench, colour=None))
