"""What an audit of the grade library finds, and which findings are known and accepted."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from grade_library.errors import GradeDataError

ACCEPTED_FILE = "audit_accepted.toml"


class Check(StrEnum):
    """What was checked."""

    SUM = "sum"
    """Limits that no metal can meet together."""
    BASE = "base"
    """The base is missing or is not the metal's main part."""
    SIBLING = "sibling"
    """A limit far from those of all the grades of its family."""
    DUPLICATE = "duplicate"
    """One metal under two names, or one number for two grades."""
    DENSITY = "density"
    CONDUCTIVITY = "conductivity"
    COLOUR = "colour"
    MAGNET = "magnet"
    CITATION = "citation"
    CAUTION = "caution"
    WORD = "trade word"
    ACCEPTED = "accepted"
    """An accepted finding that is no longer found."""

    def finding(self, about: str, found: str, expected: str) -> "Finding":
        """Return what this check found."""
        return Finding(check=self, about=about, found=found, expected=expected)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that does not look right."""

    check: Check
    about: str
    """Grade id, or what else it is about."""
    found: str
    expected: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """How far the densities of one family may lie from the mixture estimate."""

    pct: float
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """One finding that was looked at and is right."""

    found: str
    """Part of what was found then: another value is a new finding."""
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """Findings that were looked at and are right, with the reason."""

    entries: Mapping[tuple[str, str], Accepted]
    """(check, grade id) -> what is accepted."""
    density_tolerances: Mapping[str, Tolerance]
    """Family -> tolerance."""

    def reason(self, finding: Finding) -> str | None:
        """Return why a finding is accepted, None where it is not."""
        entry = self.entries.get((finding.check.value, finding.about))
        return entry.reason if entry is not None and entry.found in finding.found else None


def load_acceptance() -> Acceptance:
    """Return the accepted findings that the library ships.

    Raises:
        GradeDataError: The file is wrong; the message names the entry.
    """
    return read_acceptance((Path(__file__).parents[1] / "data" / ACCEPTED_FILE).read_text("utf-8"))


def read_acceptance(text: str) -> Acceptance:
    """Return the accepted findings of a TOML text: one table per check, grade id -> what was found, and why.

    Raises:
        GradeDataError: An entry does not say what and why, or a check is unknown.
    """
    content = tomllib.loads(text)
    tolerances = {}
    for family, entry in content.pop("density tolerance", {}).items():
        if not isinstance(entry, dict) or not {"pct", "reason"} <= set(entry):
            raise GradeDataError(f'{ACCEPTED_FILE}, density tolerance "{family}": needs pct and reason')
        tolerances[family] = Tolerance(pct=float(entry["pct"]), reason=entry["reason"])
    accepted = {}
    for check, entries in content.items():
        if check not in set(Check):
            raise GradeDataError(f'{ACCEPTED_FILE}: "{check}" is no check; one of: {", ".join(Check)}')
        for about, entry in entries.items():
            if not isinstance(entry, dict) or not entry.get("found") or not entry.get("reason"):
                raise GradeDataError(
                    f'{ACCEPTED_FILE}, {check}, "{about}": needs found = "..." and reason = "..."'
                )
            accepted[check, about] = Accepted(found=entry["found"], reason=entry["reason"])
    return Acceptance(entries=accepted, density_tolerances=tolerances)
