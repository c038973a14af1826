"""Which grades the piece can be, likeliest first; twins stand in one row, as the one answer that they are."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane, cell, whole_words
from console.drawing.figures import bar
from console.ground.figures import percent

if TYPE_CHECKING:
    from grade_library.verdict import Answer, Candidate, Verdict

NOTHING_KNOWN = (
    "Nothing is known of a piece yet.",
    "A word, a magnet or a reading on the line shows here what it can be.",
)
UNLISTED = "none listed"
UNLISTED_MEANS = "no grade fits"
OF_NO_FAMILY = "of no family"
EQUALS = " = "
LEAST_LETTERS = 8
"""Of a family's name that is cut behind a word, fewer tell nothing ("high", "tin"); own choice."""
MOST_FAMILIES, LEAST_NAMED = 3, 0.01
"""So many families of an unlisted alloy are shown, none less likely than this."""


class CandidatesPane(DrawnPane):
    """The ranked answers; one grade is selected and explained below."""

    verdict: reactive["Verdict | None"] = reactive(None, repaint=False)
    """What the piece can be; None before anything is known."""
    selected: reactive[int] = reactive(0, repaint=False)
    """Index of the selected candidate, counted through the answers as they are shown."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._answers: tuple[Answer, ...] = ()
        self._in_order: tuple[Candidate, ...] = ()

    def watch_verdict(self, after: "Verdict | None") -> None:
        """Keep a grade that was picked by hand selected while it stays in the list."""
        from grade_library.verdict import answers_of  # with the library, after the first picture

        is_picked = 0 < self.selected < len(self._in_order)
        picked = self._in_order[self.selected].grade.grade_id if is_picked else None
        self._answers = answers_of(after.candidates) if after else ()
        self._in_order = tuple(one for answer in self._answers for one in answer.members)
        names = [candidate.grade.grade_id for candidate in self._in_order]
        self.set_reactive(CandidatesPane.selected, names.index(picked) if picked in names else 0)
        self.redraw()

    @property
    def selected_candidate(self) -> "Candidate | None":
        """The candidate that is explained; None when there is none."""
        if not self._in_order:
            return None
        return self._in_order[min(self.selected, len(self._in_order) - 1)]

    def step(self, by: int) -> None:
        """Select the next or the previous candidate."""
        self.selected = max(0, min(self.selected + by, len(self._in_order) - 1))

    def draw(self, width: int, height: int) -> list[Content]:
        """Return one row an answer, and the chance that none fits in the last."""
        if self.verdict is None or not (self.verdict.unlisted or self._answers):
            return [row for line in NOTHING_KNOWN for row in Content.styled(line, "$quiet").wrap(width)]
        if not self._answers:
            return _unlisted_rows(self.verdict, width)[:height]
        selected = self.selected_candidate
        at = next(i for i, answer in enumerate(self._answers) if selected in answer.members)
        room = max(1, height - 1)
        first = max(0, min(at - room // 2, len(self._answers) - room))
        rows = [
            _row(answer, width, is_first=first + index == 0, selected=selected)
            for index, answer in enumerate(self._answers[first : first + room])
        ]
        return [*rows, _unlisted_row(_unlisted_name(self.verdict, width), self.verdict.unlisted, width)]


def _columns(width: int) -> tuple[int, int]:
    """Return the widths of names and bar in a row of `width` cells; mark takes two, percentage six."""
    bar_width = 5 if width < 50 else 12
    return max(0, width - 2 - 6 - bar_width), bar_width


def _row(answer: "Answer", width: int, *, is_first: bool, selected: "Candidate | None") -> Content:
    room, bar_width = _columns(width)
    is_selected = selected in answer.members
    full, rest = bar(answer.probability, bar_width)
    share = percent(answer.probability)
    # A name never touches its figure: "100 %" leaves no blank before it.
    last = room - (len(share) == 5)
    names = _names(answer, last, selected if is_selected else None, "bold" if is_first else "")
    at = max(12, names.cell_length + 2)
    family = _family(answer.members[0].grade.family, last - at) if len(answer.members) == 1 else ""
    if family:
        names = names.pad_right(at - names.cell_length) + Content.styled(family, "$quiet")
    return Content.assemble(
        ("▶ " if is_selected else "  ", "bold"),
        names.pad_right(max(0, room - names.cell_length)),
        (cell(share, 5, right=True) + " ", "bold" if is_selected or is_first else ""),
        (full, "$primary"),
        (rest, "$bar-rest"),
    )


def _family(name: str, room: int) -> str:
    """Return the name of a family, as many of its words as tell something, or nothing for want of room."""
    told = whole_words(name, max(0, room)).rstrip()
    is_told = told == name or (len(told) > LEAST_LETTERS and name.startswith(told[:-1] + " "))
    return told if is_told else ""


def _names(answer: "Answer", room: int, selected: "Candidate | None", style: str) -> Content:
    """Return as many names as there is room for, the selected one among them, and count the others."""
    names = [one.grade.grade_id for one in answer.members]
    chosen = selected.grade.grade_id if selected else ""
    for shown in range(len(names), 0, -1):
        kept = names[:shown]
        if chosen and chosen not in kept:
            kept = [*names[: shown - 1], chosen]
        left_out = len(names) - len(kept)
        more = f" +{left_out}" if left_out else ""
        if len(EQUALS.join(kept)) + len(more) <= room:
            break
    parts: list[tuple[str, str]] = []
    for name in kept:
        if parts:
            parts.append((EQUALS, "$quiet"))
        parts.append((cell(name, min(len(name), room)), "bold reverse" if name == chosen else style))
    return Content.assemble(*parts, (more, "$quiet"))


def _unlisted_name(verdict: "Verdict", width: int) -> str:
    """Return what an alloy that no grade fits would be: of a family where one leads; its meaning where it
    has room."""
    room, _ = _columns(width)
    leading = max(verdict.families, key=lambda member: member.unlisted, default=None)
    if leading is None or leading.unlisted < 0.5 * verdict.unlisted or leading.unlisted < LEAST_NAMED:
        meant = f"{UNLISTED}, {UNLISTED_MEANS}"
        return meant if len(meant) <= room else UNLISTED
    family = _family(leading.family, room - len(UNLISTED) - 2)
    return f"{UNLISTED}: {family}" if family else UNLISTED


def _unlisted_rows(verdict: "Verdict", width: int) -> list[Content]:
    """Return the families of an alloy that the library does not list, and the grades that it is near."""
    shares = {f"{UNLISTED}: {member.family}": member.unlisted for member in verdict.families[:MOST_FAMILIES]}
    shares[OF_NO_FAMILY] = verdict.no_family
    named = sorted(((share, name) for name, share in shares.items() if share >= LEAST_NAMED), reverse=True)
    rows = [_unlisted_row(name, share, width) for share, name in named]
    for near in verdict.nearest:
        against = next((reason.text for reason in near.reasons if not reason.is_for), "")
        rows.append(Content.styled(whole_words(f"  near {near.grade.grade_id}: {against}", width), "$quiet"))
    return rows


def _unlisted_row(name: str, probability: float, width: int) -> Content:
    room, bar_width = _columns(width)
    full, rest = bar(probability, bar_width)
    style = "bold $warning" if probability >= 0.2 else "$quiet"
    return Content.assemble(
        ("? " + whole_words(name, room), style),
        (cell(percent(probability), 5, right=True) + " ", style),
        (full, "$warning"),
        (rest, "$bar-rest"),
    )
