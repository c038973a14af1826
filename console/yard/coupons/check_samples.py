"""Check samples: coupons of known composition, and what one shot on them says of the analyser."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta

from console.yard.file.fields import Fields
from grade_library.elements import ELEMENTS
from grade_library.facts import Reading
from grade_library.technique import Profile, profiles

CHECK_KEYS = ("name", "technique", "every_hours", "known_wt_pct", "uncertainty_wt_pct")
_EXAMPLE = '[[check_sample]] with name = "316 coupon" and known_wt_pct = { Cr = 16.8, Ni = 10.2 }'
USUAL_HOURS = 4.0
"""How often a check sample is shot where yard.toml does not say (common practice)."""
LONGEST_NAME = 40
"""A coupon's name stands on one line with its state [characters]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckSample:
    """One coupon as yard.toml describes it."""

    name: str
    technique: str
    known: Mapping[str, float]
    """Symbol -> known value [wt %]."""
    uncertainty: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> standard uncertainty of the known value, k = 1 [wt %]; 0 where not stated."""
    every_hours: float = USUAL_HOURS

    @property
    def every(self) -> timedelta:
        """Longest time between two shots."""
        return timedelta(hours=self.every_hours)


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementCheck:
    """One element of one shot on a coupon."""

    symbol: str
    measured: float
    """As read [wt %]; the detection limit where `is_below`."""
    known: float
    """[wt %]"""
    sigma: float
    """Standard uncertainty of the difference [wt %], > 0: one reading's, and the known value's."""
    is_below: bool = False
    """Looked for and not found: the difference is at least as large as it says."""

    @property
    def bias(self) -> float:
        """Measured less known [wt %]; 0 for an element not found whose known value is below the limit too."""
        return min(0.0, self.measured - self.known) if self.is_below else self.measured - self.known

    @property
    def z(self) -> float:
        """Bias in standard uncertainties."""
        return self.bias / self.sigma


def score(
    sample: CheckSample, reading: Reading, techniques: Mapping[str, Profile] | None = None
) -> tuple[ElementCheck, ...]:
    """Return bias and z of every element that reading and coupon have in common, in the coupon's order.

    σ² is the technique's variance at the known value plus that of the known value, so that the limits of the
    chart stay where they are; an uncertainty stated with the reading counts scatter only and is not used.
    Elements that the technique cannot see are left out.

    Args:
        sample: The coupon.
        reading: One shot on it.
        techniques: Key -> profile, where the yard has its own; None for the shipped ones.

    Source: z = (x - X) / u as in ISO 13528 (zeta score: u from both uncertainties).
    """
    profile = (profiles() if techniques is None else techniques)[sample.technique]
    checks: list[ElementCheck] = []
    for symbol, known in sample.known.items():
        measured = reading.values.get(symbol, reading.below.get(symbol))
        if measured is None or symbol in profile.unseen:
            continue
        sigma = math.hypot(profile.sigma(symbol, known), sample.uncertainty.get(symbol, 0.0))
        checks.append(
            ElementCheck(
                symbol=symbol,
                measured=measured,
                known=known,
                sigma=sigma,
                is_below=symbol not in reading.values,
            )
        )
    return tuple(checks)


def sample_named(samples: tuple[CheckSample, ...], name: str) -> CheckSample:
    """Return the coupon with this name, case-blind; a part of the name will do where only one has it.

    Raises:
        KeyError: None has it, or several; the message lists the names there are.
    """
    wanted = name.strip().casefold()
    for sample in samples:
        if sample.name.casefold() == wanted:
            return sample
    near = [sample for sample in samples if wanted and wanted in sample.name.casefold()]
    if len(near) == 1:
        return near[0]
    if not samples:
        raise KeyError(f"No check sample in yard.toml. Add a table {_EXAMPLE}.")
    names = ", ".join(sample.name for sample in near or samples)
    said = f'"{name}" can be several: {names}.' if near else f'No check sample "{name}". There are: {names}.'
    raise KeyError(said)


def check_samples_from(file: Fields, techniques: Mapping[str, Profile]) -> tuple[CheckSample, ...]:
    """Return the coupons that the [[check_sample]] tables of yard.toml describe, in their order.

    Args:
        file: The whole file.
        techniques: Key -> profile, as the yard knows them.

    Raises:
        YardFileError: A key or a figure is wrong; the message names coupon and key.
    """
    samples: list[CheckSample] = []
    usual = str(file.table.get("technique", "xrf"))
    for fields in file.tables("check_sample", named_by="name"):
        sample = _read_sample(fields, usual, techniques)
        if any(other.name.casefold() == sample.name.casefold() for other in samples):
            raise fields.wrong("name", "two have it; each needs its own")
        samples.append(sample)
    return tuple(samples)


def _read_sample(fields: Fields, usual_technique: str, techniques: Mapping[str, Profile]) -> CheckSample:
    name = fields.text("name")
    if len(name) > LONGEST_NAME:
        raise fields.wrong("name", f"{len(name)} characters; at most {LONGEST_NAME}")
    fields.refuse_unknown(CHECK_KEYS)
    technique = fields.word("technique", usual_technique, techniques)
    known = _wt_pct(fields, "known_wt_pct")
    if not known:
        raise fields.wrong(
            "known_wt_pct", "is missing or empty; write known_wt_pct = { Cr = 16.8, Ni = 10.2 }"
        )
    total = sum(known.values())
    if total > 101.0:
        raise fields.wrong("known_wt_pct", f"the values sum to {total:.1f} wt %; at most 100")
    if all(symbol in techniques[technique].unseen for symbol in known):
        raise fields.wrong("known_wt_pct", f"{techniques[technique].label} sees none of {', '.join(known)}")
    uncertainty = _wt_pct(fields, "uncertainty_wt_pct")
    for symbol in uncertainty:
        if symbol not in known:
            raise fields.wrong("uncertainty_wt_pct", f"{symbol} has no known value in known_wt_pct")
    return CheckSample(
        name=name,
        technique=technique,
        known=known,
        uncertainty=uncertainty,
        every_hours=fields.number("every_hours", USUAL_HOURS, 0.1, 24.0 * 31),
    )


def _wt_pct(fields: Fields, key: str) -> dict[str, float]:
    inner = fields.sub(key)
    for symbol in inner.table:
        if symbol not in ELEMENTS:
            raise inner.wrong(symbol, "is not the symbol of an element (write Cr, not CR or chromium)")
    return {symbol: inner.number(symbol, None, 0.0, 100.0) for symbol in inner.table}
