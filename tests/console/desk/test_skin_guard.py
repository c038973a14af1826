"""A piece whose skin was read stays out of the dearer bays until somebody says why not."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from console.desk import Desk, DeskRefusal
from console.desk.piece.considering import Consideration
from console.desk.piece.skin_guard import dear_from, why_guarded
from console.ledger.rows.queries import kept_evidence

PLATED = "1.2 cr65 ni25 fe1"
CLEAN = "1.2 cr18.2 ni8.1 fe71.5 mn1.5 si0.4"


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Desk:
    """A desk with an open run."""
    return Desk.open(yard_folder, now=clock)


def test_half_of_the_bays_are_dear(desk: Desk) -> None:
    """The median price divides the bays."""
    prices = [bay.price_per_kg for bay in desk.yard.bays if not bay.is_hold]
    above = sum(price > dear_from(desk.yard) for price in prices)

    assert 0 < above <= len(prices) / 2


def test_a_skin_reading_is_refused_in_a_dear_bay_and_nothing_is_written(desk: Desk) -> None:
    """The message says what to do instead."""
    considered = desk.consider(PLATED)
    assert considered.verdict.open_skin is not None

    with pytest.raises(DeskRefusal, match=r"skin.*grind"):
        desk.tally(considered, bay_code="NIX")

    assert desk.review.pieces() == []


def test_the_override_is_kept_with_its_reason(desk: Desk) -> None:
    """The row has the reason, the warning that was overridden, and counts as an override."""
    row = desk.tally(desk.consider(PLATED), bay_code="NIX", despite_skin="cut through, solid").row

    [piece] = desk.review.pieces()
    assert piece.bay == "NIX" and piece.is_override and "cut through, solid" in piece.note
    kept = kept_evidence(desk.ledger, row.row_id)["despite_skin"]
    assert kept["reason"] == "cut through, solid" and "NIX" in kept["warning"]


def test_a_cheap_bay_and_the_hold_bay_take_it_without_a_word(desk: Desk) -> None:
    """Only dear bays are guarded."""
    considered = desk.consider(PLATED)
    cheap = min((bay for bay in desk.yard.bays if not bay.is_hold), key=lambda bay: bay.price_per_kg)

    assert why_guarded(considered, cheap, desk.yard) == ""
    assert why_guarded(considered, desk.yard.hold_bay, desk.yard) == ""


def test_a_clean_piece_is_never_kept_out(desk: Desk) -> None:
    """No bay is guarded against a reading of bare metal; a reason given all the same is not noted."""
    considered = desk.consider(CLEAN)
    assert all(why_guarded(considered, bay, desk.yard) == "" for bay in desk.yard.bays)

    row = desk.tally(considered, despite_skin="never mind").row
    assert "despite_skin" not in kept_evidence(desk.ledger, row.row_id)
    assert not desk.review.pieces()[0].is_override


def test_a_hold_is_not_resolved_into_a_dear_bay_on_its_skin(desk: Desk) -> None:
    """Findings that read the skin do not settle a piece there."""
    row = desk.tally(desk.consider("1.2 ?")).row

    with pytest.raises(DeskRefusal, match="skin"):
        desk.review.resolve(row.row_id, "cr65 ni25 fe1", "new reading", bay_code="NIX")
    assert desk.review.pieces()[0].is_held


def test_without_prices_every_bay_is_guarded(desk: Desk) -> None:
    """Where no price is written yet nobody can say which bays are dear."""
    unpriced = replace(desk.yard, bays=tuple(replace(bay, price_per_kg=0.0) for bay in desk.yard.bays))
    considered = desk.consider(PLATED)

    guarded = [why_guarded(considered, bay, unpriced) != "" for bay in unpriced.bays if not bay.is_hold]
    assert guarded and all(guarded)


@pytest.mark.parametrize(
    ("share", "veto", "accepted", "may_go"),
    [(0.49, "", 1.0, True), (0.5, "", 1.0, False), (0.49, "cadmium", 1.0, False), (0.49, "", 0.5, False)],
)
def test_a_core_that_was_seen_and_is_taken_opens_the_bay(
    desk: Desk, share: float, veto: str, accepted: float, may_go: bool
) -> None:
    """Less than half of the last shot is skin, no rule speaks against it, and the buyer surely takes it."""
    bay = desk.yard.bay("NIX")
    considered = SimpleNamespace(
        verdict=SimpleNamespace(open_skin=SimpleNamespace(shares=(0.9, share), advice="")),
        placement=SimpleNamespace(ranking=(SimpleNamespace(bay=bay, veto=veto, accepted=accepted),)),
    )

    assert (why_guarded(cast(Consideration, considered), bay, desk.yard) == "") is may_go
