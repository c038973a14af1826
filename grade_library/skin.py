"""Is this the skin or the core? What lies on a piece, and what lies beneath it, from all shots together."""

import weakref
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from grade_library.evidence import Compiled, Evidence
from grade_library.facts import PieceFacts
from grade_library.hypotheses import Posterior
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray
from grade_library.skin_bench import bare_log_likelihood
from grade_library.skin_conclusion import Bare, SkinFinding, concluded, core_facts
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
from grade_library.skin_words import UNKNOWN, contradictions
from grade_library.technique import Profile
from grade_library.verdict import SkinVerdict

__all__ = ["Known", "SkinFinding", "core_facts", "find_skin", "sight_for"]

UNKNOWN_MET = 0.0005
"""Share of pieces that carry a skin which no coating of the library explains (memory)."""
UNKNOWN_LEADS_NATS = 3.0
"""It is thought of only where it explains the shots better than every known coating by this much."""
UNKNOWN_UNGROUND = 0.1
"""How much rarer it is that two shots differ for it where nothing was ground between them (memory)."""

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
    shots = surface_shots(known.facts.shots, profiles)
    stages = stages_of(shots, profiles)
    if not stages:
        return None
    if not is_worth_a_look(known.facts, stages, known.library, known.shares, known.evidence, known.posterior):
        return _plain(stages, len(shots), known.posterior)
    views = [
        stage_view(
            stage,
            sight_for(known.library, known.compiled, stage.averaged.profile, known.shares),
            is_first=i == 0,
        )
        for i, stage in enumerate(stages)
    ]
    claim = known.evidence.claim
    said = claim.log_likelihood if claim else np.zeros(len(known.library))
    pieces = coated_pieces(views, known.facts.bench, known.compiled.bench, said)
    pieces += _unknown_layer(known, views, pieces)
    against = contradictions(known.facts.bench, known.library, known.shares, known.evidence)
    return concluded(pieces, _bare(known, views), views, known.library, against)


def _plain(stages: Sequence[Stage], n_shots: int, posterior: Posterior) -> SkinFinding:
    """Return the finding where nothing hints at a skin."""
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


def _bare(known: Known, views: Sequence[StageView]) -> Bare:
    """Return the hypothesis that every shot read the metal."""
    last = views[-1]
    others = sum(agreement_log_density(view, last) for view in views[:-1])
    log_joint = np.log(known.shares) + last.clean + known.evidence.by_hand + others
    log_joint = log_joint + bare_log_likelihood(known.facts.bench, known.evidence.bench)
    listed = float(known.posterior.probability.sum())
    ratio = np.log(max(known.posterior.unlisted, 1e-300)) - np.log(max(listed, 1e-300))
    return Bare(log_joint=log_joint, log_unlisted=float(np.logaddexp.reduce(log_joint) + ratio))


def _unknown_layer(
    known: Known, views: Sequence[StageView], pieces: Sequence[CoatedPiece]
) -> list[CoatedPiece]:
    """Return the hypothesis that all stages but the last read something else, where no coating explains
    them."""
    if len(views) < 2:
        return []
    last, n = views[-1], len(known.shares)
    log_joint = np.log(known.shares) + last.clean + known.evidence.by_hand + np.log(UNKNOWN_MET)
    log_joint = log_joint + sum(broad_log_density(view) for view in views[:-1])
    log_joint = log_joint + bare_log_likelihood(known.facts.bench, known.evidence.bench)
    if not any(view.stage.is_ground_before for view in views[1:]):
        log_joint = log_joint + np.log(UNKNOWN_UNGROUND)
    best = max((float(np.logaddexp.reduce(piece.log_joint)) for piece in pieces), default=-np.inf)
    if float(np.logaddexp.reduce(log_joint)) < best + UNKNOWN_LEADS_NATS:
        return []
    covered = np.zeros((len(views), n))
    covered[:-1] = 1.0
    return [
        CoatedPiece(
            name=UNKNOWN,
            rows=np.arange(n),
            log_joint=log_joint,
            skinned=covered,
            shares=covered,
            added=np.zeros((n, len(last.sight.elements))),
        )
    ]
