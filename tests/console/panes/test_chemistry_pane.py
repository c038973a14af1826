"""The chemistry of the bay at hand, from records alone."""

from dataclasses import replace
from pathlib import Path

import pytest

from console.panes.run.chemistry_pane import ChemistryPane
from console.yard.chemistry.headroom import BayChemistry, LimitState
from console.yard.yard import Yard
from grade_library.library import load
from grade_library.lots.blending import Blend
from tests.yards import load_yard

DEMO_YARD = Path(__file__).resolve().parents[3] / "demo_yard"
KEPT = LimitState(
    symbol="Cr", limit=">=16", content=Blend(wt_pct=18.2, sigma=0.3), chance_kept=0.999, used=0.88
)
AT_RISK = LimitState(
    symbol="Cu", limit="<=0.5", content=Blend(wt_pct=0.45, sigma=0.1), chance_kept=0.7, used=0.9
)
BROKEN = replace(AT_RISK, symbol="P", chance_kept=0.1, used=1.4)
METAL = {"Fe": Blend(wt_pct=71.0, sigma=1.1), "Cr": KEPT.content, "W": Blend(wt_pct=0.01, sigma=0.01)}


@pytest.fixture(scope="module")
def yard() -> Yard:
    """The demo yard."""
    return load_yard(DEMO_YARD, load())


def drawn(yard: Yard, bay: str, *limits: LimitState, mass_g: float = 900_000.0, height: int = 9) -> list[str]:
    """Return the lines of the pane, 46 wide, for a bay of that weight and with those limits."""
    pane = ChemistryPane()
    chemistry = BayChemistry(
        bay=yard.bay("STN"),
        mass_g=mass_g,
        pieces=9,
        refused_share=0.05,
        composition=METAL,
        limits=limits,
    )
    for name, value in (("yard", yard), ("of_bays", {"STN": chemistry}), ("bay", bay)):
        pane.set_reactive(getattr(ChemistryPane, name), value)
    return [line.plain for line in pane.draw(46, height)]


def test_every_limit_stands_with_content_and_word(yard: Yard) -> None:
    """Weight, share of refusals, each limit with its content and a word, then what nobody limits."""
    weight, chrome, copper, phosphorus, others = drawn(yard, "STN", KEPT, AT_RISK, BROKEN)

    assert weight.strip() == "900.00 kg, 5.0 % may be refused"
    assert chrome.split()[:5] == ["Cr", ">=16", "18.2", "±", "0.3"] and chrome.strip().endswith("kept")
    assert copper.startswith("Cu <=0.5") and "0.45 ± 0.10" in copper and "AT RISK" in copper
    assert "BROKEN" in phosphorus and "━─" not in phosphorus
    assert others == "Fe 71.0±1.1"
    assert all(len(line) <= 46 for line in (weight, chrome, copper, phosphorus))


def test_a_little_metal_is_not_judged(yard: Yard) -> None:
    """Of a bay that is too small to matter no limit is called broken."""
    assert "too little" in drawn(yard, "STN", BROKEN, mass_g=500.0)[1]


def test_what_is_not_known_is_said(yard: Yard) -> None:
    """No bay, an empty bay, a bay without limits: a sentence each."""
    assert drawn(yard, "")[0].startswith("The chemistry of the bay follows")
    assert drawn(yard, "FER") == ["Nothing lies in FER yet."]
    assert drawn(yard, "STN")[1] == "Its buyer sets no limits."
