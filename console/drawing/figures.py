"""What is drawn in the place of a figure."""

NOT_MEASURED = "·"


def bar(share: float, width: int) -> tuple[str, str]:
    """Return the drawn and the remaining part of a bar for a share 0..1; together `width` cells.

    A share of less than half a cell draws a dot, a share below the whole leaves at least one cell.

    >>> bar(0.5, 4), bar(0.001, 4), bar(0.2, 4), bar(0.999, 4), bar(1.2, 4)
    (('━━', '──'), ('·', '───'), ('━', '───'), ('━━━', '─'), ('━━━━', ''))
    """
    cells = round(max(0.0, min(share, 1.0)) * width)
    if 0.0 < share < 1.0:
        cells = min(cells, width - 1)
        if not cells:
            return NOT_MEASURED, "─" * (width - 1)
    return "━" * cells, "─" * (width - cells)
