"""The density that a grade's composition leads one to expect: the check on the published figure."""

from collections.abc import Mapping
from types import MappingProxyType

from grade_library.bench.physics import density_by_mixture
from grade_library.elements import ELEMENTS
from grade_library.grade import Grade, MagneticClass

# Effective densities [g/cm3] of a solute in a host, where specific volumes of the pure elements do not add,
# fitted to the published density of the alloys named beside each, with the host's own density kept.
_IN_COPPER = {
    "Zn": 7.67,  # C26000 8.53, C28000 8.39
    "Al": 3.2,  # C61400, C95400
    "Si": 3.5,  # C65500 8.53
    "P": 3.65,  # BCuP-2 8.11
}
_IN_IRON = {
    "C": 5.8,  # cementite 7.69 (memory), high-carbon rail and tool steels
    "Si": 4.0,  # electrical steel 7.65
    "Al": 3.1,  # iron-chromium-aluminium 7.10
    "S": 4.0,  # manganese sulphide, free-cutting steels
}
_IN_NICKEL = {
    "C": 5.8,  # carbides of hard-facing alloys
    "Si": 5.0,  # Nisil 8.6
    "Al": 3.7,  # Ni3Al 7.5 (memory)
    "Ti": 5.6,  # Ni3Ti 7.9 (memory)
}
_IN_ALUMINIUM = {"Li": 0.7}  # 2090 2.59, 8090 2.54
_IN_TUNGSTEN = {"C": 4.0}  # tungsten carbide 15.6 (memory)
_BY_BASE: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        "Cu": _IN_COPPER,
        "Ag": {"Zn": 7.67},
        "Fe": _IN_IRON,
        "Ni": _IN_NICKEL,
        "Co": _IN_NICKEL,
        "Al": _IN_ALUMINIUM,
        "W": _IN_TUNGSTEN,
    }
)
_AUSTENITE = 8.20
"""Iron in a face-centred host [g/cm3], fitted to 304 at 7.93 and 316 at 7.98."""
_HALF_AUSTENITE = 8.03
"""Iron in duplex metal and in castings with some ferrite: halfway."""
_GRAPHITE = 2.25
_ZINC_IN_NICKEL_SILVER = 7.95
"""Between C75200 at 8.73 and C77000 at 8.70 g/cm3."""
_MOST_TITANIUM_WT_PCT = 20.0
"""Above this the alloy is a titanium compound and no solution in nickel."""


def expected_density(grade: Grade, composition: Mapping[str, float]) -> float:
    """Return the density [g/cm3] that a composition of the grade leads one to expect.

    Args:
        grade: Tells base, family and magnetic class, and so the host lattice.
        composition: Symbol -> mass fraction [wt %].

    Valid: within about 1 % for most families, 2 % for tool steels and hard-facing alloys.
    Source: inverse rule of mixtures with fitted effective densities, see the constants.
    """
    special = dict(_BY_BASE.get(grade.base, {}))
    if grade.base == "Fe":
        special["Fe"] = _iron(grade)
        if (
            grade.group == "cast iron"
            and composition.get("Cr", 0.0) < 5.0
            and "white" not in grade.grade_id.casefold()
        ):
            special["C"] = _GRAPHITE
    if grade.group == "nickel silver":
        special["Zn"] = _ZINC_IN_NICKEL_SILVER
    if composition.get("Ti", 0.0) > _MOST_TITANIUM_WT_PCT:
        special.pop("Ti", None)
    return density_by_mixture(composition, special)


def _iron(grade: Grade) -> float:
    """Return the density of iron in the grade's host lattice [g/cm3]."""
    if "duplex" in (grade.series, grade.family) or grade.family == "duplex stainless":
        return _HALF_AUSTENITE
    if grade.family == "austenitic stainless" or grade.base != "Fe":
        return _AUSTENITE
    if grade.magnet in (MagneticClass.NON, MagneticClass.WEAK, MagneticClass.WEAK_WHEN_WORKED):
        return _HALF_AUSTENITE if grade.is_cast or grade.group != "stainless" else _AUSTENITE
    return ELEMENTS["Fe"].density_g_cm3 or 0.0
