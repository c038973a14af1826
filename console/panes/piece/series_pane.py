"""A series of shots on one piece, drawn: every main element against shot, running to the core."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.bay_limits import nearest_limits
from console.drawing.drawn import DrawnPane, cell
from console.drawing.figures import NOT_MEASURED, bar
from console.ground.figures import percent
from grade_library.verdict import EVEN

if TYPE_CHECKING:
    from console.yard.chemistry.headroom import BayChemistry
    from console.yard.yard import Yard
    from grade_library.facts import Shot
    from grade_library.grade import Grade
    from grade_library.verdict import SkinVerdict, Verdict

NO_SKIN = "No skin is suspected on what was read."
SKIN_BEFORE = "The skin was read by {shots}; in what was read last none is suspected."
NO_SHOTS = (
    "No shot is on the line yet. cr18.2 ni8.1 is a shot; / begins the next one, // one on ground metal."
)
LEAST_WT_PCT = 0.5
"""An element that never reaches this in the series is no main element."""
LEAST_ELEMENTS = 4
"""Drawn before all that is said below them, where the room is small."""
BENEATH = "beneath it: "
MOST_BENEATH = 4
"""Metals named that may lie beneath a skin."""
ROWS_BESIDE = 3
"""Head, skin share, and a blank row before what is said."""
_NAME = 6
_LEAST_COLUMN = 11
_CORE = 15


class SeriesPane(DrawnPane):
    """A column a shot, a row an element, the likeliest core at the right."""

    shots: reactive[Sequence["Shot"]] = reactive((), repaint=False)
    """In the order taken."""
    verdict: reactive["Verdict | None"] = reactive(None, repaint=False)
    yard: reactive["Yard | None"] = reactive(None, repaint=False)
    of_bays: reactive[Mapping[str, "BayChemistry"]] = reactive({}, repaint=False)
    """By the code of the bay, those that hold metal: what is drawn where a short series leaves room."""

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the series, and below it the bays that are nearest to a limit."""
        rows = self._series(width, height)
        if self.yard is None:
            return rows
        return [*rows, *nearest_limits(self.of_bays, self.yard.thresholds, width, height - len(rows))]

    def _series(self, width: int, height: int) -> list[Content]:
        """Return head, elements, skin share, and what the series has come to."""
        if not self.shots:
            return Content.styled(NO_SHOTS, "$quiet").wrap(width)
        skin = self.verdict.skin if self.verdict else None
        picked = shots_shown(len(self.shots), max(1, (width - _NAME - _CORE) // _LEAST_COLUMN))
        column = (width - _NAME - _CORE) // len(picked)
        told = [line for text in _words(skin, width) for line in text.wrap(width)]
        told = told[: max(1, height - ROWS_BESIDE - LEAST_ELEMENTS)]
        symbols = main_elements(self.shots, max(1, height - ROWS_BESIDE - len(told)))
        rows = [self._head(picked, column)]
        rows += [self._row(symbol, picked, column) for symbol in symbols]
        if skin is not None and len(skin.shares) == len(self.shots):
            rows.append(_skin_row([skin.shares[at] for at in picked], column))
        return [*rows, Content(""), *told]

    def _head(self, picked: Sequence[int], column: int) -> Content:
        parts = [Content.styled(cell("wt %", _NAME), "$quiet")]
        for at in picked:
            name = f"{at + 1} ground" if self.shots[at].is_ground else f"{at + 1}"
            word = "shot " if len(name) + 6 <= column else ""
            parts.append(Content.styled(cell(f"{word}{name}"[: column - 1], column), "bold"))
        core = self._core_grade()
        leading = self.verdict.leading if self.verdict else None
        word = "core" if leading and leading.probability >= EVEN else "nearest"
        name = f"{word} {core.grade_id}" if core else "core"
        return Content("").join([*parts, Content.styled(cell(name, _CORE), "bold $primary")])

    def _row(self, symbol: str, picked: Sequence[int], column: int) -> Content:
        parts = [Content.styled(cell(symbol, _NAME), "bold")]
        for at in picked:
            reading = self.shots[at].reading
            value = reading.values.get(symbol)
            if value is None:
                word = f"<{reading.below[symbol]:g}" if symbol in reading.below else NOT_MEASURED
                parts.append(Content.styled(cell(word.rjust(5), column), "$quiet"))
                continue
            full, rest = bar(value / 100.0, max(2, column - 8))
            parts.append(Content.assemble(f"{value:5.1f} ", (full, "$primary"), (rest, "$bar-rest"), " " * 2))
        return Content("").join([*parts, Content(cell(self._limits(symbol), _CORE))])

    def _core_grade(self) -> "Grade | None":
        leading = self.verdict.leading if self.verdict else None
        return leading.members[0].grade if leading else None

    def _limits(self, symbol: str) -> str:
        """Return what the likeliest core holds of an element."""
        grade = self._core_grade()
        limit = grade.limits.get(symbol) if grade is not None else None
        if limit is None:
            return ""
        low = "" if limit.low is None else f"{limit.low:g}"
        high = "" if limit.high is None else f"{limit.high:g}"
        if low and high:
            return f"{low} to {high}"
        return f"<= {high}" if high else f">= {low}" if low else "the rest"


def shots_shown(count: int, room: int) -> list[int]:
    """Return which of `count` shots are drawn where there is room for so many: the first and the newest.

    >>> shots_shown(3, 4), shots_shown(7, 4), shots_shown(5, 1)
    ([0, 1, 2], [0, 4, 5, 6], [4])
    """
    if count <= room:
        return list(range(count))
    return [*([0] if room > 1 else []), *range(count - max(1, room - 1), count)]


def main_elements(shots: Sequence["Shot"], most: int) -> list[str]:
    """Return the elements that matter in a series, the largest at its end first."""
    last = shots[-1].reading.values
    peak: dict[str, float] = {}
    for shot in shots:
        for symbol, value in shot.reading.values.items():
            peak[symbol] = max(peak.get(symbol, 0.0), value)
    kept = [symbol for symbol, value in peak.items() if value >= LEAST_WT_PCT]
    by_worth = sorted(kept, key=lambda symbol: (-peak[symbol], symbol))[:most]
    return sorted(by_worth, key=lambda symbol: (-last.get(symbol, 0.0), -peak[symbol], symbol))


def _skin_row(shares: Sequence[float], column: int) -> Content:
    parts = [Content.styled(cell("skin", _NAME), "bold $warning")]
    for share in shares:
        full, rest = bar(share, max(2, column - 8))
        parts.append(
            Content.assemble(f"{percent(share):>5} ", (full, "$warning"), (rest, "$bar-rest"), " " * 2)
        )
    return Content("").join(parts)


def _words(skin: "SkinVerdict | None", width: int) -> list[Content]:
    """Return what the series has come to; what to do about a skin stands in the warning beside it."""
    if skin is None or not skin.is_suspected:
        read = [at + 1 for at, share in enumerate(skin.shares if skin else ()) if share >= EVEN]
        shots = ("shot " if len(read) == 1 else "shots ") + ", ".join(map(str, read))
        return [Content(SKIN_BEFORE.format(shots=shots) if read else NO_SKIN)]
    lines = [
        Content.assemble(
            ("arrived at the core" if skin.has_arrived else "not yet at the core", "bold"),
            f": {skin.coating or 'an unknown skin'}, {percent(skin.probability)} that the last shot "
            "still reads it",
        )
    ]
    if skin.core:
        names = [f"{one.grade.grade_id} {percent(one.probability)}" for one in skin.core]
        core = as_many_as_fit(names, width - len(BENEATH))
        lines.append(Content.assemble((BENEATH, "$quiet"), core))
    return lines


def as_many_as_fit(names: Sequence[str], width: int) -> str:
    """Return the first names in one row, whole ones, and how many more there are.

    >>> as_many_as_fit(["A36 34 %", "S235JR 20 %", "SAE 1008 9 %"], 30)
    'A36 34 %, S235JR 20 % +1'
    """
    for shown in range(min(len(names), MOST_BENEATH), 0, -1):
        left_out = len(names) - shown
        text = ", ".join(names[:shown]) + (f" +{left_out}" if left_out else "")
        if len(text) <= width:
            return text
    return names[0]
