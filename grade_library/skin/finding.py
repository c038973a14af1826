"""Is this the skin or the core? What lies on a piece, and what lies beneath it, from all shots together."""

import weakref
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from grade_library.facts import PieceFacts, Shot, Surface
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import Compiled, Evidence, gather
from grade_library.matcher.hypotheses import Posterior, weigh
from grade_library.normal import FloatArray
from grade_library.skin.bench import bare_log_likelihood
from grade_library.skin.conclusion import (
    SUSPECT,
    SUSPECT_AGAINST_HAND,
    Bare,
    SkinFinding,
    concluded,
    core_facts,
)
from grade_library.skin.gate import is_worth_a_look
from grade_library.skin.hypotheses import (
    CoatedPiece,
    StageView,
    agreement_log_density,
    broad_log_density,
    coated_pieces,
    stage_view,
)
from grade_library.skin.series import Stage, is_whole, looks_at_surface, stages_of
from grade_library.skin.sight import Physics, Sight, compile_sight, physics_of
from grade_library.skin.words import UNKNOWN, contradictions
from grade_library.technique import Profile
from grade_library.verdict import SkinVerdict

__all__ = ["Known", "SkinFinding", "core_facts", "find_skin", "sight_for"]

UNKNOWN_MET = 0.0005
"""Share of pieces that carry a skin which no coating of the library explains (memory)."""
UNKNOWN_LEADS_NATS = 3.0
"""It is thought of only where it explains the shots better than every known coating by this much."""
UNKNOWN_UNGROUND = 0.1
"""How much rarer it is that two shots differ for it where nothing was ground between them (memory)."""
METAL_ON_METAL = frozenset({Surface.PLATED, Surface.GALVANISED})
"""Coverings that a reading can take for a solid alloy; paint, rust and dirt never are all of a reading."""
LEAST_WEIGHED = 1e-280
"""Probabilities below this were lost in the weighing."""

_sights: "weakref.WeakKeyDictionary[GradeLibrary, dict[frozenset[str], Sight]]" = weakref.WeakKeyDictionary()


def sight_for(library: GradeLibrary, compiled: Compiled, profile: Profile, shares: FloatArray) -> Sight:
    """Return the library and the coatings as a technique sees them, worked out once.

    Args:
        library: The grades.
        compiled: What was worked out for them.
        profile: The technique.
        shares: How often each grade is met; those of the first call decide what is usually coated.
    """
    known = _sights.setdefault(library, {})
    if profile.unseen not in known:
        melts = compiled.readable(library, profile).melts
        known[profile.unseen] = compile_sight(library, melts, profile, shares)
    return known[profile.unseen]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Known:
    """All that is known of a piece before anybody thinks of a skin."""

    facts: PieceFacts
    library: GradeLibrary
    compiled: Compiled
    shares: FloatArray
    """Frequency of each grade before, shape (n_grades,), sum 1."""
    evidence: Evidence
    """What the facts say of bare metal."""
    posterior: Posterior
    """The same, weighed."""


def find_skin(known: Known, profiles: Mapping[str, Profile]) -> SkinFinding | None:
    """Return what the shots say of skin and core, None where no shot looks at a surface.

    Args:
        known: All that is known of the piece.
        profiles: Key -> technique profile.
    """
    shots = known.facts.shots
    on_surface = [looks_at_surface(shot, profiles) for shot in shots]
    if not any(on_surface):
        return None
    told = [is_seen and is_whole(shot) for is_seen, shot in zip(on_surface, shots, strict=True)]
    whole = [shot for shot, is_told in zip(shots, told, strict=True) if is_told]
    stages = stages_of(whole, profiles)
    if not stages:
        return _plain(stages, len(shots), known.posterior)
    alone = _last_alone(known, whole, stages, profiles)
    if not is_worth_a_look(known.facts, stages, known.library, known.shares, alone.evidence, alone.posterior):
        return _plain(stages, len(shots), known.posterior)
    views = _views(known, stages)
    beside = _beside(known)
    claim = known.evidence.claim
    said = beside + claim.log_likelihood if claim else beside
    bare = _bare(known, views, alone, beside)
    pieces = coated_pieces(views, known.facts.bench, known.compiled.bench, said, bare.log_listed)
    pieces += _unknown_layer(known, views, pieces, beside)
    against = contradictions(known.facts.bench, known.library, known.shares, known.evidence)
    is_said = bool(known.facts.bench.surfaces & METAL_ON_METAL)
    suspect_from = SUSPECT_AGAINST_HAND if against or is_said else SUSPECT
    finding = concluded(pieces, bare, views, known.library, against, suspect_from)
    return _told_for_all(finding, told)


def _views(known: Known, stages: Sequence[Stage]) -> list[StageView]:
    sights = [
        sight_for(known.library, known.compiled, stage.averaged.profile, known.shares) for stage in stages
    ]
    return [
        stage_view(stage, sight, is_first=i == 0)
        for i, (stage, sight) in enumerate(zip(stages, sights, strict=True))
    ]


def _last_alone(
    known: Known, shots: Sequence[Shot], stages: Sequence[Stage], profiles: Mapping[str, Profile]
) -> Known:
    """Return what would be known had the piece only the shots of the last stage."""
    last = tuple(shots[stages[-1].first :])
    if last == known.facts.shots:
        return known
    facts = replace(known.facts, shots=tuple(replace(shot, is_ground=False) for shot in last))
    evidence = gather(facts, known.library, known.compiled, profiles)
    posterior = weigh(evidence, known.shares, known.compiled)
    return replace(known, facts=facts, evidence=evidence, posterior=posterior)


def _beside(known: Known) -> FloatArray:
    """Return what certificates and other readings not of a surface say of every grade [nats]."""
    total = np.zeros(len(known.library))
    for reading in known.evidence.readings:
        if physics_of(reading.averaged.profile) is Physics.BULK:
            total += reading.readable.melts.sums(reading.terms)
    return total


def _told_for_all(finding: SkinFinding, told: Sequence[bool]) -> SkinFinding:
    """Return the finding with a share for every shot: one that tells nothing has that of the one before."""
    found = iter(finding.verdict.shares)
    shares: list[float] = []
    for is_told in told:
        shares.append(next(found) if is_told else (shares[-1] if shares else 0.0))
    return replace(finding, verdict=replace(finding.verdict, shares=tuple(shares)))


def _plain(stages: Sequence[Stage], n_shots: int, posterior: Posterior) -> SkinFinding:
    """Return the finding where nothing hints at a skin."""
    verdict = SkinVerdict(
        is_suspected=False,
        coating=None,
        probability=0.0,
        shares=(0.0,) * n_shots,
        has_arrived=bool(stages) and stages[-1].has_settled,
        core=(),
    )
    return SkinFinding(
        verdict=verdict, probability=posterior.probability, unlisted=posterior.unlisted, core=None
    )


def _bare(known: Known, views: Sequence[StageView], alone: Known, beside: FloatArray) -> Bare:
    """Return the hypothesis that every shot read the metal.

    Args:
        known: All that is known of the piece.
        views: The stages of the series.
        alone: What would be known by the last stage alone.
        beside: What readings not of a surface say of every grade [nats].
    """
    last = views[-1]
    others = sum(agreement_log_density(view, last) for view in views[:-1])
    by_eye = bare_log_likelihood(known.facts.bench, known.evidence.bench)
    log_joint = np.log(known.shares) + last.clean + known.evidence.by_hand + beside + others + by_eye
    unlisted = _log_unlisted(alone) + float(np.logaddexp.reduce(np.log(known.shares) + beside))
    return Bare(log_joint=log_joint, log_unlisted=unlisted + float(others + np.mean(by_eye)))


def _log_unlisted(known: Known) -> float:
    """Return prior and likelihood of a metal that the library does not list [nats], as it was weighed."""
    evidence, posterior = known.evidence, known.posterior
    listed = float(posterior.probability.sum())
    if listed > LEAST_WEIGHED:
        log_listed = float(np.logaddexp.reduce(np.log(known.shares) + evidence.log_likelihood))
        return log_listed + float(np.log(max(posterior.unlisted, LEAST_WEIGHED)) - np.log(listed))
    # So far from every grade that nothing was left to compare with: each element on its own.
    by_group = sum(reading.unlisted.sum(axis=1) for reading in evidence.readings)
    hand = float(np.log(np.dot(known.shares, np.exp(evidence.by_hand))))
    return float(np.logaddexp.reduce(by_group - np.log(len(by_group)))) + hand


def _unknown_layer(
    known: Known, views: Sequence[StageView], pieces: Sequence[CoatedPiece], beside: FloatArray
) -> list[CoatedPiece]:
    """Return the hypothesis of a skin that no coating explains, where the shots differ and nothing else does.

    All stages but the last read that skin, and the last one the metal or the skin still.
    """
    if len(views) < 2:
        return []
    last, n = views[-1], len(known.shares)
    before = known.evidence.by_hand + bare_log_likelihood(known.facts.bench, known.evidence.bench)
    before = before + beside + np.log(known.shares) + np.log(UNKNOWN_MET)
    before = before + sum(broad_log_density(view) for view in views[:-1])
    if not any(view.stage.is_ground_before for view in views[1:]):
        before = before + np.log(UNKNOWN_UNGROUND)
    still = broad_log_density(last)
    log_joint = before + np.logaddexp(last.clean, still)
    best = max((float(np.logaddexp.reduce(piece.log_joint)) for piece in pieces), default=-np.inf)
    if float(np.logaddexp.reduce(log_joint)) < best + UNKNOWN_LEADS_NATS:
        return []
    skinned = np.ones((len(views), n))
    skinned[-1] = np.exp(still - np.logaddexp(last.clean, still))
    return [
        CoatedPiece(
            name=UNKNOWN,
            rows=np.arange(n),
            log_joint=log_joint,
            skinned=skinned,
            shares=np.ones((len(views), n)),
            added=np.zeros((n, len(last.sight.elements))),
        )
    ]
