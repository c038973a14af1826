"""Twenty common pieces: what is typed for each, how many keys that takes, and where the piece lands.

The README's appendix is made from this table; a test types every line into the real console.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """One piece."""

    piece: str
    """What lies on the bench, in words."""
    line: str
    """What is typed before Enter."""
    bay: str
    """Where it lands in the demo yard."""

    @property
    def keys(self) -> int:
        """Keys pressed, Enter among them."""
        return len(self.line) + 1


TWENTY = (
    Typed(piece="304 sheet, known at sight", line="12.4 304", bay="STN"),
    Typed(piece="the same again", line="7.5", bay="STN"),
    Typed(piece="stainless for a bay that is known", line="9 stn", bay="STN"),
    Typed(piece="316, by its stamp", line="4.2 316", bay="STM"),
    Typed(piece="430 sheet, the magnet holds", line="6.9 430 m2", bay="SFC"),
    Typed(piece="stainless read by the analyser", line="8 18.2cr8.1ni", bay="STN"),
    Typed(piece="6063 extrusion, clean", line="8.2 6063 .e", bay="AXC"),
    Typed(piece="the same, painted", line="7.7 6063 .e +p", bay="AMX"),
    Typed(piece="5052 sheet", line="9.8 5052", bay="ALO"),
    Typed(piece="356 casting", line="6.3 356 .c", bay="ACM"),
    Typed(piece="bare copper wire", line="3 cub", bay="CUB"),
    Typed(piece="copper tube with solder", line="3.4 cum", bay="CUM"),
    Typed(piece="yellow brass", line="2.1 ybr", bay="YBR"),
    Typed(piece="free-cutting brass by its number", line="4.6 c36000", bay="YBR"),
    Typed(piece="gunmetal valve, read", line="6.2 cu85sn5pb5zn5", bay="RBZ"),
    Typed(piece="four pieces of steel on the scale", line="45 x4 fer", bay="FER"),
    Typed(piece="titanium tube", line="1.5 ti .t", bay="TTN"),
    Typed(piece="sheet lead", line="8.6 lds", bay="LDS"),
    Typed(piece="zinc casting, read", line="1.9 zn95.4al4", bay="ZDC"),
    Typed(piece="nobody knows", line="2.6 ?", bay="HLD"),
)
