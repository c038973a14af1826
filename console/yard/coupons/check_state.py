"""Whether the analyser may be believed now: the state of every check sample, and what to do about it."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from types import MappingProxyType

from console.yard.coupons.check_samples import CheckSample, ElementCheck
from console.yard.coupons.control_rules import LOOK_BACK, Rule, signal_size, signals
from grade_library.elements import ELEMENTS
from grade_library.technique import Profile, profiles

WIDEST = 10.0
"""Largest factor on σ: beyond it [σ] the analyser says nothing any more (own choice)."""
CALL_AFTER = 2
"""Shots out of control in a row, with cleaning between, before service is called (common practice)."""

KEPT = 200
"""Newest shots on a coupon that are looked at: months of them."""


class ControlState(StrEnum):
    """What the check samples say of the analyser; a later one of these outweighs an earlier one."""

    IN_CONTROL = "in control"
    OVERDUE = "overdue"
    OUT_OF_CONTROL = "out of control"


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckShot:
    """One shot on a coupon as the ledger keeps it."""

    sample: str
    technique: str
    at: datetime
    """Aware."""
    person: str
    elements: tuple[ElementCheck, ...]
    """With known value and σ as they were at the time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementControl:
    """One element of a coupon over its shots."""

    symbol: str
    last: ElementCheck
    z: tuple[float, ...]
    """Oldest first; only shots against the known value of today."""
    rules: tuple[Rule, ...]
    """What the last shot breaks."""
    size: float
    """How far off the points are that broke the rules [σ], signed; 0 where none did."""

    @property
    def sentence(self) -> str:
        """In words: "Cr reads 0.62 wt % high (+3.4 σ): one beyond 3σ"; over a run, its mean."""
        z = self.size if self.rules else self.last.z
        way = "high" if z > 0 else "low"
        broken = f": {', '.join(self.rules)}" if self.rules else ""
        return f"{self.symbol} reads {abs(z) * self.last.sigma:.2f} wt % {way} ({z:+.1f} σ){broken}"


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleControl:
    """One coupon: its state, why, and what to do."""

    sample: CheckSample
    state: ControlState
    elements: tuple[ElementControl, ...] = ()
    """Empty before the first shot."""
    last_at: datetime | None = None
    due_at: datetime | None = None
    """When the next shot is due; None where it is due at once."""
    good_at: datetime | None = None
    """Last shot in control: what was read since is in doubt when the state is out of control."""
    what_to_do: str

    @property
    def is_out(self) -> bool:
        """True when the last shot broke a rule."""
        return self.state is ControlState.OUT_OF_CONTROL

    @property
    def broken(self) -> tuple[ElementControl, ...]:
        """The elements that broke a rule, the furthest off first."""
        out = [element for element in self.elements if element.rules]
        return tuple(sorted(out, key=lambda element: (-abs(element.size), element.symbol)))


def control_of(
    sample: CheckSample, shots: Iterable[CheckShot], now: datetime, run_opened: datetime | None = None
) -> SampleControl:
    """Return the state of one coupon.

    Args:
        sample: The coupon as yard.toml has it today.
        shots: Shots on any coupon, oldest first.
        now: Aware.
        run_opened: When the open run began: a shift starts with a shot of its own. None: no run is open.
    """
    own = [s for s in shots if s.sample.casefold() == sample.name.casefold()]
    own = [s for s in own if s.technique == sample.technique and _comparable(s, sample)][-KEPT:]
    if not own:
        never = f"{sample.name} was never shot: shoot it before the first reading."
        return SampleControl(sample=sample, state=ControlState.OVERDUE, what_to_do=never)
    was_out = [
        any(element.rules for element in _elements(sample, own[max(0, end - 3 * LOOK_BACK) : end]))
        for end in range(1, len(own) + 1)
    ]
    elements, last_at = _elements(sample, own), own[-1].at
    due_at = last_at + sample.every
    is_late = now >= due_at or (run_opened is not None and last_at < run_opened)
    state = ControlState.OVERDUE if is_late else ControlState.IN_CONTROL
    if was_out[-1]:
        state = ControlState.OUT_OF_CONTROL
    good = [shot.at for shot, out in zip(own, was_out, strict=True) if not out]
    shots_out = was_out[::-1].index(False) if good else len(own)
    return SampleControl(
        sample=sample,
        state=state,
        elements=elements,
        last_at=last_at,
        due_at=due_at,
        good_at=good[-1] if good else None,
        what_to_do=_what_to_do(sample, state, elements, shots_out, now - last_at),
    )


def worst_state(controls: Iterable[SampleControl]) -> ControlState | None:
    """Return the state that the header shows: the worst of all coupons; None in a yard without one."""
    order = list(ControlState)
    return max((control.state for control in controls), key=order.index, default=None)


def widening(controls: Iterable[SampleControl]) -> Mapping[str, Mapping[str, float]]:
    """Return how much less readings count now: technique -> symbol -> factor on σ, > 1; empty in control.

    The bias that was found is taken as a further uncertainty of every reading: an element that is z σ off
    gets √(1 + z²). Elements that are not on the coupon, or broke no rule, get the root mean square over the
    coupon's elements, since a dirty window or a tired source spares none. The larger one counts where two
    coupons speak.

    Source: an uncorrected bias counted as an uncertainty; the spread to other elements is our own choice.
    """
    factors: dict[str, dict[str, float]] = {}
    for control in controls:
        if not control.is_out:
            continue
        mean_square = sum(e.size**2 for e in control.elements) / len(control.elements)
        usual = _factor(math.sqrt(mean_square))
        own = {e.symbol: max(_factor(e.size), usual) for e in control.elements}
        known = factors.setdefault(control.sample.technique, dict.fromkeys(ELEMENTS, 1.0))
        for symbol in ELEMENTS:
            known[symbol] = max(known[symbol], own.get(symbol, usual))
    return factors


def _factor(z: float) -> float:
    return min(math.sqrt(1.0 + z * z), WIDEST)


def widened_profiles(
    controls: Sequence[SampleControl], techniques: Mapping[str, Profile] | None = None
) -> Mapping[str, Profile]:
    """Return the techniques as they may be believed now, for `identify(..., technique_profiles=...)`.

    Profiles are compared by identity and what follows from one is worked out once: call this when a check
    sample was shot, and keep the answer. Where nothing is out of control the profiles come back as they are.
    """
    known = profiles() if techniques is None else techniques
    wider = {key: known[key].widened(factors) for key, factors in widening(controls).items() if key in known}
    return MappingProxyType({**known, **wider}) if wider else known


def doubts(controls: Iterable[SampleControl]) -> tuple[str, ...]:
    """Return why readings count less now, for the screen and the ledger; empty when they do not.

    One sentence for every sample that is out of control: "xrf readings count less (σ up to ×4.1): on 316
    coupon Cr reads 1.00 wt % high (+4.0 σ): one beyond 3σ".
    """
    said = []
    for control in controls:
        for technique, factors in widening([control]).items():
            said.append(
                f"{technique} readings count less (σ up to ×{max(factors.values()):.1f}): "
                f"on {control.sample.name} {control.broken[0].sentence}"
            )
    return tuple(said)


def unchecked(controls: Iterable[SampleControl]) -> Mapping[str, str]:
    """Return the techniques whose readings settle nothing now, with why and what would mend it.

    Technique -> "the xrf analyser is overdue: shoot 316 coupon"; empty while all coupons are in control.
    """
    return {
        control.sample.technique: (
            f"the {control.sample.technique} analyser is {control.state.value}: shoot {control.sample.name}"
        )
        for control in controls
        if control.state is not ControlState.IN_CONTROL
    }


def _comparable(shot: CheckShot, sample: CheckSample) -> bool:
    """Return whether a shot was measured against a known value of today; a corrected coupon starts anew."""
    return any(sample.known.get(element.symbol) == element.known for element in shot.elements)


def _elements(sample: CheckSample, shots: Sequence[CheckShot]) -> tuple[ElementControl, ...]:
    """Return every element of the coupon that was ever read, in the coupon's order."""
    controls: list[ElementControl] = []
    for symbol, known in sample.known.items():
        series = [e for s in shots for e in s.elements if e.symbol == symbol and e.known == known]
        if not series:
            continue
        z = tuple(element.z for element in series)
        # An element that the last shot did not report cannot raise an alarm with that shot.
        is_fresh = any(element is series[-1] for element in shots[-1].elements)
        rules = signals(z[-LOOK_BACK:]) if is_fresh else ()
        controls.append(
            ElementControl(symbol=symbol, last=series[-1], z=z, rules=rules, size=signal_size(z, rules))
        )
    return tuple(controls)


def _what_to_do(
    sample: CheckSample,
    state: ControlState,
    elements: Sequence[ElementControl],
    shots_out: int,
    age: timedelta,
) -> str:
    if state is ControlState.IN_CONTROL:
        left = max(sample.every - age, timedelta()).total_seconds() / 3600
        return f"Go on; the next shot on {sample.name} is due in {left:.1f} h."
    if state is ControlState.OVERDUE:
        return f"Shoot {sample.name} now: the last shot is {age.total_seconds() / 3600:.1f} h old."
    if any(abs(element.size) >= WIDEST for element in elements):
        return (
            "Stop. So far off that it may be another piece: make sure that it is "
            f"{sample.name}, and shoot it again."
        )
    if all(set(element.rules) <= {Rule.EIGHT_RUNNING} for element in elements):
        stays = " If it stays, call service, or take the mean of 20 shots as the known value."
        return (
            "A small, steady offset: clean the window, run the analyser's own adjustment, "
            f"shoot {sample.name} again.{stays if shots_out >= CALL_AFTER else ''}"
        )
    if shots_out >= CALL_AFTER:
        return (
            f"Stop. {shots_out} shots running are out of control: call service; "
            "until then settle nothing by a reading alone."
        )
    return f"Stop. Clean the window and the coupon, then shoot {sample.name} again."
