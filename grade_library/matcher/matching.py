"""identify(): what a piece can be, how sure, and why."""

import functools
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from grade_library.facts import PieceFacts
from grade_library.later import Later
from grade_library.library import GradeLibrary
from grade_library.matcher.candidates import Weighed
from grade_library.matcher.evidence import Compiled, Evidence, ShareById, compiled_for, gather
from grade_library.matcher.family import family_answer
from grade_library.matcher.hypotheses import Posterior
from grade_library.matcher.prior import Prior
from grade_library.matcher.telling.doubts import (
    against_claim,
    against_each_other,
    against_metals,
    doubts,
    with_hints,
)
from grade_library.matcher.twins import finder_for
from grade_library.naming.named_material import named_material
from grade_library.skin.finding import Known, SkinFinding, core_facts, find_skin, sight_for
from grade_library.skin.gate import may_be_plate_alone
from grade_library.skin.series import order_of
from grade_library.technique import FALLBACK, Profile, profiles
from grade_library.verdict import Candidate, FamilyShare, Reason, Verdict

MET_MOST = 200
"""So many grades have their twins worked out beforehand."""
MOST_NEAREST = 3
LEAST_FAMILY = 1e-5
"""Families below this probability are left out of the verdict."""
TELLING_NATS, LITTLE_WT_PCT = 1.0, 10.0
"""Bench facts that differ by less from metal to metal tell none; nor does one element of which less was
read (memory)."""


def identify(
    facts: PieceFacts,
    library: GradeLibrary,
    prior: Prior | None = None,
    technique_profiles: Mapping[str, Profile] | None = None,
) -> Verdict:
    """Return what a piece can be: candidates by probability, none when nothing is known.

    Args:
        facts: All that is known of the piece.
        library: The grades.
        prior: How often each grade is met; None for the usual frequencies in a mixed yard.
        technique_profiles: Key -> profile, where the yard has its own; None for the shipped ones.
    """
    if facts.is_empty:
        return Verdict(candidates=(), unlisted=0.0)
    known = profiles() if technique_profiles is None else technique_profiles
    if (named := named_material(facts, library)) is not None:
        if not (against := _against_material(facts, library, known)):
            return named
        found = identify(replace(facts, claim=None), library, prior, technique_profiles)
        return replace(found, warnings=(*against, *found.warnings))
    order = order_of(facts.shots, known)
    if order != sorted(order):
        facts = replace(facts, shots=tuple(facts.shots[i] for i in order))
        return _as_shot(identify(facts, library, prior, technique_profiles), order)
    return _matched(facts, library, prior if prior is not None else Prior.usual(library), known)


def _matched(
    facts: PieceFacts, library: GradeLibrary, frequency: Prior, known: Mapping[str, Profile]
) -> Verdict:
    """Return the verdict on facts that are weighed against the grades, shots in the order of grinding."""
    compiled = compiled_for(library)
    shares = compiled.shares(library, frequency)
    evidence = gather(facts, library, compiled, known)
    bare = Known(facts=facts, library=library, compiled=compiled, shares=shares, evidence=evidence)
    finding = _skin_of(bare, known)
    weighed = Weighed(
        library=library,
        compiled=compiled,
        prior=frequency,
        shares=shares,
        evidence=evidence,
        posterior=bare.posterior if finding is None else finding.posterior,
        profile=evidence.readings[-1].averaged.profile if evidence.readings else known[FALLBACK],
    )
    verdict = (
        _verdict(facts, weighed, known) if finding is None else _under_skin(facts, weighed, finding, known)
    )
    return replace(verdict, is_guess=_is_guess(evidence, library))


def _against_material(facts: PieceFacts, library: GradeLibrary, known: Mapping[str, Profile]) -> list[str]:
    """Return what hand, eye and the last reading say against a named thing that is one metal, in the sorter's
    words."""
    assert facts.claim is not None
    materials = [library.dictionary.material(material_id) for material_id in facts.claim.material_ids]
    things = [material for material in materials if material is not None]
    metals, groups = {thing.metal for thing in things}, {thing.sold_with for thing in things}
    if "" in metals:
        return []
    said = against_metals(facts.claim, facts.shots[-1].reading, metals) if facts.shots else []
    by_hand = PieceFacts(bench=facts.bench)
    is_named = [
        grade.group in groups if "" not in groups else grade.base in metals for grade in library.grades
    ]
    named = np.flatnonzero(is_named)
    if by_hand.is_empty or not named.size:
        return said
    compiled = compiled_for(library)
    evidence = gather(by_hand, library, compiled, known)
    shares = compiled.shares(library, Prior.usual(library))
    return [*said, *against_claim(facts.claim, evidence, named, shares)]


def _as_shot(verdict: Verdict, order: Sequence[int]) -> Verdict:
    """Return the verdict on a series put in order, with the shares in the order shot."""
    if verdict.skin is None:
        return verdict
    shares = [0.0] * len(order)
    for place, i in enumerate(order):
        shares[i] = verdict.skin.shares[place]
    return replace(verdict, skin=replace(verdict.skin, shares=tuple(shares)))


def _skin_of(bare: Known, known: Mapping[str, Profile]) -> SkinFinding | None:
    for shot in bare.facts.shots:
        _compile_sight(bare.library, bare.compiled, known.get(shot.reading.technique, known[FALLBACK]))
    return find_skin(bare, known)


def _under_skin(
    facts: PieceFacts, weighed: Weighed, finding: SkinFinding, known: Mapping[str, Profile]
) -> Verdict:
    """Return the verdict where a surface was looked at: of the core, when a skin is suspected."""
    if finding.verdict.is_suspected:
        # Under a skin the reasons are those of the core: its own reading, hand and eye but for the surface.
        told = gather(core_facts(facts, finding), weighed.library, weighed.compiled, known)
        weighed = replace(weighed, evidence=told)
    verdict = _verdict(facts, weighed, known)
    skin = replace(finding.verdict, core=verdict.candidates, is_plate_alone=may_be_plate_alone(facts, known))
    return replace(verdict, skin=skin)


def _verdict(facts: PieceFacts, weighed: Weighed, known: Mapping[str, Profile]) -> Verdict:
    library, compiled, posterior = weighed.library, weighed.compiled, weighed.posterior
    readings = [reading.averaged for reading in weighed.evidence.readings]
    values = {symbol: x for reading in readings for symbol, x in reading.values.items()}
    candidates = tuple(weighed.candidates(weighed.leading()))
    leads_unlisted = bool(readings) and not (candidates and candidates[0].probability >= posterior.unlisted)
    return Verdict(
        candidates=candidates,
        unlisted=posterior.unlisted,
        share_by_id=ShareById(compiled.ids, posterior.probability),
        families=_families(compiled, posterior),
        no_family=posterior.no_kind,
        nearest=_nearest(weighed) if leads_unlisted else (),
        family_answer=family_answer(library, posterior, compiled, values),
        warnings=(
            *_contradictions(facts, weighed, known),
            *doubts(facts, readings, candidates, library.elements, compiled.bases, known),
        ),
    )


def _is_guess(evidence: Evidence, library: GradeLibrary) -> bool:
    """Return whether the facts tell next to nothing: no name, a hand that is none the wiser, and of the metal
    no more read than a little of one element."""
    if evidence.claim is not None or float(np.ptp(evidence.by_hand)) > TELLING_NATS:
        return False
    judged = [
        {symbol: x for symbol, x in reading.averaged.values.items() if symbol in library.elements}
        for reading in evidence.readings
    ]
    return all(len(values) <= 1 and sum(values.values()) < LITTLE_WT_PCT for values in judged)


def _contradictions(facts: PieceFacts, weighed: Weighed, known: Mapping[str, Profile]) -> list[str]:
    """Return where the facts contradict each other: the name and the bench, one shot and the others."""
    said = against_each_other(facts.shots, known)
    if facts.claim is not None:
        named = np.array([weighed.library.index_of(grade_id) for grade_id in sorted(facts.claim.grade_ids)])
        said = [*against_claim(facts.claim, weighed.evidence, named, weighed.shares), *said]
    return said


def _families(compiled: Compiled, posterior: Posterior) -> tuple[FamilyShare, ...]:
    """Return the kinds of metal that come into question, by probability, then name."""
    listed = compiled.kinds.summed(posterior.probability)
    both = listed + posterior.members
    rows = np.flatnonzero(both >= LEAST_FAMILY)
    order = rows[np.argsort(-both[rows], kind="stable")]
    kinds = compiled.kinds.kinds
    return tuple(
        FamilyShare(
            family=kinds[k].family,
            group=kinds[k].group,
            series=kinds[k].series,
            listed=float(listed[k]),
            unlisted=float(posterior.members[k]),
        )
        for k in order.tolist()
    )


def _nearest(weighed: Weighed) -> tuple[Candidate, ...]:
    """Return the grades that fit least badly, with what keeps them from fitting and what may be behind it."""
    return tuple(
        replace(near, reasons=Later(functools.partial(_hinted, near)))
        for near in weighed.candidates(weighed.nearest(MOST_NEAREST))
    )


def _hinted(near: Candidate) -> Sequence[Reason]:
    return with_hints(near.reasons)


def warm(
    library: GradeLibrary, technique: str = FALLBACK, technique_profiles: Mapping[str, Profile] | None = None
) -> None:
    """Work out beforehand what the first call of `identify` with that technique needs."""
    known = profiles() if technique_profiles is None else technique_profiles
    profile = known.get(technique, known[FALLBACK])
    compiled = compiled_for(library)
    compiled.readable(library, profile)
    finder, shares = finder_for(library, profile), compiled.shares(library, Prior.usual(library))
    for row in np.argsort(-shares, kind="stable")[:MET_MOST].tolist():
        finder.twins(row)
    _compile_sight(library, compiled, profile)


def _compile_sight(library: GradeLibrary, compiled: Compiled, profile: Profile) -> None:
    """Have the coatings worked out for a technique, by the usual frequencies whatever prior a call brings."""
    if profile.normalises:
        sight_for(library, compiled, profile, compiled.shares(library, Prior.usual(library)))
