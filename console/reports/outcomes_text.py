"""What a yard can learn from its ledger, as text and for machines: placements that proved wrong."""

from collections.abc import Callable, Iterable
from typing import Any

from console.ground.cleaning import clean
from console.ground.figures import many
from console.ground.mass import format_mass
from console.ledger.views.contradictions import Cause, Contradiction, Record, Score
from console.reports.columns import Columns, folded
from console.yard.money import amount
from console.yard.yard import Yard

_COLUMNS = Columns(78, (7, 12, 12, 12, 8, 10))
MOST_SHOWN = 20
"""Rows of a table, and single contradictions, that are printed; JSON has them all."""


def outcomes_text(record: Record, yard: Yard, width: int = 80) -> list[str]:
    """Return the record as lines no wider than the width.

    Args:
        record: What was found.
        yard: Names the bays, the unit and the currency.
        width: Columns, at least 80.
    """
    placed = record.placed
    downgrades = sum(1 for one in record.contradictions if one.cause is Cause.DOWNGRADED)
    lines = folded(
        f"{placed.entries} entries placed, {placed.wrong_entries} moved to another bay later; "
        f"{record.resolved} of {record.held} holds resolved, {record.resolved_otherwise} of them to another "
        f"bay than was likeliest; {many(downgrades, 'downgrade', 'downgrades')} by buyers, "
        f"{amount(placed.loss, yard.currency)} lost.",
        width,
    )
    if not record.contradictions:
        return [*lines, "Nothing contradicted a placement so far."]
    names = {bay.code: bay.name for bay in yard.bays}
    lines += ["", *_table("bay", record.by_bay, yard, lambda code: f"{code} {names.get(code, '')}".strip())]
    lines += ["", *_table("named", record.by_grade, yard, lambda name: name or "no name")]
    lines += ["", *_table("sureness", record.by_sureness, yard, lambda name: name or "not said")]
    newest = record.contradictions[: -MOST_SHOWN - 1 : -1]
    lines += ["", f"the newest {len(newest)} of {len(record.contradictions)}"]
    for one in newest:
        lines += folded(_sentence(one, yard), width, first="  ", indent="    ")
    return lines


def _table(head: str, scores: Iterable[Score], yard: Yard, name_of: Callable[[str], str]) -> list[str]:
    """Return a table of scores; rows that nothing contradicted are summed up in a last line."""
    lines = [_COLUMNS.row(head, "placed", "weight", "moved", "downgr.", "wrong", "lost")]
    every = list(scores)
    wrong = [one for one in every if one.wrong_entries or one.downgraded_g]
    lines += [_row(clean(name_of(one.name)), one, yard) for one in wrong[:MOST_SHOWN]]
    if len(wrong) > MOST_SHOWN:
        lines.append(f"and {len(wrong) - MOST_SHOWN} more with something wrong")
    if right_ones := len(every) - len(wrong):
        lines.append(f"{right_ones} more, nothing contradicted")
    return [line.rstrip() for line in lines]


def _row(name: str, score: Score, yard: Yard) -> str:
    # Parts of a downgraded bale come out in odd grams that nobody weighed.
    shown = [round(mass_g, -1) for mass_g in (score.mass_g, score.wrong_g, score.downgraded_g)]
    masses = (format_mass(mass_g, yard.weight_unit) for mass_g in shown)
    share = f"{100.0 * score.wrong_share:.1f} %"
    return _COLUMNS.row(name, str(score.entries), *masses, share, f"{score.loss:.2f}")


def _sentence(one: Contradiction, yard: Yard) -> str:
    """Return one contradiction in a line: "2 Mar STM -> STN 4.20 kg, named 316: Mo 0.2 on a ground spot"."""
    day, weight = f"{one.at_utc:%Y-%m-%d}", format_mass(one.mass_g, yard.weight_unit)
    named = f", named {one.was_grade_id}" if one.was_grade_id else ""
    turned_out = f", is {one.is_grade_id}" if one.is_grade_id else ""
    if one.cause is Cause.DOWNGRADED:
        bale = f"bale {clean(one.line)}" if one.line else f"a load of {clean(one.was_bay)}"
        lost = amount(one.loss, yard.currency)
        return f"{day} {weight} of {bale} downgraded{turned_out}: {clean(one.reason)}; {lost} lost"
    where = "held, likeliest " if one.cause is Cause.RESOLVED else ""
    return f"{day} {where}{one.was_bay} -> {one.is_bay} {weight}{named}{turned_out}: {clean(one.reason)}"


def outcomes_json(record: Record) -> dict[str, Any]:
    """Return the whole record for machines, JSON-ready; weights in kg, shares 0..1."""
    return {
        "placed": _score_json(record.placed),
        "held": record.held,
        "resolved": record.resolved,
        "resolved_otherwise": record.resolved_otherwise,
        "by_bay": [_score_json(one) for one in record.by_bay],
        "by_grade": [_score_json(one) for one in record.by_grade],
        "by_sureness": [_score_json(one) for one in record.by_sureness],
        "contradictions": [_contradiction_json(one) for one in record.contradictions],
    }


def _score_json(score: Score) -> dict[str, Any]:
    return {
        "name": score.name,
        "entries": score.entries,
        "pieces": score.pieces,
        "kg": score.mass_g / 1000,
        "moved_entries": score.wrong_entries,
        "moved_kg": score.wrong_g / 1000,
        "downgraded_kg": score.downgraded_g / 1000,
        "wrong_share": round(score.wrong_share, 6),
        "lost": round(score.loss, 2),
        "went_to": dict(score.went_to),
    }


def _contradiction_json(one: Contradiction) -> dict[str, Any]:
    return {
        "cause": one.cause.value,
        "at_utc": one.at_utc.isoformat(),
        "row_id": one.row_id,
        "person": one.person,
        "was_bay": one.was_bay,
        "is_bay": one.is_bay,
        "was_grade": one.was_grade_id,
        "is_grade": one.is_grade_id,
        "sureness": one.sureness,
        "kg": one.mass_g / 1000,
        "pieces": one.pieces,
        "reason": one.reason,
        "lost": round(one.loss, 2),
        "line": one.line,
    }
