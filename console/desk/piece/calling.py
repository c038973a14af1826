"""What a piece is called: a grade is named only where it is likelier than not, else the class that is."""

from dataclasses import dataclass

from console.ground.figures import NO_NAME, percent
from grade_library.verdict import EVEN, Verdict

LIKELY_TWIN = 0.02
"""Probability from which a twin is named beside the grade (own choice)."""
MOST_IN_NAME = 2
"""Twins that are named beside the grade; of more the class is the name (own choice)."""
MOST_TWINS = 4
"""Kept per candidate: the store grows by every piece, and further twins can be reckoned again."""
WORTH_SAYING = 0.10
"""Probability from which the nearest grade is said beside a class or no name (own choice)."""
ALMOST_ALL = 0.995
"""Said of whatever is likelier: nothing read is certain."""
LIKELY, NEAREST = ", {share} likely", ", nearest {grade} ({share})"


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """What a piece is called, and what stands behind the name."""

    grade_id: str | None
    """The likeliest grade, kept with the row; None where none is listed, or not even a class is likely."""
    twins: tuple[str, ...] = ()
    """Grades that cannot be told from it and are likely themselves, likeliest first."""
    class_name: str = ""
    """Its family or group, where that is likelier than not and the grade with its twins is not."""
    share: float = 0.0
    """Probability of what it is called, 0..1."""
    nearest: str = ""
    """The likeliest grade, where it is not likely enough to be the name; empty where none is worth saying."""
    nearest_share: float = 0.0
    """Probability of that grade with the twins that would be named with it, 0..1."""

    is_by_name: bool = False
    """A thing that is named and not read."""

    @property
    def words(self) -> str:
        """The name with its probability: "304, 304L or CF8, 93 % likely", "brass, 81 % likely, nearest C36000
        (24 %)", "no name"; of a thing that nothing was read of "brake discs, by its name"."""
        *others, last = [one for one in (self.grade_id, *self.twins) if one] or [""]
        name = self.class_name or " or ".join(filter(None, (", ".join(others), last)))
        sure = ", by its name" if self.is_by_name else LIKELY.format(share=_said(self.share))
        said = f"{name}{sure}" if name else NO_NAME
        near = NEAREST.format(grade=self.nearest, share=_said(self.nearest_share)) if self.nearest else ""
        return said + near


def _said(share: float) -> str:
    return percent(min(share, ALMOST_ALL))


def called(verdict: Verdict) -> Called:
    """Return what a piece is called.

    A grade with its twins is the name where together they are likelier than not and few; else the family that
    is, else the group; else there is no name. Unlisted members of a family count for the family.
    """
    leading = verdict.leading
    if leading is None:
        return Called(grade_id=None)
    twins = _likely_twins(verdict)
    named = {leading.grade_id, *twins}
    share = min(1.0, sum(one.probability for one in verdict.candidates if one.grade.grade_id in named))
    is_listed = leading.probability >= verdict.unlisted
    class_name, of_class = _likely_class(verdict)
    if share >= EVEN and (len(twins) <= MOST_IN_NAME or not class_name):
        by_name = verdict.is_named
        return Called(grade_id=leading.grade_id, twins=twins, share=share, is_by_name=by_name)
    near = (leading.grade_id, share) if is_listed and share >= WORTH_SAYING else ("", 0.0)
    return Called(
        grade_id=leading.grade_id if class_name and is_listed else None,
        twins=twins if class_name and is_listed else (),
        class_name=class_name,
        share=of_class,
        nearest=near[0],
        nearest_share=near[1],
    )


def _likely_twins(verdict: Verdict) -> tuple[str, ...]:
    """Return the twins of the likeliest grade that are likely themselves, by id."""
    assert verdict.leading is not None
    twins = {twin.grade_id for twin in verdict.leading.members[0].twins}
    likely = [c.grade.grade_id for c in verdict.candidates if c.probability >= LIKELY_TWIN]
    return tuple(grade_id for grade_id in likely if grade_id in twins)[:MOST_TWINS]


def _likely_class(verdict: Verdict) -> tuple[str, float]:
    """Return the narrowest class that is likelier than not, with its probability; "" where none is."""
    for level in ("family", "group"):
        shares: dict[str, float] = {}
        for one in verdict.families:
            name = getattr(one, level)
            shares[name] = shares.get(name, 0.0) + one.probability
        best = max(shares, key=lambda name: shares[name], default="")
        if best and shares[best] >= EVEN:
            return best, min(1.0, shares[best])
    return "", 0.0
