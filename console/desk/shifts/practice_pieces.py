"""Invented pieces with known answers, to practise on."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticePiece:
    """What lies on the bench, and what it is."""

    seen: str
    """What a person at the bench sees and can shoot, in words."""
    answer: str
    """An entry line with everything that tells: its bay is the right one in the yard at hand."""
    metal: str
    """What it is, in words."""


def _piece(seen: str, answer: str, metal: str) -> PracticePiece:
    return PracticePiece(seen=seen, answer=answer, metal=metal)


PIECES = (
    _piece(
        "12.4 kg of bright sheet, no magnet; the shot says Cr 18.2, Ni 8.1, Mn 1.5, Fe 71.3",
        "12.4 304 sheet m0 cr18.2 ni8.1 mn1.5 fe71.3",
        "stainless 304",
    ),
    _piece("3.1 kg of light window frame, an extrusion stamped 6063", "3.1 6063 ext", "aluminium 6063"),
    _piece(
        "2 kg of bright fitting; a magnet pulls hard; the shot says Ni 82, Cr 17; "
        "on a ground spot Fe 98.4, Mn 0.9, Si 0.3",
        "2 m2 ni82 cr17 // fe98.4 mn0.9 si0.3",
        "plated steel",
    ),
    _piece("25 kg of red bus bar, stamped C11000", "25 c11000 bus", "copper C11000"),
    _piece(
        "4.2 kg of pipe, no magnet; the shot says Cr 16.8, Ni 10.2, Mo 2.1, Fe 68.4",
        "4.2 pipe m0 cr16.8 ni10.2 mo2.1 fe68.4",
        "stainless 316",
    ),
    _piece("8.6 kg of dull, soft sheet, very heavy, marks paper: lead", "8.6 lead sheet h5", "lead"),
    _piece("2.6 kg of grey lump; nobody can name it, nothing to shoot with", "2.6 ?", "not known: hold"),
    _piece(
        "1.2 kg of yellow fitting; the shot says Cu 61, Zn 36, Pb 2.8",
        "1.2 cu61 zn36 pb2.8 fitting",
        "leaded brass",
    ),
    _piece(
        "6.3 kg of light casting; the shot says Si 7.1, Mg 0.35, Fe 0.1, Al 92",
        "6.3 356 cast si7.1 mg0.35 fe0.1 al92",
        "cast aluminium 356",
    ),
    _piece("45 kg of beam ends, a magnet pulls hard", "45 m2 structural", "structural steel"),
)
"""Compositions lie inside the limits of the library for the grade named; the plated one reads as thick bright
nickel and chromium do. The pieces are invented."""
