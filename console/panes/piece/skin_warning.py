"""The skin warning: impossible to miss while a reading is of a coating, silent on a clean piece."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.ground.figures import percent

if TYPE_CHECKING:
    from grade_library.verdict import SkinVerdict

ROWS = 3
WORD = " SKIN, NOT THE METAL "
ARRIVED = "core reached: {shots} shots, skin share of the last {share}"
NO_ADVICE = "Grind a spot and shoot again"


def lines_for(skin: "SkinVerdict | None", width: int, most: int = ROWS) -> list[Content]:
    """Return the warning in so many rows at most, wrapped to the width; none for a piece without a skin."""
    if skin is None or not skin.is_suspected:
        return []
    lines = [line.truncate(width, ellipsis=True) for line in warning(skin).wrap(width)]
    if len(lines) > most:
        rest = Content(" ").join(lines[most - 1 :])
        lines = [*lines[: most - 1], rest.truncate(width, ellipsis=True)]
    return lines


def warning(skin: "SkinVerdict") -> Content:
    """Return what to say of a suspected skin."""
    if skin.has_arrived:
        share = percent(skin.shares[-1]) if skin.shares else "unknown"
        said = ARRIVED.format(shots=len(skin.shares), share=share)
        return Content.assemble((f" {skin.coating or 'skin'} ", "bold reverse"), " ", said)
    return Content.assemble(
        (WORD, "bold reverse $error"),
        (f" {percent(skin.probability)} likely: ", "bold"),
        skin.advice or NO_ADVICE,
    )
