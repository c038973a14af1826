"""identify(): what a piece can be, how sure, and why."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from grade_library.facts import PieceFacts
from grade_library.later import Later
from grade_library.library import GradeLibrary
from grade_library.matcher.candidates import Weighed
from grade_library.matcher.doubts import doubts, with_hints
from grade_library.matcher.evidence import Compiled, ShareById, compiled_for, gather
from grade_library.matcher.family import family_answer
from grade_library.matcher.hypotheses import Posterior, weigh
from grade_library.matcher.prior import Prior
from grade_library.matcher.twins import finder_for
from grade_library.naming.named_material import named_material
from grade_library.skin.finding import Known, SkinFinding, core_facts, find_skin, sight_for
from grade_library.technique import FALLBACK, Profile, profiles
from grade_library.verdict import Candidate, Verdict

MET_MOST = 200
"""So many grades have their twins worked out beforehand."""


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
    if (named := named_material(facts, library)) is not None:
        return named
    known = profiles() if technique_profiles is None else technique_profiles
    compiled = compiled_for(library)
    frequency = prior if prior is not None else Prior.usual(library)
    shares = compiled.shares(library, frequency)
    evidence = gather(facts, library, compiled, known)
    posterior = weigh(evidence, shares, compiled)
    weighed = Weighed(
        library=library,
        compiled=compiled,
        prior=frequency,
        shares=shares,
        evidence=evidence,
        probability=posterior.probability,
        profile=evidence.readings[-1].averaged.profile if evidence.readings else known[FALLBACK],
    )
    finding = _skin_of(facts, weighed, posterior, known)
    if finding is None:
        return _verdict(facts, weighed, posterior.unlisted, known)
    return _under_skin(facts, weighed, finding, known)


def _skin_of(
    facts: PieceFacts, weighed: Weighed, posterior: Posterior, known: Mapping[str, Profile]
) -> SkinFinding | None:
    library, compiled = weighed.library, weighed.compiled
    for shot in facts.shots:
        _compile_sight(library, compiled, known.get(shot.reading.technique, known[FALLBACK]))
    bare = Known(
        facts=facts,
        library=library,
        compiled=compiled,
        shares=weighed.shares,
        evidence=weighed.evidence,
        posterior=posterior,
    )
    return find_skin(bare, known)


def _under_skin(
    facts: PieceFacts, weighed: Weighed, finding: SkinFinding, known: Mapping[str, Profile]
) -> Verdict:
    """Return the verdict where a surface was looked at: of the core, when a skin is suspected."""
    weighed = replace(weighed, probability=finding.probability)
    if finding.verdict.is_suspected:
        # Under a skin the reasons are those of the core: its own reading, hand and eye but for the surface.
        told = gather(core_facts(facts, finding), weighed.library, weighed.compiled, known)
        weighed = replace(weighed, evidence=told)
    verdict = _verdict(facts, weighed, finding.unlisted, known)
    return replace(verdict, skin=replace(finding.verdict, core=verdict.candidates))


def _verdict(facts: PieceFacts, weighed: Weighed, unlisted: float, known: Mapping[str, Profile]) -> Verdict:
    library, compiled, probability = weighed.library, weighed.compiled, weighed.probability
    readings = [reading.averaged for reading in weighed.evidence.readings]
    values = {symbol: x for reading in readings for symbol, x in reading.values.items()}
    candidates = tuple(weighed.candidates(weighed.leading()))
    leads_unlisted = bool(readings) and not (candidates and candidates[0].probability >= unlisted)
    return Verdict(
        candidates=candidates,
        unlisted=unlisted,
        share_by_id=ShareById(compiled.ids, probability),
        nearest=_nearest(weighed) if leads_unlisted else None,
        family_answer=family_answer(library, probability, unlisted, values),
        warnings=doubts(facts, readings, candidates, library.elements, compiled.bases, known),
    )


def _nearest(weighed: Weighed) -> Candidate:
    """Return the grade that fits least badly, with what keeps it from fitting and what may be behind it."""
    candidate = weighed.candidates(np.array([weighed.nearest()]))[0]
    return replace(candidate, reasons=Later(lambda: with_hints(candidate.reasons)))


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
