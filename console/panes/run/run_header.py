"""Whose run this is, since when, and what it has brought so far."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane, cell
from console.ground.dates import local_time
from console.ground.figures import many
from console.ground.mass import in_unit, mass, short_mass

if TYPE_CHECKING:
    from console.ledger.rows.rows import Tally
    from console.yard.yard import Yard

PROGRAM = "Baywright"
PERSON, SINCE = "  ·  {person}", "  ·  since {time}"
PIECES = ("piece", "pieces")
LEAST_NAME = 12
"""Columns below which a cut name tells nothing."""


class RunHeader(DrawnPane):
    """One row at the top of the sorting screen."""

    yard: reactive["Yard | None"] = reactive(None, repaint=False)
    tally: reactive["Tally | None"] = reactive(None, repaint=False)
    grams_per_hour: reactive[float | None] = reactive(None, repaint=False)
    """Today's rate [g/h]; None while it is too early to tell."""

    whose: reactive[str] = reactive("", repaint=False)
    """Whose load the pieces belong to: "from Old Mill load 7"; empty for nobody's."""
    analyser: reactive[tuple[str, bool]] = reactive(("", True), repaint=False)
    """How the analyser stands, and whether that is as it should be; empty without check samples."""

    def draw(self, width: int, height: int) -> list[Content]:
        """Return yard, person and start at the left, the sums at the right.

        Where the room is small the rate goes first, then the hour of the start: neither is worth a cut word.
        """
        name = Content.styled(PROGRAM, "bold $primary")
        if self.yard is None or self.tally is None:
            return [name]
        run, rate = self.tally.run, self._rate(self.yard.weight_unit)
        person, since = PERSON.format(person=run.person), SINCE.format(time=local_time(run.opened_utc))
        if self.whose:
            # Whose load it is goes before the name of the program and the hour.
            whose, since = Content.styled(self.whose, "bold $accent"), ""
        else:
            whose = name
        least = whose.cell_length + len(person) + 1
        bare = self._sums(self.yard.weight_unit, width)
        right = bare + rate if least + bare.cell_length + rate.cell_length <= width else bare
        spare = width - least - right.cell_length
        since = since if len(since) <= spare else ""
        if self.whose:
            whose = whose.truncate(max(12, len(self.whose) + min(0, spare)), ellipsis=True)
        # The state of the analyser needs the room more than the yard's name.
        room = 0 if self.whose else spare - len(since) - 3
        yard_name = (
            "  " + cell(self.yard.name, min(room, len(self.yard.name)))
            if room >= min(LEAST_NAME, len(self.yard.name))
            else ""
        )
        left = whose + Content(yard_name + person + since)
        return [left.pad_right(max(1, width - left.cell_length - right.cell_length)) + right]

    def _rate(self, unit: str) -> Content:
        if self.grams_per_hour is None:
            return Content("")
        grams = round(self.grams_per_hour)
        rate = short_mass(grams, unit).split(".")[0]
        if unit in ("t", "short ton"):
            rate = f"{in_unit(grams, unit):.2f}"
        return Content.styled(f"  {rate} {unit}/h", "$quiet")

    def _sums(self, unit: str, width: int) -> Content:
        """Return the sums, with the state of the analyser before them where it is wrong, or there is room."""
        assert self.tally is not None
        sums = f"{many(self.tally.pieces, *PIECES)}  {mass(self.tally.mass_g, unit)} {unit}"
        right = Content.styled(sums, "bold")
        state, is_good = self.analyser
        if state and not is_good:
            return Content.assemble((f" {state.upper()} ", "bold reverse $warning"), "  ") + right
        return Content.styled(f"{state}  ", "$quiet") + right if state and width >= 110 else right
