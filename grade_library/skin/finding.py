"""Is this the skin or the core? What lies on a piece, and what lies beneath it, from all shots together."""

import functools
import math
import weakref
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from grade_library.facts import PieceFacts, Reading, Shot, Surface
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import Compiled, Evidence, ReadingEvidence, gather
from grade_library.matcher.hypotheses import (
    NEVER,
    NO_KIND_SHARE,
    VARIANT_SHARE,
    Joint,
    Posterior,
    joint_of,
    normalised,
    unlisted_before,
)
from grade_library.normal import FloatArray, log_sum_exp
from grade_library.reading import metal_shots
from grade_library.skin.attenuation import Physics, physics_of
from grade_library.skin.bench import bare_log_likelihood, film_log_likelihood
from grade_library.skin.coatings import coating_that_fell
from grade_library.skin.conclusion import (
    SUSPECT,
    SUSPECT_AGAINST_HAND,
    SkinFinding,
    concluded,
    core_facts,
)
from grade_library.skin.density import stray_log_density
from grade_library.skin.gate import is_worth_a_look
from grade_library.skin.hypotheses import (
    CoatedPiece,
    StageView,
    agreement_log_density,
    broad_log_density,
    coated_pieces,
    fallen,
    stage_view,
)
from grade_library.skin.look_alikes import LookAlike, in_question, look_alike_pieces
from grade_library.skin.remnant import Cores, Remnant, remnant
from grade_library.skin.series import Stage, is_whole, looks_at_surface, stages_of
from grade_library.skin.sight import Sight, compile_sight
from grade_library.skin.words import UNKNOWN, contradictions
from grade_library.technique import Profile
from grade_library.verdict import SkinVerdict

__all__ = ["Known", "SkinFinding", "core_facts", "find_skin", "sight_for"]

UNKNOWN_MET = 0.004
"""Share of pieces read on untouched metal that carry a skin of no list, a plating or a paint (memory)."""
FILM_MET, FILM_MET_GROUND = 0.03, 0.04
"""Share of single shots on which dirt, paint, scale or what is left of a skin tells: on a surface as it lies
there, and on a spot that was ground (memory: sorters wipe, and stop grinding when the colour changes)."""
IRREGULAR = 0.30
"""Share of known coatings of which what is left on a ground spot is not as an even film or patches of it read
(memory)."""
N_BENEATH, N_BARE = 16, 4
"""So many grades are tried beneath each coating because the last shot, skin off or as read, speaks for
them."""
METAL_ON_METAL = frozenset({Surface.PLATED, Surface.GALVANISED})
"""Coverings that a reading can take for a solid alloy; paint, rust and dirt never are all of a reading."""
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


@dataclass(frozen=True, kw_only=True, eq=False)
class Known:
    """All that is known of a piece before anybody thinks of a skin."""

    facts: PieceFacts
    library: GradeLibrary
    compiled: Compiled
    shares: FloatArray
    """Frequency of each grade before, shape (n_grades,), sum 1."""
    evidence: Evidence
    """What the facts say of bare metal."""

    @functools.cached_property
    def log_shares(self) -> FloatArray:
        """Logarithm of the frequencies [nats], shape (n_grades,)."""
        return np.log(self.shares)

    @functools.cached_property
    def joint(self) -> Joint:
        """The same with the prior."""
        return joint_of(self.evidence, self.shares, self.compiled)

    @functools.cached_property
    def posterior(self) -> Posterior:
        """The same, weighed."""
        return normalised(self.joint)


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
    pairs = _look_alikes(stages, known, alone)
    is_odd = is_worth_a_look(
        known.facts, stages, known.library, known.log_shares, alone.evidence, alone.posterior
    )
    if not is_odd and not pairs:
        return _plain(stages, len(shots), known.posterior)
    views = _views(known, stages)
    beside = _beside(known)
    bare = _bare(known, views, alone, beside)
    pieces = _skins(known, views, alone, beside, log_sum_exp(bare.listed)) if is_odd else []
    bench = known.facts.bench
    pieces += look_alike_pieces(pairs, known.library, known.compiled, alone.evidence, known.shares, bench)
    against = contradictions(bench, known.library, known.shares, known.evidence)
    is_said = bool(bench.surfaces & METAL_ON_METAL)
    suspect_from = SUSPECT_AGAINST_HAND if against or is_said else SUSPECT
    finding = concluded(pieces, bare, views, known.library, known.compiled.kinds, against, suspect_from)
    return _told_for_all(finding, told)


def _look_alikes(stages: Sequence[Stage], known: Known, alone: Known) -> list[LookAlike]:
    """Return the pairs that cannot be told apart: only where all that was shot is one unprepared spot."""
    if len(stages) != 1 or stages[0].is_ground_before or stages[0].n_ground_within:
        return []
    return in_question(known.library, known.compiled, alone.evidence, alone.posterior)


def _skins(
    known: Known, views: Sequence[StageView], alone: Known, beside: FloatArray, log_bare: float
) -> list[CoatedPiece]:
    """Return every coating, and the skin of no list, that can explain the series."""
    claim = known.evidence.claim
    said = beside + claim.log_likelihood if claim else beside
    unknown = _remnant(known, views, beside, alone)
    likely = _likely(unknown, known, alone)
    pieces = coated_pieces(views, known.facts.bench, known.compiled.bench, said, log_bare, likely)
    return [*pieces, _unknown_skin(known, views, unknown, pieces)]


def _views(known: Known, stages: Sequence[Stage]) -> list[StageView]:
    found = []
    for i, stage in enumerate(stages):
        profile = stage.averaged.profile
        sight = sight_for(known.library, known.compiled, profile, known.shares)
        as_metal = known.compiled.readable(known.library, profile).read(stage.averaged)
        found.append(stage_view(stage, sight, as_metal.of_grades, is_first=i == 0))
    return found


def _last_alone(
    known: Known, shots: Sequence[Shot], stages: Sequence[Stage], profiles: Mapping[str, Profile]
) -> Known:
    """Return what would be known had the piece only the shots of the last stage."""
    last = tuple(shots[stages[-1].first :])
    if last == metal_shots(known.facts.shots):
        return known
    facts = replace(known.facts, shots=tuple(replace(shot, is_ground=False) for shot in last))
    return replace(known, facts=facts, evidence=gather(facts, known.library, known.compiled, profiles))


def _beside(known: Known) -> FloatArray:
    """Return what certificates and other readings not of a surface say of every grade [nats]."""
    total = np.zeros(len(known.library))
    for reading in known.evidence.readings:
        if physics_of(reading.averaged.profile) is Physics.BULK:
            total += reading.of_grades
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
    return SkinFinding(verdict=verdict, posterior=posterior, core=None)


def _bare(known: Known, views: Sequence[StageView], alone: Known, beside: FloatArray) -> Joint:
    """Return the hypothesis that every shot read the metal.

    Args:
        known: All that is known of the piece.
        views: The stages of the series.
        alone: What would be known by the last stage alone.
        beside: What readings not of a surface say of every grade [nats].
    """
    last = views[-1]
    others = float(sum(agreement_log_density(view, last) for view in views[:-1]))
    more = beside + bare_log_likelihood(known.facts.bench, known.evidence.bench)
    by_kind = _by_kind(known, more)
    return Joint(
        listed=alone.joint.listed + more,
        members=alone.joint.members + by_kind,
        no_kind=alone.joint.no_kind + float(by_kind.max()),
    ).and_also(others + stray_log_density(last.sight, last.shot))


def _by_kind(known: Known, by_grade: FloatArray) -> FloatArray:
    """Return what facts that speak of grades say of an unlisted member of each kind [nats]: like its
    average."""
    kinds, top = known.compiled.kinds, float(by_grade.max())
    weight = kinds.summed(known.shares * np.exp(by_grade - top)) / kinds.summed(known.shares)
    return np.asarray(np.log(weight + 1e-300) + top)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Unknown:
    """A skin of no list, and what else is known of the metal beneath."""

    found: Remnant
    hand: FloatArray
    """What hand, eye and other readings say of every grade beneath a film [nats], shape (n_grades,)."""
    reading: ReadingEvidence


def _remnant(known: Known, views: Sequence[StageView], beside: FloatArray, alone: Known) -> _Unknown:
    """Return what the last stage can be of, with patches or a film of no list left on it."""
    hand = known.evidence.by_hand + film_log_likelihood(known.facts.bench) + beside
    reading = alone.evidence.readings[-1]
    stages = [view.stage for view in views]
    physics = views[-1].sight.physics
    found = remnant(stages, reading, known.compiled, physics, known.log_shares + hand)
    return _Unknown(found=found, hand=hand, reading=reading)


def _likely(unknown: _Unknown, known: Known, alone: Known) -> NDArray[np.int64]:
    """Return the grades that come into question beneath a coating, some of them twice."""
    listed = known.log_shares + unknown.hand + unknown.found.listed
    beneath, bare = np.argpartition(listed, -N_BENEATH), np.argpartition(alone.posterior.probability, -N_BARE)
    return np.append(beneath[-N_BENEATH:], bare[-N_BARE:])


def _unknown_skin(
    known: Known, views: Sequence[StageView], unknown: _Unknown, pieces: Sequence[CoatedPiece]
) -> CoatedPiece:
    """Return the hypothesis of a skin that no list holds, or that is left in a way no coating tells.

    What came before the last shot is then anything, or what a known coating makes of it, on the metals that
    usually carry it; the last shot reads the core, with patches or a film left on it.
    """
    found, kinds = unknown.found, known.compiled.kinds
    name, before = _before(known, views, pieces)
    prior = unlisted_before(known.evidence)
    top = float(before.max())
    by_kind = np.log(kinds.summed(np.exp(before + unknown.hand - top - unknown.hand.max())) + 1e-300)
    by_kind = by_kind + top + float(unknown.hand.max())
    rows = np.flatnonzero(found.listed > NEVER)
    skinned = np.ones((len(views), 1))
    skinned[-1] = found.skinned
    technique = views[-1].stage.averaged.profile.key
    return CoatedPiece(
        name=name,
        rows=rows,
        log_joint=math.log1p(-prior) + unknown.hand[rows] + found.listed[rows] + before[rows],
        skinned=skinned,
        shares=_fallen_shares(views, found.share)[:, None],
        added=np.zeros((0, 0)),
        unlisted=Joint(
            listed=np.full(1, NEVER),
            members=math.log(prior * (1.0 - VARIANT_SHARE)) + found.members + by_kind,
            no_kind=math.log(prior * NO_KIND_SHARE) + found.no_kind + log_sum_exp(by_kind),
        ),
        core=_core_reading(found.core, unknown.reading.readable.melts.elements, technique),
    )


def _core_reading(core: Cores, elements: Sequence[str], technique: str) -> Reading:
    """Return the core under one assumption as a reading [wt %], at most 100 in all."""
    value, sigma = core.value[0], core.sigma[0]
    found = np.flatnonzero(np.nan_to_num(value) > 1e-3).tolist()
    scale = 100.0 / max(float(value[found].sum()), 100.0)
    return Reading(
        values={elements[j]: float(value[j]) * scale for j in found},
        sigma={elements[j]: min(float(sigma[j]), 50.0) for j in found},
        technique=technique,
    )


def _fallen_shares(views: Sequence[StageView], left: float) -> FloatArray:
    """Return the share of the skin in each stage: what fell since then, and what is left of it in the
    last."""
    values = [view.stage.averaged.values for view in views]
    fallen = [sum(max(x - values[-1].get(s, 0.0), 0.0) for s, x in one.items()) / 100.0 for one in values]
    return np.minimum(np.array(fallen) + left, 1.0)


def _before(
    known: Known, views: Sequence[StageView], pieces: Sequence[CoatedPiece]
) -> tuple[str, FloatArray]:
    """Return what such a skin is called, and how often it lies on each grade and explains the stages before
    the last [nats], shape (n_grades,)."""
    if len(views) == 1:
        met = FILM_MET_GROUND if views[0].stage.is_ground_before else FILM_MET
        return UNKNOWN, math.log(met) + known.log_shares
    anything = math.log(UNKNOWN_MET) + sum(broad_log_density(view) for view in views[:-1])
    before = anything + known.log_shares
    fell = coating_that_fell(fallen(views) or {})
    name, best = fell.name if fell else UNKNOWN, anything
    for piece in pieces:
        assert piece.sight is not None
        weight = piece.log_before + math.log(IRREGULAR)
        before[piece.sight.rows] = np.logaddexp(before[piece.sight.rows], weight + piece.sight.log_weight)
        if weight > best:
            name, best = piece.name, weight
    return name, before
