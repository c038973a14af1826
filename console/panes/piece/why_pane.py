"""Why the selected grade is a candidate: what speaks for it and what against."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane
from console.ground.figures import percent

if TYPE_CHECKING:
    from console.drawing.at_rest import AtRest
    from grade_library.verdict import Candidate, Reason, Verdict

FOR, AGAINST = "+", "-"
TITLE = " why {grade} "
ALONE = "{family}; {grade} alone {share}"
SURE = "sure: "
LOOKS_LIKE, AND_MORE = "looks like {names}", " and {count} more"
LOOKS_LIKE_MANY = "looks like {count} others"
OUTSIDE = "OUTSIDE "


class WhyPane(DrawnPane):
    """Reasons of one candidate, strongest first, with a mark for and a word against."""

    at_rest: reactive["AtRest | None"] = reactive(None, repaint=False)
    """What is shown while there is nothing to explain."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._candidate: Candidate | None = None
        self._verdict: Verdict | None = None
        self._has_strips = False

    def explain(
        self, candidate: "Candidate | None", verdict: "Verdict | None", *, has_strips: bool = False
    ) -> None:
        """Show why a candidate is one, its grade in the border.

        Args:
            candidate: The candidate; None when there is none.
            verdict: Where it comes from: its warnings and what is sure of the family stand below the reasons.
            has_strips: The limits are drawn beside it: what lies inside them need not be said again.
        """
        if candidate is self._candidate and verdict is self._verdict and has_strips == self._has_strips:
            return
        self._candidate, self._verdict, self._has_strips = candidate, verdict, has_strips
        self.watch_at_rest()

    def watch_at_rest(self) -> None:
        """Name what is shown in the border, and draw it."""
        if self._candidate is not None:
            title = TITLE.format(grade=self._candidate.grade.grade_id)
        else:
            title = self.at_rest.title if self.at_rest is not None else ""
        if self.border_title != title:
            self.border_title = Content(title)
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return twins, then reasons, then warnings, as many as there is room for."""
        if self._candidate is None:
            return self.at_rest.lines(width, height) if self.at_rest is not None else []
        lines = [
            _reason(reason)
            for reason in self._candidate.reasons
            if not (self._has_strips and reason.kind == "inside" and reason.is_for)
        ]
        if self._candidate.twins:
            lines.insert(0, _twins_line([grade.grade_id for grade in self._candidate.twins], width))
        share = ALONE.format(
            family=self._candidate.grade.family,
            grade=self._candidate.grade.grade_id,
            share=percent(self._candidate.probability),
        )
        lines.insert(0, Content.styled(share, "$quiet"))
        if self._verdict is not None:
            lines += [
                Content.assemble(("! ", "bold $warning"), warning) for warning in self._verdict.warnings
            ]
            if self._verdict.family_answer:
                lines.append(Content.assemble((SURE, "$quiet"), self._verdict.family_answer))
        rows: list[Content] = []
        for line in lines:
            if len(rows) >= height:
                break
            rows += _hang(line, width)
        if len(rows) > height > 0:
            # Half a reason says so: "often met in this yard (21" would read as a slip.
            rows[height - 1] = rows[height - 1].truncate(width - 2, ellipsis=False) + " …"
        return rows[:height]


def _twins_line(names: list[str], width: int) -> Content:
    """Return one row that names as many twins as it holds and counts the others."""
    for shown in range(len(names), 0, -1):
        left_out = len(names) - shown
        more = AND_MORE.format(count=left_out) if left_out else ""
        text = LOOKS_LIKE.format(names=", ".join(names[:shown])) + more
        if len(text) + 2 <= width:
            break
    else:
        text = LOOKS_LIKE_MANY.format(count=len(names)) if len(names) > 1 else text
    return Content.assemble(("= ", "bold"), text)


def _reason(reason: "Reason") -> Content:
    if reason.is_for:
        return Content.assemble((f"{FOR} ", "bold $success"), reason.text)
    word = OUTSIDE if reason.kind == "outside" else ""
    return Content.assemble((f"{AGAINST} ", "bold $error"), (word, "bold $error"), reason.text)


def _hang(line: Content, width: int) -> list[Content]:
    """Return a line wrapped to the width, later rows set in by two."""
    if line.cell_length <= width:
        return [line]
    rows = line.wrap(width - 2)
    return [rows[0], *[Content("  ") + row for row in rows[1:]]] if rows else []
