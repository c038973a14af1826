"""The three trials of the matcher: real metal, melts of its own library, and grades left out of it."""

import numpy as np

from console.commands.progress import followed
from grade_library.library import GradeLibrary
from grade_library.matcher.matching import identify
from grade_library.matcher.prior import Prior
from grade_library.technique import profiles
from tests.benchmarks.certified import materials
from tests.benchmarks.judging import Judge, Outcome
from tests.benchmarks.simulated import melt_of, shot_of

SEED = 20240


def real_metal(library: GradeLibrary, technique: str, draws: int, *, held_out: bool | None) -> Outcome:
    """Return the outcome of (a); held_out None takes all materials, else only those of that kind."""
    profile = profiles()[technique]
    judge, outcome = Judge(library, profile), Outcome()
    rng = np.random.default_rng(SEED)
    of_certificates = list(materials(library))
    for material in followed(of_certificates, f"real metal, {technique}", len(of_certificates)):
        if material.grade_id is None or (held_out is not None and material.is_held_out is not held_out):
            continue
        truth = library.grade(material.grade_id)
        melt = material.certified if technique == "lab" else material.whole
        for _ in range(draws):
            facts = shot_of(melt, profile, rng)
            judge.note(
                outcome, identify(facts, library), facts, truth, f"{material.item_id} ({material.grade_id})"
            )
    return outcome


def own_melts(library: GradeLibrary, technique: str, draws: int, *, every: int = 1) -> Outcome:
    """Return the outcome of (b): `draws` melts of every grade (or every n-th)."""
    profile, prior = profiles()[technique], Prior.flat()
    judge, outcome = Judge(library, profile), Outcome()
    rng = np.random.default_rng(SEED + 1)
    grades = library.grades[::every]
    for grade in followed(grades, f"own melts, {technique}", len(grades), unit="grades"):
        for _ in range(draws):
            facts = shot_of(melt_of(grade, library.elements, rng), profile, rng)
            judge.note(outcome, identify(facts, library, prior), facts, grade, grade.grade_id)
    return outcome


def left_out(library: GradeLibrary, technique: str, draws: int, *, every: int) -> Outcome:
    """Return the outcome of (c): melts of every n-th grade against the library without it."""
    profile, prior, outcome = profiles()[technique], Prior.flat(), Outcome()
    rng = np.random.default_rng(SEED + 2)
    grades = library.grades[::every]
    for grade in followed(grades, f"left out, {technique}", len(grades), unit="grades"):
        others = GradeLibrary([g for g in library.grades if g is not grade], library.sources)
        judge = Judge(others, profile)
        for _ in range(draws):
            melt = melt_of(grade, library.elements, rng)
            verdict = identify(shot_of(melt, profile, rng), others, prior)
            outcome.unlisted.append(verdict.unlisted)
            outcome.is_called_unlisted.append(bool(verdict.nearest))
            outcome.is_far.append(judge.sigmas_out(melt) > 3.0)
            best = verdict.best or verdict.nearest[0]
            outcome.group.append(best is not None and best.grade.group == grade.group)
    return outcome
