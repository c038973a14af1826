"""What a material is: a thing that a yard sorts by name and that is no single alloy."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from grade_library.grade import Citation, Colour, Grade, Limit, MagneticClass

MATERIAL_GROUP = "material"
"""Group of every material where it is carried as an answer beside grades; no grade belongs to it."""
ONE_METAL_WT_PCT = 90.0
"""A thing of which so much is one metal answers a magnet, a hand and a file as that metal [wt %] (memory)."""

_GROUP_OF_METAL = {"Al": "aluminium", "Cu": "copper", "Fe": "steel", "Pb": "lead", "Zn": "zinc"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One thing that is named and not read: a motor, a radiator, a bale of cans, a published scrap entry."""

    material_id: str
    """Unique, also among grade ids; shown, and what a bay rule says: "electric motor", "Taldon"."""
    what: str = ""
    """What it is, where the id does not say it: "aluminium drinks cans, baled"."""
    group: str
    """What it is sold with: "copper-bearing units", "aluminium cans"."""
    base: str = ""
    """Symbol of the metal that there is most of; empty for what holds none."""
    shares: Mapping[str, Limit] = field(default_factory=dict)
    """Symbol -> share of the whole piece [wt %], non-metal counted in; empty where none is known."""
    share_basis: str = ""
    """Which share was seen in a document and which is memory, in words."""
    names: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Language (en, de, fr, es, it) -> names by which it is called."""
    grades: tuple[str, ...] = ()
    """Grade ids of which it is made, the usual one first, where it is clean metal; families, groups and
    series
    add all of theirs. With a reading beside the name the piece is matched among these."""
    families: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    series: tuple[str, ...] = ()
    forms: tuple[str, ...] = ()
    attachments: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    """In words, for the card."""
    cautions: tuple[str, ...] = ()
    """Ids in data/cautions.toml that stand with it."""
    entries: tuple[str, ...] = ()
    """Published specification entries that take it: ("Talc", "EN 13920-10")."""
    piece_low_kg: float | None = None
    """Usual weight of one piece or lot [kg]; None where none is known."""
    piece_high_kg: float | None = None
    note: str = ""
    source: str = "memory"
    """Documents behind the shares, or "memory", or "common-practice"."""

    @property
    def metal(self) -> str:
        """Symbol of the one metal that it is made of; empty where it is several, or where none is known."""
        share = self.shares.get(self.base)
        return self.base if share is not None and (share.low or 0.0) >= ONE_METAL_WT_PCT else ""

    @property
    def sold_with(self) -> str:
        """Group of the grades that it goes with where a buyer takes the whole group: brake discs with cast
        iron, busheling with steel (common practice). Empty where it is not one metal."""
        if self.metal == "Fe" and self.group.startswith("cast"):
            return "cast iron"
        return _GROUP_OF_METAL.get(self.metal, "")

    @property
    def called(self) -> tuple[str, ...]:
        """Everything that it is called, its id first."""
        stated = (self.material_id, self.what) if self.what else (self.material_id,)
        return (*stated, *(name for names in self.names.values() for name in names))

    def as_answer(self) -> Grade:
        """Return the material in the form in which answers are carried: verdict, placement and ledger.

        Its shares stand as limits, so that bay chemistry counts its metals. Density, magnet and colour say
        nothing of it: no reading is ever matched against it, and hand and eye only ask whether it is the
        metal that it is named for.
        """
        return Grade(
            grade_id=self.material_id,
            family=self.group,
            group=MATERIAL_GROUP,
            series=self.group,
            base=self.base,
            limits=self.shares,
            names=tuple(name for names in self.names.values() for name in names),
            density_g_cm3=_NO_DENSITY,
            magnet=MagneticClass.VARIABLE,
            colour=Colour.GREY,
            look=self.what,
            forms=self.forms,
            scrap=self.entries,
            cautions=self.cautions,
            sources={"limits": Citation(source_id="memory", where=self.source)},
            note=self.note,
        )


_NO_DENSITY = 0.0
"""Of a thing of several metals and hollows."""
