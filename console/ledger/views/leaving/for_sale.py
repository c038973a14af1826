"""What could be sold now: the loose metal of the bays, and bales by their tags."""

from collections.abc import Iterable, Mapping

from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.views.leaving.bales import NO_BALE, bale_row
from console.yard.chemistry.bale import bale_from
from console.yard.chemistry.composition import BaySums
from console.yard.selling.outlets import outlets_of, refusals
from console.yard.selling.sale import Source
from console.yard.yard import Yard

LEAST_KG = 1.0
"""Less than this in a bay is no load [kg]."""
UNKNOWN = "nothing is known of what it is made of"
NO_BAY = "Bale {tag} is of bay {bay}, which is no longer in yard.toml."


def loose_sources(yard: Yard, sums: Mapping[str, BaySums]) -> tuple[Source, ...]:
    """Return the loose metal of every bay as it lies; each can be sold in parts.

    Args:
        yard: Its bays.
        sums: Code of a bay -> what lies there.
    """
    found = []
    for bay in yard.bays:
        of_bay = sums.get(bay.code)
        if bay.is_hold or of_bay is None or of_bay.mass_g < 1000.0 * LEAST_KG:
            continue
        found.append(
            Source(
                name=bay.code,
                mass_kg=of_bay.mass_g / 1000.0,
                contents=of_bay.composition(),
                kept_per_kg=bay.downgrade_per_kg,
                refused_share=min(1.0, max(0.0, of_bay.refused_g / of_bay.mass_g)),
                refused_by=refusals(bay, yard),
            )
        )
    return tuple(found)


def bale_sources(source: LedgerSource, yard: Yard, tags: Iterable[str]) -> tuple[Source, ...]:
    """Return bales as sources that are sold whole or not at all.

    Raises:
        LedgerRefusal: No bale has one of the tags, or its bay is gone.
    """
    return tuple(_bale(source, yard, tag) for tag in dict.fromkeys(tag.strip().upper() for tag in tags))


def _bale(source: LedgerSource, yard: Yard, tag: str) -> Source:
    row = bale_row(source, tag)
    bale = bale_from(row.bay or "", row.mass_g or 0, row.body) if row else None
    if bale is None:
        raise LedgerRefusal(NO_BALE.format(tag=tag))
    bay = yard.bay_if_known(bale.bay_code)
    if bay is None:
        raise LedgerRefusal(NO_BAY.format(tag=bale.tag, bay=bale.bay_code))
    unknown = {one.name: UNKNOWN for one in outlets_of(yard) if one.limits} if not bale.composition else {}
    return Source(
        name=bale.tag,
        mass_kg=bale.mass_g / 1000.0,
        contents=bale.composition,
        is_whole=True,
        kept_per_kg=bay.downgrade_per_kg,
        refused_share=bale.refused_share,
        refused_by={**unknown, **refusals(bay, yard)},
    )
