"""Whether a stainless or nickel-copper alloy of a given composition pulls a magnet."""

import numpy as np

from grade_library.normal import FloatArray, normal_cdf

# Every function takes numbers or arrays [wt %] of one shape.


def wrc_equivalents(
    *,
    cr: FloatArray,
    ni: FloatArray,
    mo: FloatArray,
    nb: FloatArray,
    c: FloatArray,
    n: FloatArray,
    cu: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Return the chromium and the nickel equivalent [wt %].

    Valid: the diagram covers Creq 17 to 31 and Nieq 9 to 18, weld and cast metal.
    Source: WRC-1992, Kotecki and Siewert.

    >>> chromium, nickel = wrc_equivalents(cr=18.2, ni=8.1, mo=0.2, nb=0.0, c=0.05, n=0.05, cu=0.3)
    >>> round(chromium, 3), round(nickel, 3)
    (18.4, 10.925)
    """
    return cr + mo + 0.7 * nb, ni + 35.0 * c + 20.0 * n + 0.25 * cu


def ferrite_number(creq: FloatArray, nieq: FloatArray) -> FloatArray:
    """Return the ferrite number from WRC-1992 equivalents, >= 0.

    Valid: "none, some, a lot" only: a straight-line stand-in for the chart, true for as-cast and weld metal;
        wrought and annealed metal holds less. 304 about 6, 2205 about 33, 310 none.
    Source: linear fit found in an open program, without a published origin.
    """
    return np.maximum(3.34 * creq - 2.46 * nieq - 28.6, 0.0)


def md30_nohara(
    *,
    cr: FloatArray,
    ni: FloatArray,
    mo: FloatArray,
    si: FloatArray,
    mn: FloatArray,
    c: FloatArray,
    n: FloatArray,
    cu: FloatArray,
    nb: FloatArray,
) -> FloatArray:
    """Return the temperature [°C] at which 30 % strain turns half of the austenite to martensite.

    Valid: an ASTM grain size of 8, at which the term of the grain is nothing.
    Source: Nohara, Ono and Ohashi, Tetsu-to-Hagané 63 (1977) 772; printed in EN 10088-1, annex C.

    >>> round(md30_nohara(cr=18.2, ni=8.1, mo=0.2, si=0.5, mn=1.5, c=0.05, n=0.05, cu=0.3, nb=0.0), 1)
    -8.6
    """
    return (
        551.0 - 462.0 * (c + n) - 9.2 * si - 8.1 * mn - 13.7 * cr - 29.0 * (ni + cu) - 18.5 * mo - 68.0 * nb
    )


def chance_pull_when_worked(md30_celsius: FloatArray) -> FloatArray:
    """Return the chance that cold-worked metal pulls noticeably, 0..1.

    A pull is expected above about -20 °C, none below -70 °C, either between (derived from worked examples
    against practice, not published): the chance rises from 7 % to 93 % between them.
    """
    return normal_cdf((np.asarray(md30_celsius, dtype=np.float64) + 45.0) / 17.0)


def atomic_pct_copper(cu_wt_pct: float) -> float:
    """Return the copper share of a nickel-copper alloy in atoms [%].

    >>> round(atomic_pct_copper(31.5), 2)
    29.81
    """
    copper, nickel = cu_wt_pct / 63.546, (100.0 - cu_wt_pct) / 58.693
    return 100.0 * copper / (copper + nickel)


def curie_point_nickel_copper(cu_wt_pct: float) -> float:
    """Return the Curie point of a nickel-copper alloy [°C].

    Valid: 0 to 50 wt % copper, give or take 30 °C; other elements lower it further.
    Source: 631 K for nickel and 10.7 K less per atomic per cent of copper (memory; agrees with the 20 to 50
        °C that producers state for alloy 400).

    >>> round(curie_point_nickel_copper(31.5))
    39
    """
    return 631.0 - 10.7 * atomic_pct_copper(cu_wt_pct) - 273.15
