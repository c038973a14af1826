"""Is this the skin or the core? What lies on a piece, and what lies beneath it, from all shots together."""

import weakref
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from grade_library.evidence import Compiled, Evidence
from grade_library.facts import PieceFacts, Reading
from grade_library.hypotheses import Posterior
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray
from grade_library.skin_bench import bare_log_likelihood
from grade_library.skin_gate import is_worth_a_look
from grade_library.skin_hypotheses import (
    CoatedPiece,
    StageView,
    agreement_log_density,
    broad_log_density,
    coated_pieces,
    stage_view,
)
from grade_library.skin_series import Stage, stages_of, surface_shots
from grade_library.skin_sight import Sight, compile_sight
from grade_library.skin_words import advice_for, arrived_words, contradictions
from grade_library.technique import Profile
from grade_library.verdict import SkinVerdict

SUSPECT = 0.5
"""Probability that some shot read a skin, from which it is said."""
SUSPECT_AGAINST_HAND = 0.15
"""The same where hand or eye contradict the reading."""
STILL_SKIN = 0.25
"""Probability that the last shots read a skin, above which two that agree have not arrived."""
UNKNOWN = "surface layer"
"""A skin that no coating of the library explains."""
UNKNOWN_MET = 0.0005
"""Share of pieces that carry such a skin (memory)."""
UNKNOWN_LEADS_NATS = 3.0
"""It is thought of only where it explains the shots better than every known coating by this much."""
UNKNOWN_UNGROUND = 0.1
"""How much rarer it is that two shots differ for it where nothing was ground between them (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SkinFinding:
    """What the series says of skin and core."""

    verdict: SkinVerdict
    """Without its candidates."""
    probability: FloatArray
    """Of each grade as the metal of the core, shape (n_grades,)."""
    unlisted: float
    """That the core is of no grade; with all grades it sums to 1."""
    core: Reading | None
    """The last reading with the skin taken out; None where nothing of the core is left in it."""


_sights: "weakref.WeakKeyDictionary[GradeLibrary, dict[frozenset[str], Sight]]" = weakref.WeakKeyDictionary()


def sight_for(library: GradeLibrary, compiled: Compiled, profile: Profile, shares: FloatArray) -> Sight:
    """Return the library and the coatings as a technique sees them, worked out once.

    Args:
        library: The grades.
        compiled: What was worked out for them.
        profile: The technique.
        shares: How often each grade is met; those of the first call decide what coatings are usually found on.
    """
    known = _sights.setdefault(library, {})
    if profile.unseen not in known:
        melts = compiled.readable(library, profile).melts
        known[profile.unseen] = compile_sight(library, melts, profile, shares)
    return known[profile.unseen]


def find_skin(
    facts: PieceFacts,
    library: GradeLibrary,
    compiled: Compiled,
    shares: FloatArray,
    evidence: Evidence,
    posterior: Posterior,
    profiles: Mapping[str, Profile],
) -> SkinFinding | None:
    """Return what the shots say of skin and core, None where no shot looks at a surface.

    Args:
        facts: All that is known of the piece.
        library: The grades.
        compiled: What was worked out for them.
        shares: Frequency of each grade before, shape (n_grades,), sum 1.
        evidence: What the facts say of bare metal.
        posterior: The same, weighed.
        profiles: Key -> technique profile.
    """
    shots = surface_shots(facts.shots, profiles)
    stages = stages_of(shots, profiles)
    if not stages:
        return None
    if not is_worth_a_look(facts, stages, library, shares, evidence, posterior):
        return _clean(stages, len(shots), posterior)
    views = [
        stage_view(stage, sight_for(library, compiled, stage.averaged.profile, shares), is_first=i == 0)
        for i, stage in enumerate(stages)
    ]
    claim = evidence.claim.log_likelihood if evidence.claim else np.zeros(len(library))
    pieces = coated_pieces(views, facts.bench, compiled.bench, claim)
    bare = _bare(views, facts, shares, evidence, posterior)
    unknown = _unknown_layer(views, facts, shares, evidence)
    if unknown is not None and _total(unknown) > max(map(_total, pieces), default=-np.inf) + UNKNOWN_LEADS_NATS:
        pieces.append(unknown)
    against = contradictions(facts.bench, library, shares, evidence)
    return _concluded(pieces, bare, views, library, against)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Bare:
    """The hypothesis that every shot read the metal."""

    log_joint: FloatArray
    """Of each grade [nats], shape (n_grades,)."""
    log_unlisted: float


def _bare(
    views: list[StageView], facts: PieceFacts, shares: FloatArray, evidence: Evidence, posterior: Posterior
) -> _Bare:
    last = views[-1]
    others = sum(agreement_log_density(view, last) for view in views[:-1])
    log_joint = np.log(shares) + last.clean + evidence.by_hand + others
    log_joint = log_joint + bare_log_likelihood(facts.bench, evidence.bench)
    listed = float(posterior.probability.sum())
    ratio = np.log(max(posterior.unlisted, 1e-300)) - np.log(max(listed, 1e-300))
    return _Bare(log_joint=log_joint, log_unlisted=float(np.logaddexp.reduce(log_joint) + ratio))


def _unknown_layer(
    views: list[StageView], facts: PieceFacts, shares: FloatArray, evidence: Evidence
) -> CoatedPiece | None:
    """Return the hypothesis that all stages but the last read something that the library does not know."""
    if len(views) < 2:
        return None
    last = views[-1]
    log_joint = np.log(shares) + last.clean + evidence.by_hand + np.log(UNKNOWN_MET)
    log_joint = log_joint + sum(broad_log_density(view) for view in views[:-1])
    log_joint = log_joint + bare_log_likelihood(facts.bench, evidence.bench)
    if not any(view.stage.is_ground_before for view in views[1:]):
        log_joint = log_joint + np.log(UNKNOWN_UNGROUND)
    n = len(shares)
    covered = np.zeros((len(views), n))
    covered[:-1] = 1.0
    return CoatedPiece(
        name=UNKNOWN,
        rows=np.arange(n),
        log_joint=log_joint,
        skinned=covered,
        shares=covered,
        added=np.zeros((n, len(last.sight.elements))),
    )


def _total(piece: CoatedPiece) -> float:
    return float(np.logaddexp.reduce(piece.log_joint))


def _clean(stages: tuple[Stage, ...], n_shots: int, posterior: Posterior) -> SkinFinding:
    verdict = SkinVerdict(
        is_suspected=False,
        coating=None,
        probability=0.0,
        shares=(0.0,) * n_shots,
        has_arrived=stages[-1].has_settled,
        core=(),
    )
    return SkinFinding(
        verdict=verdict, probability=posterior.probability, unlisted=posterior.unlisted, core=None
    )


def _concluded(
    pieces: list[CoatedPiece],
    bare: _Bare,
    views: list[StageView],
    library: GradeLibrary,
    against: list[str],
) -> SkinFinding:
    n_shots = sum(view.stage.n_shots for view in views)
    peak = max(
        [float(bare.log_joint.max()), bare.log_unlisted, *(float(piece.log_joint.max()) for piece in pieces)]
    )
    weights = [np.exp(piece.log_joint - peak) for piece in pieces]
    listed = np.exp(bare.log_joint - peak)
    unlisted = float(np.exp(bare.log_unlisted - peak))
    total = float(listed.sum()) + unlisted + sum(float(weight.sum()) for weight in weights)
    probability = listed / total
    by_piece, last_skin = [], 0.0
    for piece, weight in zip(pieces, weights, strict=True):
        np.add.at(probability, piece.rows, weight / total)
        some = 1.0 - np.prod(1.0 - piece.skinned, axis=0)
        by_piece.append(float((weight * some).sum()) / total)
        last_skin += float((weight * piece.skinned[-1]).sum()) / total
    any_skin = sum(by_piece)
    settled = views[-1].stage.has_settled
    has_arrived = settled and last_skin < STILL_SKIN
    enough = SUSPECT_AGAINST_HAND if against else SUSPECT
    is_suspected = any_skin >= enough and not has_arrived
    best = int(np.argmax(by_piece)) if pieces else -1
    shares = _shares(pieces[best], weights[best], views, n_shots) if any_skin >= enough else (0.0,) * n_shots
    core = _core_reading(pieces[best], weights[best], views[-1]) if is_suspected else None
    advice = ""
    if is_suspected:
        advice = advice_for(pieces[best].name, probability, library, views, last_skin, against)
    elif has_arrived and any_skin >= enough:
        advice = arrived_words(pieces[best].name)
    verdict = SkinVerdict(
        is_suspected=is_suspected,
        coating=pieces[best].name if is_suspected else None,
        probability=last_skin,
        shares=shares,
        has_arrived=has_arrived,
        core=(),
        advice=advice,
    )
    return SkinFinding(verdict=verdict, probability=probability, unlisted=unlisted / total, core=core)


def _shares(
    piece: CoatedPiece, weight: FloatArray, views: list[StageView], n_shots: int
) -> tuple[float, ...]:
    """Return the mean share of the skin in each shot, over the grades beneath it."""
    mean = (weight * piece.skinned * piece.shares).sum(axis=1) / max(float(weight.sum()), 1e-300)
    found: list[float] = []
    for value, view in zip(mean, views, strict=True):
        found += [min(max(float(value), 0.0), 1.0)] * view.stage.n_shots
    return tuple(found[:n_shots])


def _core_reading(piece: CoatedPiece, weight: FloatArray, last: StageView) -> Reading | None:
    """Return the last reading with the skin of the likeliest grade taken out and the rest scaled to 100 %."""
    best = int(np.argmax(weight))
    share = float(piece.shares[-1, best]) if piece.skinned[-1, best] >= SUSPECT else 0.0
    left = 1.0 - share
    if left < 0.03:
        return None
    added = piece.added[best] if share > 0.0 else np.zeros(len(last.sight.elements))
    values, sigma = {}, {}
    for j, symbol in enumerate(last.sight.elements):
        value = last.shot.value[j]
        if not np.isnan(value) and (core := (value - added[j]) / left) > 0.0:
            values[symbol] = float(core)
            sigma[symbol] = float(min(last.shot.sigma[j] / left, 50.0))
    total = sum(values.values())
    scale = 100.0 / total if total > 100.0 else 1.0
    return Reading(
        values={symbol: value * scale for symbol, value in values.items()},
        sigma=sigma,
        technique=last.stage.averaged.profile.key,
    )
