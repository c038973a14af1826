"""A check and its possible findings, in the words of the bench."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from console.ground.figures import percent
from console.yard.metals import metals_of
from console.yard.money import amount_shown
from console.yard.next_check.advice import CheckWorth, Meaning
from console.yard.next_check.bench_findings import BenchFindings
from console.yard.next_check.checks import CheckKind
from console.yard.placing.worth_table import HOLD, Decisions, Situation
from console.yard.yard import Bay, Yard
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray
from grade_library.technique import Profile

LEAST_SAID = 0.03
"""Findings less likely than this are not announced."""
MOST_SAID = 3
"""Bays that are announced in one line."""
MOST_WORDS = 3
"""Findings that are named for one bay."""
MAY_STAY_OPEN = 0.25
"""From this chance on it is said that a reading may leave the piece open."""
LEAST_APART = 1.5
"""An element tells two bays apart from so many standard deviations on (own judgement)."""
TALLY_IT = "tally it, no check pays"
HOLD_IT = "hold it, no check here pays"

_DO = {
    CheckKind.MAGNET: "try the magnet",
    CheckKind.HEFT: "heft it",
    CheckKind.SCRATCH: "scratch it",
    CheckKind.FILE: "file a notch",
    CheckKind.CONDUCTIVITY: "measure its conductivity",
    CheckKind.SPARK: "spark it, face shield on",
    CheckKind.WATER: "weigh it in water",
    CheckKind.READING: "shoot it",
    CheckKind.GRIND: "grind a spot, face shield on, and shoot it",
}
_UNITS = {CheckKind.CONDUCTIVITY: " % IACS", CheckKind.WATER: " g/cm3"}
_PULLS = {"none": "no pull", "weak": "weak pull", "strong": "strong pull"}


def check_of(tell: str) -> CheckKind:
    """Return the check that words on a look-alike ask for: the magnet, or a file.

    >>> check_of("try the magnet: a strong pull is chromed steel").value
    'magnet'
    """
    return CheckKind.MAGNET if tell.startswith(_DO[CheckKind.MAGNET]) else CheckKind.FILE


def line_for(best: CheckWorth, yard: Yard, situation: Situation) -> str:
    """Return a check and what to look for in one line: "scratch it: yellow means YBR; gains 1.20 EUR".

    Without the gain where the yard keeps money off the screen; where no price is written: "scratch it: yellow
    means YBR; a buyer takes it 22 % likelier".
    """
    said, gains = _look_for(best.meanings), amount_shown(best.net, yard)
    do = f"{_DO[best.check.kind]}: {said}" if said else _DO[best.check.kind]
    if not situation.is_priced:
        return f"{do}; a buyer takes it {percent(min(best.gain / situation.kg, 1.0))} likelier"
    return f"{do}; gains {gains}" if gains else do


def _look_for(meanings: Sequence[Meaning]) -> str:
    if any(meaning.finding for meaning in meanings):
        return ", ".join(
            f"{meaning.finding} {_leads_to(meaning)}" for meaning in meanings[:MOST_SAID] if meaning.finding
        )
    codes = [meaning.bay_code for meaning in meanings if not meaning.is_hold][:MOST_SAID]
    if not codes:
        return ""
    if any(meaning.is_hold and meaning.chance > MAY_STAY_OPEN for meaning in meanings):
        return f"it can be {' or '.join(codes)}, or stay open"
    return f"to be sure of {codes[0]}" if len(codes) == 1 else f"it can be {' or '.join(codes)}"


def _leads_to(meaning: Meaning) -> str:
    if meaning.is_hold:
        return "leaves it open"
    return f"{'settles' if meaning.settles else 'means'} {meaning.bay_code}"


def bench_meanings(found: BenchFindings, situation: Situation, yard: Yard) -> tuple[Meaning, ...]:
    """Return what the findings of a bench check would mean, the likeliest bay first.

    Where all of them mean one bay, those are told that would settle it.

    Args:
        found: The check and its findings.
        situation: The bays.
        yard: The hold bay, and how sure is settled.
    """
    kind, chances, decisions = found.check.kind, found.chances, found.decisions
    rows = _likely_bays(chances, decisions)
    settles = len(rows) == 1 and rows[0] != HOLD
    meanings = []
    for row in rows:
        is_here = decisions.bay == row
        if settles:
            is_here &= decisions.accepted >= yard.thresholds.settled
        at, chance = np.flatnonzero(is_here), float(chances[is_here].sum())
        if chance < LEAST_SAID:
            continue
        bay = yard.hold_bay if row == HOLD else situation.bays[row]
        if found.values is None:
            finding = _in_words(kind, [(found.outcomes[i], float(chances[i])) for i in at.tolist()], chance)
        else:
            finding = _as_ranges(found.values, chances, is_here) + _UNITS[kind]
        is_hold = row == HOLD
        meanings.append(
            Meaning(finding=finding, bay_code=bay.code, is_hold=is_hold, chance=chance, settles=settles)
        )
    return tuple(sorted(meanings, key=lambda one: (-one.chance, one.bay_code)))


def _likely_bays(chances: FloatArray, decisions: Decisions) -> list[int]:
    """Return the rows of the bays that findings worth announcing lead to, in the order of the findings."""
    rows = dict.fromkeys(decisions.bay.tolist())
    return [row for row in rows if float(chances[decisions.bay == row].sum()) >= LEAST_SAID]


def _in_words(kind: CheckKind, found: list[tuple[str, float]], chance: float) -> str:
    by_chance = sorted(found, key=lambda one: -one[1])
    kept = [name for name, share in by_chance if share >= 0.05 * chance][:MOST_WORDS]
    words = [_PULLS.get(name, name) if kind is CheckKind.MAGNET else name for name in kept]
    if kind is CheckKind.SPARK:
        words = ["no sparks" if name == "none" else f"{name} sparks" for name in kept]
    return " or ".join(words)


def _as_ranges(values: FloatArray, chances: FloatArray, is_here: NDArray[np.bool_]) -> str:
    """Return the likeliest run of classes that lead to one bay, as a range."""
    likely = np.flatnonzero(chances > 1e-4 * chances.max())
    runs = list(_runs(likely, is_here))
    if not runs:
        return "anything"
    first, last = max(runs, key=lambda run: float(chances[run[0] : run[1] + 1].sum()))
    low = None if first == likely[0] else 0.5 * (values[first - 1] + values[first])
    high = None if last == likely[-1] else 0.5 * (values[last] + values[last + 1])
    if low is None and high is None:
        return "anything"
    if low is None:
        return f"below {high:.3g}"
    return f"above {low:.3g}" if high is None else f"{low:.3g} to {high:.3g}"


def _runs(likely: NDArray[np.int64], is_here: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    start: int | None = None
    last = -1
    for index in likely.tolist():
        if is_here[index]:
            start = index if start is None else start
            last = index
        elif start is not None:
            yield start, last
            start = None
    if start is not None:
        yield start, last


def reading_meanings(
    bays: NDArray[np.int64],
    situation: Situation,
    hold: Bay,
    library: GradeLibrary,
    profile: Profile,
    rows: NDArray[np.int64],
    shares: FloatArray,
) -> tuple[Meaning, ...]:
    """Return where a reading would send the piece, with the element that tells two bays apart."""
    counted = [(int((bays == row).sum()), row) for row in dict.fromkeys(bays.tolist())]
    order = [row for count, row in sorted(counted, reverse=True) if count >= LEAST_SAID * len(bays)]
    named = [row for row in order if row != HOLD]
    words: dict[int, str] = {}
    if len(named) == 2:
        words = _telling_words(named, situation, library, profile, rows, shares)
    return tuple(
        Meaning(
            finding=words.get(row, ""),
            bay_code=(hold if row == HOLD else situation.bays[row]).code,
            is_hold=row == HOLD,
            chance=float((bays == row).mean()),
        )
        for row in order
    )


def _telling_words(
    named: list[int],
    situation: Situation,
    library: GradeLibrary,
    profile: Profile,
    rows: NDArray[np.int64],
    shares: FloatArray,
) -> dict[int, str]:
    """Return "Mo above 1.1" for one bay and "Mo below 1.1" for the other."""
    metals = metals_of(library)
    mean, spread = metals.mean[rows], metals.spread[rows]
    sides = []
    for bay, other in (named, named[::-1]):
        weight = shares * situation.of_metals[:, bay] * (1.0 - situation.of_metals[:, other])
        if weight.sum() <= 0.0:
            return {}
        weight = weight / weight.sum()
        centre = weight @ mean
        sides.append((centre, np.sqrt(weight @ (spread**2 + (mean - centre) ** 2))))
    (one, wide_one), (two, wide_two) = sides
    noise = np.array(
        [
            profile.sigma(symbol, 0.5 * (a + b))
            for symbol, a, b in zip(library.elements, one, two, strict=True)
        ]
    )
    apart = np.abs(one - two) / np.hypot(np.hypot(wide_one, wide_two), noise)
    # What the analyser does not see, or finds in neither, tells nothing apart.
    lod = np.array([profile.model(symbol).lod for symbol in library.elements])
    unseen = np.array([symbol in profile.unseen for symbol in library.elements])
    apart[unseen | (np.maximum(one, two) < lod)] = 0.0
    best = int(apart.argmax())
    if apart[best] < LEAST_APART:
        return {}
    width_one, width_two = wide_one[best] + noise[best], wide_two[best] + noise[best]
    cut = max((one[best] * width_two + two[best] * width_one) / (width_one + width_two), lod[best])
    symbol = library.elements[best]
    above, below = (named[0], named[1]) if one[best] > two[best] else (named[1], named[0])
    return {above: f"{symbol} above {cut:.2g}", below: f"{symbol} below {cut:.2g}"}
