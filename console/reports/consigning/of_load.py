"""What every paper of a consignment says of it."""

from typing import Any

from console.yard.loads.judging import COVERAGE, K
from console.yard.loads.load_sheet import LoadSheet


def facts_of(sheet: LoadSheet, sent: str) -> tuple[tuple[str, str], ...]:
    """Return for whom it is, by which order, since when."""
    address = f", {sheet.address}" if sheet.address else ""
    facts = [
        ("to", f"{sheet.buyer_name}{address}"),
        ("order", f"{sheet.order} {sheet.order_name}: {', '.join(sheet.accepts)}"),
        ("begun", sheet.begun),
    ]
    if sent:
        facts.append(("left", sent))
    if sheet.despite:
        facts.append(("sealed although", f"{'. '.join(sheet.failures)}. Reason: {sheet.despite}"))
    return tuple(facts)


def figures_of(sheet: LoadSheet, sent: str) -> dict[str, Any]:
    """Return a consignment with all its figures, JSON-ready."""
    return {
        "yard": sheet.yard_name,
        "buyer": sheet.buyer,
        "order": sheet.order,
        "sent": sent,
        "net_g": sheet.net_g,
        "parts_g": sheet.parts_g,
        "gross_g": sheet.gross_g,
        "tare_g": sheet.tare_g,
        "price_per_kg": sheet.price_per_kg,
        "currency": sheet.currency,
        "cents": sheet.cents,
        "parts": [
            {
                "tag": part.name,
                "bay": part.bay,
                "loose": part.is_loose,
                "mass_g": part.mass_g,
                "pieces": part.pieces,
                "codes": dict(part.codes),
                "despite": part.despite,
            }
            for part in sheet.parts
        ],
        **_chemistry(sheet),
        "foreign_wt_pct": sheet.foreign_wt_pct,
        "despite": sheet.despite,
    }


def _chemistry(sheet: LoadSheet) -> dict[str, Any]:
    """Return composition and limits."""
    return {
        "decision_rule": sheet.decision.value,
        "k": K,
        "coverage": round(COVERAGE, 4),
        "wt_pct": {
            symbol: {
                "value": one.wt_pct,
                "u": one.sigma,
                "U": round(K * one.sigma, 4),
                "u_common": one.common,
            }
            for symbol, one in sheet.composition.items()
        },
        "limits": [
            {
                "of": one.words,
                "limit": one.bound,
                "wt_pct": round(one.content.wt_pct, 4),
                "U": round(one.expanded, 4),
                "chance_kept": round(one.chance, 4),
                "met": one.is_met,
                "beyond_wt_pct": round(one.beyond, 4),
                "helps": list(one.helps),
            }
            for one in sheet.judged
        ],
    }
