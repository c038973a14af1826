"""Why the selected grade is a candidate: what speaks for it and what against."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.panes.drawn import DrawnPane
from console.panes.figures import percent

if TYPE_CHECKING:
    from grade_library.verdict import Candidate, Reason, Verdict

FOR, AGAINST = "+", "-"
TITLE = " why {grade} "
BY_ITSELF = "{family}, {share} by itself"
SURE = "sure: "
LOOKS_LIKE, AND_MORE = "looks like {names}", " and {count} more"
OUTSIDE = "OUTSIDE "


class WhyPane(DrawnPane):
    """Reasons of one candidate, strongest first, with a mark for and a word against."""

    candidate: reactive["Candidate | None"] = reactive(None, repaint=False)
    """The candidate explained; None when there is none."""
    verdict: reactive["Verdict | None"] = reactive(None, repaint=False)
    """Where it comes from: its warnings and what is sure of the family stand below the reasons."""

    has_strips: reactive[bool] = reactive(False, repaint=False)
    """The limits are drawn beside it: what lies inside them need not be said again."""

    def watch_has_strips(self) -> None:
        """Say it, or leave it to the strips."""
        self.redraw()

    def watch_candidate(self) -> None:
        """Name the grade in the border and show its reasons."""
        self.border_title = Content(
            TITLE.format(grade=self.candidate.grade.grade_id) if self.candidate else ""
        )
        self.redraw()

    def watch_verdict(self) -> None:
        """Show what is said of the facts themselves."""
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return twins, then reasons, then warnings, as many as there is room for."""
        if self.candidate is None:
            return [Content("")]
        lines = [
            _reason(reason)
            for reason in self.candidate.reasons
            if not (self.has_strips and reason.kind == "inside" and reason.is_for)
        ]
        if self.candidate.twins:
            lines.insert(0, _twins_line([grade.grade_id for grade in self.candidate.twins], width))
        share = BY_ITSELF.format(
            family=self.candidate.grade.family, share=percent(self.candidate.probability)
        )
        lines.insert(0, Content.styled(share, "$quiet"))
        if self.verdict is not None:
            lines += [Content.assemble(("! ", "bold $warning"), warning) for warning in self.verdict.warnings]
            if self.verdict.family_answer:
                lines.append(Content.assemble((SURE, "$quiet"), self.verdict.family_answer))
        wrapped = [part for line in lines for part in _hang(line, width)]
        return wrapped[:height]


def _twins_line(names: list[str], width: int) -> Content:
    """Return one row that names as many twins as it holds and counts the others."""
    for shown in range(len(names), 0, -1):
        left_out = len(names) - shown
        more = AND_MORE.format(count=left_out) if left_out else ""
        text = LOOKS_LIKE.format(names=", ".join(names[:shown])) + more
        if len(text) + 4 <= width:
            break
    return Content.assemble(("= ", "bold"), text)


def _reason(reason: "Reason") -> Content:
    if reason.is_for:
        return Content.assemble((f"{FOR} ", "bold $success"), reason.text)
    word = OUTSIDE if reason.kind == "outside" else ""
    return Content.assemble((f"{AGAINST} ", "bold $error"), (word, "bold $error"), reason.text)


def _hang(line: Content, width: int) -> list[Content]:
    """Return a line wrapped to the width, later rows set in by two."""
    rows = line.wrap(width - 2)
    return [rows[0], *[Content("  ") + row for row in rows[1:]]] if rows else []
