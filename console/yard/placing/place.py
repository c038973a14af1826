"""Which bay a piece should go to: worth by the probabilities, refusals as vetoes, and how sure it is."""

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType

from console.ground.figures import percent
from console.yard.placing.placement import BayWorth, Placement, Sureness
from console.yard.placing.vetoes import reading_of_metal, veto_of
from console.yard.yard import Bay, MetalKind, Yard
from grade_library.facts import MagnetPull, PieceFacts
from grade_library.matcher.evidence import ShareById
from grade_library.verdict import Verdict

NEGLIGIBLE = 1e-6
"""Probabilities below this are left out of the sums: a thousand of them are a tenth of a per cent."""

WORTH_SAYING = 0.05
"""Probability of an unlisted alloy from which it is said."""
WORTH_NAMING = 0.5
"""Probability from which what no bay takes is called by its name."""
CONTRADICTION = "CHECK "
"""How a warning of the verdict begins that tells of facts that contradict each other."""
SURELY_NOT = 0.01
"""Probability of all that a bay refuses below which it is called ruled out."""
DOUBTFUL_SKIN = 0.1
"""From this probability of a skin in the last shot on nothing is settled."""
MOST_UNLISTED = 0.5
"""Probability of an unlisted alloy above which a family is told by likeness alone: of metal whose family was
left out of the library, two wrong placements of three were such (tests/benchmarks/open_world.py)."""
NOTHING_OF_CORE = 0.95
"""From this share of the skin in the last shot on, the shot says nothing of the metal beneath."""
PLATE_ALONE = "not settled by the surface alone: such metal is plated on others; magnet, file or heft tell"
FEW_BESIDE_BASE, UNNAMED, UNNAMED_IN_STEEL = 2, 3.0, 5.0
FEW_ALLOYING, LITTLE_ALLOYED = 4, 10.0
"""A reading is one that somebody has begun to type, or left a line out of, where it names the base metal
and leaves more than this of the metal open [wt %], in steel read by more than so few elements more: manganese
and silicon, which many analysers pass over. In aluminium and brass that much may be another alloy's copper or
iron. Or it leaves the base metal out and names so few that make up less than this [wt %]: in a light alloy
the next one typed may be its zinc or copper. Settled by readings that were only begun, real metal was in the
wrong bay 71 times of 580; whole ones name 97 % and more (tests/benchmarks/begun.py, open_world.py)."""
TOLD_REFUSALS = 2
"""Of what a bay refuses, so many are named."""
LIKENESS = "not settled: it is told by its likeness to the family alone"
NOTHING_KNOWN = "hold: nothing known yet; a magnet, a scratch or a reading would tell"
CERTAIN = 0.999
BY_NAME = "takes it by its name; nothing is read of it"
LEAST_SECOND = 0.5
"""Least acceptance of a bay that is worth naming: below it the buyer refuses more likely than not."""


def place(
    verdict: Verdict,
    facts: PieceFacts,
    mass_g: int | None,
    yard: Yard,
    unchecked: Mapping[str, str] = MappingProxyType({}),
) -> Placement:
    """Return the suggested bay, how sure it is, why, and the other bays in order of worth.

    A bay is worth `accepted * price + (1 - accepted) * downgrade` per kg, `accepted` being the probability
    that its buyer takes the piece: listed grades by name, an unlisted alloy where it takes the family. Of the
    bays without a veto that are at least leaning, the one of most worth is suggested; else the hold bay.

    Args:
        verdict: What the piece can be.
        facts: What is known of it: surfaces, attachments and readings may rule bays out.
        mass_g: Weight of the piece [g], for the money it stands for; None while unknown.
        yard: Bays, prices and thresholds.
        unchecked: Technique -> why its readings settle nothing now, as `check_state.unchecked` says.
    """
    placement = _placed(verdict, facts, mass_g, yard, unchecked)
    doubt = next((text for text in verdict.warnings if text.startswith(CONTRADICTION)), "")
    if not doubt:
        return placement
    # What contradicts itself is never settled, whatever the odds say.
    sureness = Sureness.OPEN if placement.bay.is_hold else Sureness.LEANING
    return replace(placement, sureness=sureness, reason=f"{doubt}; {placement.reason}")


def _placed(
    verdict: Verdict, facts: PieceFacts, mass_g: int | None, yard: Yard, unchecked: Mapping[str, str]
) -> Placement:
    """Return the placement by the odds alone; arguments as of `place`."""
    shares = shares_of(verdict)
    worths = [_worth(bay, shares, verdict, facts, yard) for bay in yard.bays if not bay.is_hold]
    ranking = tuple(sorted(worths, key=_rank))
    allowed = [worth for worth in ranking if not worth.veto and worth.accepted >= yard.thresholds.leaning]
    is_known = bool(shares or verdict.families) and not verdict.is_guess
    best = allowed[0] if allowed and is_known and not _sees_only_skin(verdict, facts) else None
    if best is None:
        bay, sureness = yard.hold_bay, Sureness.OPEN
        reason = _why_open(ranking, shares, verdict, yard) if is_known else NOTHING_KNOWN
    else:
        is_settled = is_as_good_as_settled(best, verdict, yard)
        doubt = _skin_doubt(best, verdict, yard)
        if is_settled:
            doubt = _doubt_of(facts, unchecked) or _likeness_doubt(best, verdict) or _begun_doubt(facts)
        bay, sureness = best.bay, Sureness.SETTLED if is_settled and not doubt else Sureness.LEANING
        reason = "; ".join(filter(None, (_why(best, ranking, shares, verdict, facts), doubt)))
    return Placement(
        bay=bay,
        sureness=sureness,
        reason=reason,
        ranking=ranking,
        mass_g=mass_g,
        second=_second(ranking, best) if is_known else None,
    )


def is_as_good_as_settled(worth: BayWorth | None, verdict: Verdict, yard: Yard) -> bool:
    """Return whether a piece would be settled in a bay if the analyser is to be believed; never on hold.

    Not while the spot still reads a coating: what lies beneath is worked out and not read.
    """
    is_sure = worth is not None and worth.accepted >= yard.thresholds.settled
    return is_sure and _is_of_metal(verdict) and not _may_be_plate(verdict)


def _may_be_plate(verdict: Verdict) -> bool:
    return verdict.skin is not None and verdict.skin.is_plate_alone


def _skin_doubt(worth: BayWorth, verdict: Verdict, yard: Yard) -> str:
    """Return why a sure bay is not settled while a skin may be what was read; empty where the reason for the
    bay names it already."""
    if worth.accepted < yard.thresholds.settled or verdict.skin is None or verdict.open_skin is not None:
        return ""
    if not _is_of_metal(verdict):
        return f"not settled: {percent(verdict.skin.probability)} that a skin is what was read"
    return PLATE_ALONE if _may_be_plate(verdict) else ""


def _doubt_of(facts: PieceFacts, unchecked: Mapping[str, str]) -> str:
    """Return why the analyser that read a piece cannot settle it; empty where it can or nothing was read."""
    techniques = dict.fromkeys(shot.reading.technique for shot in facts.shots)
    why = next((unchecked[technique] for technique in techniques if technique in unchecked), "")
    return f"not settled while {why}" if why else ""


def _likeness_doubt(worth: BayWorth, verdict: Verdict) -> str:
    """Return why metal that is most likely of no listed grade is not settled by its family; else empty."""
    return LIKENESS if unlisted_in(verdict, worth.bay.taken_kinds) > MOST_UNLISTED else ""


def _begun_doubt(facts: PieceFacts) -> str:
    """Return why a reading that leaves most of the metal open settles nothing; empty where a name does."""
    if not facts.shots or facts.claim is not None:
        return ""
    reading = facts.shots[-1].reading
    n_read, named = len(reading.values) + len(reading.below), math.fsum(reading.values.values())
    if n_read == 1 or max(reading.values.values(), default=0.0) >= 50.0:
        is_steel = n_read > FEW_BESIDE_BASE and reading.values.get("Fe", 0.0) >= 50.0
        is_begun = 100.0 - named > (UNNAMED_IN_STEEL if is_steel else UNNAMED)
    else:
        is_iron = facts.bench.magnet in (MagnetPull.WEAK, MagnetPull.STRONG)
        is_begun = n_read <= FEW_ALLOYING and named < LITTLE_ALLOYED and not is_iron
    return f"not settled: {100.0 - named:.3g} % of the metal is not in the reading yet" if is_begun else ""


def _rank(worth: BayWorth) -> tuple[bool, bool, float, float]:
    """Return what bays are ordered by.

    The downgrade price is for metal that is nearly right: a bay that would refuse the piece more likely than
    not never comes first for being dear.
    """
    return bool(worth.veto), worth.accepted < LEAST_SECOND, -worth.worth_per_kg, -worth.accepted


def _second(ranking: tuple[BayWorth, ...], best: BayWorth | None) -> BayWorth | None:
    """Return the best bay beside the suggested one that nothing rules out."""
    others = (worth for worth in ranking if worth is not best)
    return next((worth for worth in others if not worth.veto and worth.accepted >= LEAST_SECOND), None)


def shares_of(verdict: Verdict) -> Mapping[str, float]:
    """Return the probability of every grade; where the verdict lists only the first, they stand for all."""
    if isinstance(verdict.share_by_id, ShareById):
        return verdict.share_by_id.above(NEGLIGIBLE)
    if verdict.share_by_id:
        return {grade_id: share for grade_id, share in verdict.share_by_id.items() if share >= NEGLIGIBLE}
    listed = sum(candidate.probability for candidate in verdict.candidates)
    if listed <= 0.0:
        return {}
    scale = max(0.0, 1.0 - verdict.unlisted) / listed
    return {candidate.grade.grade_id: candidate.probability * scale for candidate in verdict.candidates}


def _worth(
    bay: Bay, shares: Mapping[str, float], verdict: Verdict, facts: PieceFacts, yard: Yard
) -> BayWorth:
    taken = bay.taken_ids
    fewer, more = (taken, shares) if len(taken) < len(shares) else (shares, taken)
    # The order of a set changes from run to run; an exact sum does not depend on it.
    listed = math.fsum(shares[grade_id] for grade_id in fewer if grade_id in more)
    accepted = min(1.0, listed + unlisted_in(verdict, bay.taken_kinds))
    return BayWorth(
        bay=bay,
        worth_per_kg=accepted * bay.price_per_kg + (1.0 - accepted) * bay.downgrade_per_kg,
        accepted=accepted,
        veto=veto_of(bay, shares, verdict, facts, yard.thresholds.veto),
    )


def unlisted_in(verdict: Verdict, kinds: Collection[MetalKind]) -> float:
    """Return the probability of an unlisted alloy of one of these kinds of metal."""
    return math.fsum(
        member.unlisted
        for member in verdict.families
        if (member.group, member.family, member.series) in kinds
    )


def _is_of_metal(verdict: Verdict) -> bool:
    """Return True where the last shot is of the metal: beneath a coating it is worked out and not read."""
    skin = verdict.skin
    return verdict.open_skin is None and (
        skin is None or skin.has_arrived or skin.probability < DOUBTFUL_SKIN
    )


def _sees_only_skin(verdict: Verdict, facts: PieceFacts) -> bool:
    """Return True where the last shot shows nothing of the core and nothing at the bench speaks of it."""
    skin, bench = verdict.open_skin, facts.bench
    told = (bench.magnet, bench.scratch, bench.heft, bench.spark, bench.density_g_cm3, bench.iacs_pct)
    is_blind = skin is not None and skin.probability >= 0.5 and skin.shares[-1] >= NOTHING_OF_CORE
    return is_blind and facts.claim is None and all(one is None for one in told)


def _why(
    best: BayWorth,
    ranking: Iterable[BayWorth],
    shares: Mapping[str, float],
    verdict: Verdict,
    facts: PieceFacts,
) -> str:
    is_called = verdict.is_named and best.accepted >= CERTAIN
    accepted = BY_NAME if is_called else f"{percent(best.accepted)} accepted"
    parts = [f"bay {best.bay.code}: {accepted}"]
    if (skin := verdict.open_skin) is not None:
        parts.append(f"{skin.coating or 'a skin'} on it")
    likely = [worth for worth in ranking if worth.veto and worth.accepted >= 0.5]
    dearer = [worth for worth in likely if worth.worth_per_kg > best.worth_per_kg]
    if dearer:
        parts.append(f"not {dearer[0].bay.code}: {dearer[0].veto}")
    against = _strongest_against(best, shares)
    if against is not None:
        parts.append(f"{against} at {percent(shares[against])} would be refused")
    if (unlisted := unlisted_in(verdict, best.bay.taken_kinds)) >= WORTH_SAYING:
        parts.append(
            f"{percent(unlisted)} likely an alloy that is not in the library; this bay takes the family"
        )
    elif verdict.unlisted >= WORTH_SAYING:
        parts.append(f"{percent(verdict.unlisted)} that no listed grade fits")
    if verdict.skin is not None and verdict.skin.tell:
        parts.append(verdict.skin.tell)
    if len(parts) == 1:
        parts += _what_clears(best.bay, shares, verdict, facts)
    return "; ".join(parts)


def _what_clears(bay: Bay, shares: Mapping[str, float], verdict: Verdict, facts: PieceFacts) -> list[str]:
    """Return what keeps the bay's own refusals away: an element below its limit, refused metal ruled out."""
    reading = reading_of_metal(verdict, facts)
    values = reading.values if reading is not None else {}
    read = [symbol for symbol in bay.element_limits if symbol in values]
    said = [f"{read[0]} {values[read[0]]:g} of at most {bay.element_limits[read[0]]:g}"] if read else []
    if bay.refuses:
        share = math.fsum(shares[grade_id] for grade_id in bay.refused_ids if grade_id in shares)
        if share < SURELY_NOT:
            more = " and more" if len(bay.refuses) > TOLD_REFUSALS else ""
            told = ", ".join(bay.refuses[:TOLD_REFUSALS]) + more
            said.append(f"not of what {bay.code} refuses ({told})")
    return said


def _strongest_against(best: BayWorth, shares: Mapping[str, float]) -> str | None:
    """Return the likeliest grade that the bay would not take, when it is likely enough to name (1 %)."""
    others = [(share, grade_id) for grade_id, share in shares.items() if not best.bay.takes(grade_id)]
    share, grade_id = max(others, default=(0.0, ""), key=lambda other: (other[0], other[1]))
    return grade_id if share >= 0.01 else None


def _why_open(
    ranking: tuple[BayWorth, ...], shares: Mapping[str, float], verdict: Verdict, yard: Yard
) -> str:
    if verdict.skin is not None and verdict.skin.is_suspected and verdict.skin.advice:
        return f"hold: {verdict.skin.advice}"
    best_share = max((worth.accepted for worth in ranking if not worth.veto), default=0.0)
    if verdict.unlisted >= best_share and verdict.unlisted > 1.0 - yard.thresholds.leaning:
        return _why_unlisted(verdict)
    sure_but_vetoed = [worth for worth in ranking if worth.veto and worth.accepted >= yard.thresholds.leaning]
    if sure_but_vetoed:
        best = max(sure_but_vetoed, key=lambda worth: worth.worth_per_kg)
        return f"hold: {best.bay.code} would take the metal, but {best.veto}"
    by_share = sorted((w for w in ranking if not w.veto), key=lambda worth: -worth.accepted)[:2]
    nobodys = _nobodys(ranking, shares)
    likely = math.fsum(nobodys.values())
    if not by_share or by_share[0].accepted < 0.005:
        named = [worth for worth in ranking if worth.veto and _by_name(worth, shares) >= LEAST_SECOND]
        if named:
            return f"hold: {named[0].bay.code} takes such metal, but {named[0].veto}"
        return f"hold: no bay takes {_named(nobodys) or 'what this can be'}"
    if likely >= WORTH_NAMING:
        leading = max(nobodys, key=nobodys.__getitem__)
        what = _named(nobodys) or f"what this likely is, such as {leading}"
        return f"hold: no bay takes {what}: {percent(likely)}"
    said = ", ".join(f"{worth.bay.code} {percent(worth.accepted)}" for worth in by_share)
    return f"hold: no bay is sure enough ({said}; needs {percent(yard.thresholds.leaning)})"


def _nobodys(ranking: Iterable[BayWorth], shares: Mapping[str, float]) -> Mapping[str, float]:
    """Return the grades and things that no bay takes by its rules, with their probabilities."""
    taken = frozenset[str]().union(*(worth.bay.taken_ids for worth in ranking))
    return {grade_id: share for grade_id, share in shares.items() if grade_id not in taken}


def _named(shares: Mapping[str, float]) -> str:
    """Return the grade or thing that is likelier than not; empty where none is."""
    return next((grade_id for grade_id, share in shares.items() if share >= WORTH_NAMING), "")


def _why_unlisted(verdict: Verdict) -> str:
    """Return why an alloy that the library lacks waits: what it is near, and who would have to take it."""
    leading = verdict.families[0] if verdict.families else None
    if verdict.no_family >= max(leading.probability if leading else 0.0, 0.5 * verdict.unlisted):
        share = percent(verdict.no_family)
        return f"hold: {share} that this is of no family in the library; shoot it again, clean"
    if leading is None:
        return f"hold: {percent(verdict.unlisted)} that no grade of the library fits"
    near = ", ".join(candidate.grade.grade_id for candidate in verdict.nearest)
    beside = f", near {near}" if near else ""
    return (
        f"hold: {percent(leading.probability)} {leading.family}, not in the library{beside};"
        " no bay takes the family as a whole"
    )


def _by_name(worth: BayWorth, shares: Mapping[str, float]) -> float:
    """Return the probability of what the bay accepts, grades that it refuses again among them."""
    return math.fsum(shares[grade_id] for grade_id in worth.bay.grade_ids if grade_id in shares)
