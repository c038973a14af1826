"""When scrap ceases to be waste in the European Union: the criteria, and which the program cannot know.

Sources: Regulation (EU) No 333/2011 (iron, steel and aluminium: Annexes I to III) and Regulation (EU) No
715/2013 (copper: Annexes I and II); articles, annexes and figures from memory. Whoever signs a statement
holds it against the regulation itself.
"""

from collections.abc import Mapping
from dataclasses import dataclass

IRON_ALUMINIUM, COPPER = "Regulation (EU) No 333/2011", "Regulation (EU) No 715/2013"
FOREIGN = "foreign"
"""The criterion that a weighing can answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Regulation:
    """What one regulation asks of one metal."""

    title: str
    metal: str
    clauses: str
    """Where its criteria and the form of its statement stand."""
    foreign_most_wt_pct: float
    """Most foreign material [wt %]."""
    foreign_may_be_said: bool = False
    """A person's word counts above that too, since a metal yield may be shown instead."""
    criteria: Mapping[str, str]
    """Short name -> what it asks; in the order of the annex."""


_COMMON_START = {
    "graded": "graded by a customer specification, an industry specification or a standard for direct use in "
    "the production of metal in melting works or foundries",
}
_COMMON = {
    "oil": "free of visible oil, oily emulsions, lubricants and grease, except amounts that do not drip",
    "radiation": "radioactivity monitored, no need for a response action; a certificate of the test is there",
    "hazard": "no dangerous property of Annex III to Directive 2008/98/EC, no persistent organic pollutants "
    "above their limits",
    "containers": "no pressurised, closed or insufficiently open container that could explode in a furnace",
}
_OXIDE = {"oxide": "no excessive metal oxide, but for what comes of ordinary storage outside"}
_PVC = {"pvc": "no PVC as coating, paint or plastic"}
_SYSTEM = {
    "input": "only such waste went in as the regulation takes, and it was treated as it asks",
    "quality-system": "the quality management system of the yard is verified as the regulation asks",
}


def _foreign(most: str) -> dict[str, str]:
    return {FOREIGN: f"foreign material at most {most} by weight"}


REGULATIONS: Mapping[str, Regulation] = {
    "Fe": Regulation(
        title=IRON_ALUMINIUM,
        metal="iron and steel scrap",
        clauses="Article 3, Annex I; statement: Article 5, Annex III",
        foreign_most_wt_pct=2.0,
        criteria={**_COMMON_START, **_foreign("2 %"), **_OXIDE, **_COMMON, **_SYSTEM},
    ),
    "Al": Regulation(
        title=IRON_ALUMINIUM,
        metal="aluminium scrap",
        clauses="Article 4, Annex II; statement: Article 5, Annex III",
        foreign_most_wt_pct=5.0,
        foreign_may_be_said=True,
        criteria={**_COMMON_START, **_foreign("5 %, or a metal yield of at least 90 %"), **_PVC, **_COMMON}
        | _SYSTEM,
    ),
    "Cu": Regulation(
        title=COPPER,
        metal="copper scrap",
        clauses="Article 3, Annex I; statement: Article 4, Annex II",
        foreign_most_wt_pct=2.0,
        criteria={**_COMMON_START, **_foreign("2 %"), **_OXIDE, **_PVC, **_COMMON, **_SYSTEM},
    ),
}
"""Element that a load holds most of -> what is asked of it; no other metal has such a regulation."""
ALL_CRITERIA = tuple(dict.fromkeys(name for one in REGULATIONS.values() for name in one.criteria))
"""Every short name, for what a person types."""
