"""The chemical elements that a metal yard can meet: symbol, name, atomic weight, density as a solid."""

from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """One chemical element."""

    symbol: str
    name: str
    number: int
    """Atomic number, 1..92."""
    atomic_weight: float
    """Abridged standard atomic weight [g/mol]; the mass number of a long-lived isotope where none is set."""
    density_g_cm3: float | None
    """Density of the solid near 20 °C [g/cm3]; None for gases and liquids."""


# Atomic weights: abridged standard values, from memory. Densities: usual handbook figures at 20 °C, from
# memory (aluminium 2.699 was seen on a published page); carbon as graphite, white phosphorus, white tin.
_TABLE = """
H hydrogen 1.008 -|He helium 4.0026 -|Li lithium 6.94 0.534|Be beryllium 9.0122 1.85
B boron 10.81 2.34|C carbon 12.011 2.25|N nitrogen 14.007 -|O oxygen 15.999 -
F fluorine 18.998 -|Ne neon 20.180 -|Na sodium 22.990 0.97|Mg magnesium 24.305 1.74
Al aluminium 26.982 2.699|Si silicon 28.085 2.33|P phosphorus 30.974 1.82|S sulfur 32.06 2.07
Cl chlorine 35.45 -|Ar argon 39.95 -|K potassium 39.098 0.86|Ca calcium 40.078 1.55
Sc scandium 44.956 2.99|Ti titanium 47.867 4.54|V vanadium 50.942 6.1|Cr chromium 51.996 7.19
Mn manganese 54.938 7.43|Fe iron 55.845 7.87|Co cobalt 58.933 8.85|Ni nickel 58.693 8.90
Cu copper 63.546 8.96|Zn zinc 65.38 7.13|Ga gallium 69.723 5.91|Ge germanium 72.630 5.32
As arsenic 74.922 5.73|Se selenium 78.971 4.79|Br bromine 79.904 -|Kr krypton 83.798 -
Rb rubidium 85.468 1.53|Sr strontium 87.62 2.6|Y yttrium 88.906 4.47|Zr zirconium 91.224 6.49
Nb niobium 92.906 8.57|Mo molybdenum 95.95 10.22|Tc technetium 97 11.5|Ru ruthenium 101.07 12.37
Rh rhodium 102.91 12.41|Pd palladium 106.42 12.02|Ag silver 107.87 10.49|Cd cadmium 112.41 8.65
In indium 114.82 7.31|Sn tin 118.71 7.30|Sb antimony 121.76 6.69|Te tellurium 127.60 6.24
I iodine 126.90 4.93|Xe xenon 131.29 -|Cs caesium 132.91 1.87|Ba barium 137.33 3.5
La lanthanum 138.91 6.15|Ce cerium 140.12 6.77|Pr praseodymium 140.91 6.77|Nd neodymium 144.24 7.01
Pm promethium 145 7.26|Sm samarium 150.36 7.52|Eu europium 151.96 5.24|Gd gadolinium 157.25 7.90
Tb terbium 158.93 8.23|Dy dysprosium 162.50 8.55|Ho holmium 164.93 8.80|Er erbium 167.26 9.07
Tm thulium 168.93 9.32|Yb ytterbium 173.05 6.97|Lu lutetium 174.97 9.84|Hf hafnium 178.49 13.31
Ta tantalum 180.95 16.65|W tungsten 183.84 19.3|Re rhenium 186.21 21.02|Os osmium 190.23 22.59
Ir iridium 192.22 22.56|Pt platinum 195.08 21.45|Au gold 196.97 19.3|Hg mercury 200.59 -
Tl thallium 204.38 11.85|Pb lead 207.2 11.34|Bi bismuth 208.98 9.80|Po polonium 209 9.32
At astatine 210 -|Rn radon 222 -|Fr francium 223 -|Ra radium 226 5.5
Ac actinium 227 10.07|Th thorium 232.04 11.72|Pa protactinium 231.04 15.37|U uranium 238.03 19.05
"""


def _read_table() -> dict[str, Element]:
    rows = [cell.split() for line in _TABLE.strip().splitlines() for cell in line.split("|")]
    return {
        symbol: Element(
            symbol=symbol,
            name=name,
            number=number,
            atomic_weight=float(weight),
            density_g_cm3=None if density == "-" else float(density),
        )
        for number, (symbol, name, weight, density) in enumerate(rows, start=1)
    }


ELEMENTS: MappingProxyType[str, Element] = MappingProxyType(_read_table())
"""Symbol -> element, in the order of atomic number."""


def is_symbol(text: str) -> bool:
    """Return True for the symbol of an element, spelt as usual.

    >>> is_symbol("Cr"), is_symbol("cr"), is_symbol("Xx")
    (True, False, False)
    """
    return text in ELEMENTS


def nearest_symbol(text: str) -> str | None:
    """Return the symbol that was probably meant, or None where nothing is near.

    >>> nearest_symbol("cr"), nearest_symbol("chromium"), nearest_symbol("Qq")
    ('Cr', 'Cr', None)
    """
    import difflib  # needed for a message only

    asked = text.strip().casefold()
    for symbol, element in ELEMENTS.items():
        if asked in (symbol.casefold(), element.name):
            return symbol
    by_name = {element.name: symbol for symbol, element in ELEMENTS.items()}
    near = difflib.get_close_matches(asked, by_name, n=1, cutoff=0.75)
    return by_name[near[0]] if near else None
