"""Which grades the piece can be, likeliest first."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.panes.drawn import DrawnPane, cell
from console.panes.figures import bar, percent

if TYPE_CHECKING:
    from grade_library.verdict import Candidate, Verdict

NOTHING_KNOWN = (
    "Nothing is known of a piece yet.",
    "A word, a magnet or a reading on the",
    "line above shows here what it can be.",
)
UNLISTED = "unlisted"
UNLISTED_MEANS = "no grade fits"


class CandidatesPane(DrawnPane):
    """The ranked grades; one of them is selected and explained beside it."""

    verdict: reactive["Verdict | None"] = reactive(None, repaint=False)
    """What the piece can be; None before anything is known."""
    selected: reactive[int] = reactive(0, repaint=False)
    """Index of the selected candidate."""

    def watch_verdict(self, before: "Verdict | None", after: "Verdict | None") -> None:
        """Keep a grade that was picked by hand selected while it stays in the list."""
        picked = _grade_at(before, self.selected) if self.selected else None
        rows = [candidate.grade.grade_id for candidate in after.candidates] if after else []
        self.set_reactive(CandidatesPane.selected, rows.index(picked) if picked in rows else 0)
        self.redraw()

    def watch_selected(self) -> None:
        """Show the mark at its new place."""
        self.redraw()

    @property
    def selected_candidate(self) -> "Candidate | None":
        """The candidate that is explained; None when there is none."""
        if self.verdict is None or not self.verdict.candidates:
            return None
        return self.verdict.candidates[min(self.selected, len(self.verdict.candidates) - 1)]

    def step(self, by: int) -> None:
        """Select the next or the previous candidate."""
        count = len(self.verdict.candidates) if self.verdict else 0
        self.selected = max(0, min(self.selected + by, count - 1))

    def draw(self, width: int, height: int) -> list[Content]:
        """Return one row a candidate, and the chance that none fits in the last."""
        verdict = self.verdict
        if verdict is None or not verdict.candidates:
            return [Content.styled(line, "$quiet") for line in NOTHING_KNOWN]
        room = max(1, height - 1)
        first = max(0, min(self.selected - room // 2, len(verdict.candidates) - room))
        shown = verdict.candidates[first : first + room]
        rows = [
            _row(candidate, width, is_first=first + index == 0, is_selected=first + index == self.selected)
            for index, candidate in enumerate(shown)
        ]
        return [*rows, _unlisted_row(verdict.unlisted, width)]


def _grade_at(verdict: "Verdict | None", index: int) -> str | None:
    if verdict is None or index >= len(verdict.candidates):
        return None
    return verdict.candidates[index].grade.grade_id


def _columns(width: int) -> tuple[int, int, int]:
    """Return the widths of grade, family and bar in a row of `width` cells."""
    bar_width = 5 if width < 50 else 12
    grade = 10 if width < 50 else 14
    return grade, max(0, width - 2 - grade - 1 - 6 - bar_width), bar_width


def _row(candidate: "Candidate", width: int, *, is_first: bool, is_selected: bool) -> Content:
    grade, family, bar_width = _columns(width)
    full, rest = bar(candidate.probability, bar_width)
    mark = "▶" if is_selected else "=" if candidate.twins else " "
    name = cell(candidate.grade.grade_id, grade)
    style = "bold" if is_selected else ""
    return Content.assemble(
        (f"{mark} ", "bold"),
        (name, "bold reverse" if is_selected else "bold" if is_first else ""),
        (" " + cell(candidate.grade.family, family), "$quiet" if not is_selected else ""),
        (cell(percent(candidate.probability), 5, right=True) + " ", style),
        (full, "$primary"),
        (rest, "$bar-rest"),
    )


def _unlisted_row(probability: float, width: int) -> Content:
    grade, family, bar_width = _columns(width)
    full, rest = bar(probability, bar_width)
    style = "bold $warning" if probability >= 0.2 else "$quiet"
    return Content.assemble(
        ("? " + cell(UNLISTED, grade) + " " + cell(UNLISTED_MEANS, family), style),
        (cell(percent(probability), 5, right=True) + " ", style),
        (full, "$warning"),
        (rest, "$bar-rest"),
    )
