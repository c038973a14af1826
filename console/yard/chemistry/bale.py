"""A bale, box or load taken out of a bay: what it weighs, what it is made of, and what stays behind."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.headroom import LimitState, bay_chemistry
from console.yard.yard import Bay
from grade_library.lots.blending import Blend

LEAST_SHOWN_WT_PCT = 0.01
"""Elements below this are not written on a bale, unless the buyer sets a limit on them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bale:
    """Metal taken out of a bay."""

    tag: str
    """Written on the bale: "T1-ALO-0003"."""
    bay_code: str
    bay_name: str
    mass_g: int
    pieces: int
    """About how many pieces; exact when the bay was emptied."""
    empties: bool
    """Everything that lay in the bay went."""
    refused_share: float
    """Expected part of the weight that the buyer would not take, 0..1."""
    composition: Mapping[str, Blend] = field(default_factory=dict)
    """Estimated from the pieces tallied [wt %]; empty where the ledger knows of none."""
    unread: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> part of the weight in which nobody read it, 0..1; only what is not 0."""
    limits: tuple[LimitState, ...] = ()
    """The buyer's limits on the bay."""
    stock_before_g: int = 0
    """What lay there by the ledger [g]."""
    stock_after_g: int = 0


def bale_of(bay: Bay, sums: BaySums, mass_g: int, tag: str, *, empties: bool = False) -> Bale:
    """Return a bale of a bay as it stands.

    The pieces are taken as they come: the bale has the composition of the bay, less sure where it is a part
    only.

    Args:
        bay: Where it is taken from.
        sums: What lies there.
        mass_g: What the bale weighs on the scale [g], > 0; it need not agree with the sums.
        tag: What is written on it.
        empties: Nothing stays behind, whatever the weights say.
    """
    share = 1.0 if empties or mass_g >= sums.mass_g else mass_g / sums.mass_g
    taken = sums.part(share)
    # What leaves is written down as estimated: a settlement is held against that, not against what it taught.
    chemistry = bay_chemistry(replace(bay, learned={}), taken)
    composition = {
        symbol: one
        for symbol, one in chemistry.composition.items()
        if one.wt_pct >= LEAST_SHOWN_WT_PCT or symbol in bay.chemistry
    }
    return Bale(
        tag=tag,
        bay_code=bay.code,
        bay_name=bay.name,
        mass_g=mass_g,
        pieces=round(chemistry.pieces),
        empties=share >= 1.0,
        refused_share=chemistry.refused_share,
        composition=composition,
        unread={s: part for s, part in taken.unread().items() if part > 0.0 and s in composition},
        limits=chemistry.limits,
        stock_before_g=round(sums.mass_g),
        stock_after_g=round((1.0 - share) * sums.mass_g),
    )


def next_bale_tag(terminal: str, bay_code: str, earlier: int) -> str:
    """Return the tag of the next bale of a bay, of which so many were taken before on this terminal."""
    return f"{terminal}-{bay_code}-{earlier + 1:04d}"


def bale_body(bale: Bale) -> dict[str, Any]:
    """Return what a ledger row keeps of a bale beside bay and weight, JSON-ready; figures to 4 decimals."""
    return {
        "bale": bale.tag,
        "bay_name": bale.bay_name,
        "pieces": bale.pieces,
        "emptied": bale.empties,
        "refused_share": round(bale.refused_share, 4),
        "stock_before_g": bale.stock_before_g,
        "stock_after_g": bale.stock_after_g,
        "wt_pct": {
            symbol: [round(one.wt_pct, 4), round(one.sigma, 4), round(one.common, 4)]
            for symbol, one in bale.composition.items()
        },
        "unread": {symbol: round(part, 4) for symbol, part in bale.unread.items()},
        "limits": [[one.symbol, one.limit, round(one.chance_kept, 4)] for one in bale.limits],
    }


def bale_from(bay_code: str, mass_g: int, body: Mapping[str, Any]) -> Bale | None:
    """Return the bale that a draw-down's row holds; None for a draw-down without one."""
    if "bale" not in body:
        return None
    composition = {
        # Rows of earlier programs hold no third figure: all is then taken as common, the careful side.
        str(symbol): Blend(wt_pct=float(figures[0]), sigma=float(figures[1]), common=float(figures[-1]))
        for symbol, figures in body.get("wt_pct", {}).items()
    }
    return Bale(
        tag=str(body["bale"]),
        bay_code=bay_code,
        bay_name=str(body.get("bay_name", "")),
        mass_g=mass_g,
        pieces=int(body.get("pieces", 0)),
        empties=bool(body.get("emptied", False)),
        refused_share=float(body.get("refused_share", 0.0)),
        composition=composition,
        unread={str(symbol): float(part) for symbol, part in body.get("unread", {}).items()},
        limits=tuple(
            LimitState(
                symbol=str(symbol),
                limit=str(limit),
                content=composition.get(str(symbol), Blend(wt_pct=0.0, sigma=0.0)),
                chance_kept=float(chance),
            )
            for symbol, limit, chance in body.get("limits", ())
        ),
        stock_before_g=int(body.get("stock_before_g", 0)),
        stock_after_g=int(body.get("stock_after_g", 0)),
    )
