"""A uniform lot in the words of the bench: what to check next, what changed, what is proved."""

from console.yard.lots.uniform_lot import LotState, UniformLot


def pick_words(lot: UniformLot) -> str:
    """Return which piece to check next: "piece 37: row 8, place 2"; empty at the end."""
    pick = lot.next_pick
    if pick is None:
        return ""
    if lot.count is None:
        return "take the next piece" if pick == 0 else f"pass over {pick}, take the next piece"
    if lot.per_row is None:
        return f"piece {pick}"
    row, place = divmod(pick - 1, lot.per_row)
    return f"piece {pick}: row {row + 1}, place {place + 1}"


def plan_words(lot: UniformLot) -> str:
    """Return what the plan asks for, in one line, before the first check."""
    share, sure = f"{100.0 * lot.share:g} %", f"{100.0 * lot.confidence:g} %"
    if lot.count is None:
        return f"check {lot.test.needed(0)} pieces; if none is wrong, below {share} are wrong, {sure} sure"
    steps = lot.plan.steps
    more = "".join(f", {n} with {k} wrong" for k, n in enumerate(steps) if k > 0)
    return f"check {steps[0]} of {lot.count} pieces with none wrong{more}: below {share} wrong, {sure} sure"


def progress_words(lot: UniformLot) -> str:
    """Return where the checks stand after the last piece, and what a wrong one changed, in one line."""
    last_was_wrong = bool(lot.checks) and not lot.checks[-1].is_right
    if lot.state is LotState.UNIFORM:
        return f"uniform: {result_words(lot)}. Tally it by one weight."
    if lot.state is LotState.NOT_UNIFORM:
        return f"not uniform: {result_words(lot)}. Sort it piece by piece."
    if lot.state is LotState.UNDECIDED:
        return f"undecided: {result_words(lot)}. Count the lot and plan anew, or sort it piece by piece."
    said = f"{lot.checked - lot.wrong} of {lot.checked} right, {lot.to_go} to go"
    if last_was_wrong:
        said = f"{_change_words(lot)}; {lot.to_go} to go"
    return f"{said}; next: {pick_words(lot)}"


def _change_words(lot: UniformLot) -> str:
    if lot.count is None:
        before, now = lot.test.needed(lot.wrong - 1), lot.test.needed(lot.wrong)
        return f"{lot.wrong} wrong: a clean run now ends at {now} pieces instead of {before}"
    before, now = lot.plan.steps[lot.wrong - 1], lot.plan.steps[lot.wrong]
    after = "one more and" if lot.wrong == lot.plan.accept else f"{lot.plan.accept - lot.wrong + 1} more and"
    return (
        f"{lot.wrong} wrong: the plan goes from {before} to {now} pieces, {after} it is sorted piece by piece"
    )


def result_words(lot: UniformLot) -> str:
    """Return what the checks prove, for the ledger and the handover."""
    bound, sure = lot.bound(), f"{100.0 * lot.confidence:g} % sure"
    if bound.is_share:
        ends = f"{100.0 * bound.low:.1f} to {100.0 * bound.high:.1f} % wrong"
        if bound.low == 0.0:
            ends = f"at most {100.0 * bound.high:.1f} % wrong"
        return f"{lot.wrong} wrong among {lot.checked} checked, {ends}, {sure}"
    ends = f"{bound.low:.0f} to {bound.high:.0f} of {lot.count} wrong"
    if bound.low == 0:
        ends = f"at most {bound.high:.0f} of {lot.count} wrong"
    return f"{lot.wrong} wrong among {lot.checked} checked, {ends}, {sure}"
