"""Lays a handover out as one HTML page that needs nothing else: drawn bars, no scripts, prints well."""

from console.reports.closing.handover_report import MOST_HOLDS, HandoverReport
from console.reports.page import page


def as_html(report: HandoverReport) -> str:
    """Return the handover as a self-contained HTML page.

    Args:
        report: The handover; its text is shown as text, whatever it holds.
    """
    return page(
        "handover.html.jinja",
        report=report,
        most_g=max((bay.mass_g for bay in report.bays), default=0),
        most_holds=MOST_HOLDS,
    )
