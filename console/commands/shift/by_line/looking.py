"""What a line says and would become, without an act."""

from typing import TYPE_CHECKING

from console.desk.piece.calling import called
from console.desk.refusals import refuse_unclear
from console.yard.placing.placement import Sureness

if TYPE_CHECKING:
    from console.desk import Desk


def in_full(desk: "Desk", line: str, *, is_new: bool = True) -> str:
    """Return a line with what was left out in a run of readings, and with the tare; as on the screen.

    Args:
        desk: Knows both.
        line: As typed.
        is_new: It stands for no piece that is tallied already.
    """
    line = desk.piece.habit.in_full(line, repeats_technique=is_new)
    return desk.piece.tare.taken_off(line) if is_new else line


def looked_at(desk: "Desk", line: str) -> str:
    """Say what a line would become.

    Raises:
        DeskRefusal: It is not clear.
    """
    considered = desk.consider(in_full(desk, line))
    parsed, placement, habit = considered.parsed, considered.placement, desk.piece.habit
    refuse_unclear(parsed.problems)
    understood = ", ".join(token.meaning for token in parsed.tokens) or "nothing typed"
    bay = desk.piece.bay(considered)
    where = f"; Enter would put it into {bay.code}" if bay is not None else ""
    named = f"; {called(considered.verdict).words}" if considered.verdict.candidates else ""
    is_settled = placement is not None and placement.sureness is Sureness.SETTLED
    is_asked = parsed.facts.shots and not is_settled
    asked = habit.next_element(habit.answered(line)) if is_asked else ""
    decides = f"; {asked} decides next" if asked else ""
    return f"{understood}{named}{where}{decides}."
