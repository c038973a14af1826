"""What an audit of the grade library found, as plain text and as JSON."""

from collections.abc import Iterator
from typing import Any

from console.ground.cleaning import clean
from grade_library.auditing.audit import AuditReport


def audit_lines(report: AuditReport, *, show_accepted: bool = False) -> Iterator[str]:
    """Yield the audit as lines: findings first, then where the values come from."""
    for finding in report.findings:
        yield f"{finding.check.value}: {clean(finding.about)}"
        yield f"    found    {clean(finding.found)}"
        yield f"    expected {clean(finding.expected)}"
    if show_accepted:
        for finding, reason in report.accepted:
            yield f"known, {finding.check.value}: {clean(finding.about)}: {clean(finding.found)}"
            yield f"    because {clean(reason)}"
    found, known = len(report.findings), len(report.accepted)
    yield f"{report.n_grades} grades, {found} findings, {known} known to be right"
    blocks = sorted({block for counts in report.values_by_kind.values() for block in counts})
    yield "values by kind of source"
    yield f"{'':12}" + "".join(f"{block:>10}" for block in (*blocks, "all"))
    for kind, counts in sorted(report.values_by_kind.items()):
        cells = [counts.get(block, 0) for block in blocks]
        yield f"{kind:12}" + "".join(f"{count:10}" for count in (*cells, sum(cells)))


def audit_json(report: AuditReport) -> dict[str, Any]:
    """Return the audit as a JSON-ready object."""
    return {
        "grades": report.n_grades,
        "findings": [
            {"check": f.check.value, "about": f.about, "found": f.found, "expected": f.expected}
            for f in report.findings
        ],
        "accepted": len(report.accepted),
        "values_by_kind": {kind: dict(counts) for kind, counts in sorted(report.values_by_kind.items())},
    }
