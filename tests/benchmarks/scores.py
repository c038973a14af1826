"""Scores of probabilities against what turned out true, and their picture."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

BINS = 10


@dataclass(frozen=True, kw_only=True)
class Bin:
    """One bar of a reliability plot."""

    n: int
    said: float
    """Mean probability said, 0..1; NaN in an empty bin."""
    came: float
    """Share that came true, 0..1; NaN in an empty bin."""


def every_bin(said: Sequence[float], came: Sequence[bool], n_bins: int = BINS) -> list[Bin]:
    """Return the reliability of stated probabilities in bins of equal width, the empty ones too."""
    p, y = np.asarray(said, dtype=float), np.asarray(came, dtype=float)
    at: NDArray[np.int64] = np.minimum((p * n_bins).astype(int), n_bins - 1)
    n = np.bincount(at, minlength=n_bins)
    with np.errstate(invalid="ignore"):
        means = [np.bincount(at, weights=x, minlength=n_bins) / n for x in (p, y)]
    return [Bin(n=int(n[k]), said=float(means[0][k]), came=float(means[1][k])) for k in range(n_bins)]


def bins(said: Sequence[float], came: Sequence[bool], n_bins: int = BINS) -> list[Bin]:
    """Return the same; empty bins are left out."""
    return [one for one in every_bin(said, came, n_bins) if one.n]


def calibration_error(said: Sequence[float], came: Sequence[bool], n_bins: int = BINS) -> float:
    """Return the expected calibration error: sum over bins of share times |came - said| (Guo and others,
    2017)."""
    found = bins(said, came, n_bins)
    total = sum(one.n for one in found)
    return sum(one.n / total * abs(one.came - one.said) for one in found) if total else float("nan")


def brier(said: Sequence[float], came: Sequence[bool]) -> float:
    """Return the Brier score: mean squared difference of the probability said and what came (0 or 1)."""
    p, y = np.asarray(said, dtype=float), np.asarray(came, dtype=float)
    return float(((p - y) ** 2).mean()) if p.size else float("nan")


def reliability_svg(plots: Sequence[tuple[str, list[Bin]]], path: Path) -> None:
    """Write a reliability plot for each titled list of bins, side by side, four in a row."""
    size, gap, columns = 200, 60, 4
    rows = -(-len(plots) // columns)
    width, height = columns * (size + gap) + gap, rows * (size + gap + 20) + gap
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}">',
        f'<rect width="{width}" height="{height}" fill="white"/>',
        '<g font-family="sans-serif">',
    ]
    for k, (title, found) in enumerate(plots):
        x0, y0 = gap + (k % columns) * (size + gap), gap + (k // columns) * (size + gap + 20)
        parts += _panel(title, found, x0, y0, size)
    parts.append("</g></svg>")
    path.write_text("\n".join(parts), "utf-8")


def _panel(title: str, found: list[Bin], x0: float, y0: float, size: float) -> list[str]:
    parts = [
        f'<rect x="{x0}" y="{y0}" width="{size}" height="{size}" fill="none" stroke="black"/>',
        f'<line x1="{x0}" y1="{y0 + size}" x2="{x0 + size}" y2="{y0}" stroke="grey" stroke-dasharray="4"/>',
        f'<text x="{x0}" y="{y0 - 6}" font-size="12">{title}</text>',
        f'<text x="{x0}" y="{y0 + size + 14}" font-size="10">said 0 to 1</text>',
        f'<text font-size="10" transform="translate({x0 - 6} {y0 + size}) rotate(-90)">came true</text>',
    ]
    total = sum(one.n for one in found) or 1
    for one in found:
        radius = 2.0 + 10.0 * (one.n / total) ** 0.5
        x, y = x0 + size * one.said, y0 + size * (1.0 - one.came)
        parts.append(
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="steelblue" fill-opacity="0.6"/>'
        )
        parts.append(f'<text x="{x + radius:.1f}" y="{y:.1f}" font-size="9">{one.n}</text>')
    return parts
