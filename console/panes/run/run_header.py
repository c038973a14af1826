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
ABOUT = "  ·  {person}  ·  since {time}"
PIECES = ("piece", "pieces")


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
        """Return yard, person and start at the left, the sums at the right."""
        name = Content.styled(PROGRAM, "bold $primary")
        if self.yard is None or self.tally is None:
            return [name]
        run = self.tally.run
        sums = f"{many(self.tally.pieces, *PIECES)}  {mass(self.tally.mass_g, self.yard.weight_unit)}"
        right = Content.styled(f"{sums} {self.yard.weight_unit}", "bold")
        if self.grams_per_hour is not None:
            rate = short_mass(round(self.grams_per_hour), self.yard.weight_unit).split(".")[0]
            if self.yard.weight_unit in ("t", "short ton"):
                rate = f"{in_unit(round(self.grams_per_hour), self.yard.weight_unit):.2f}"
            right += Content.styled(f"  {rate} {self.yard.weight_unit}/h", "$quiet")
        state, is_good = self.analyser
        if state and not is_good:
            right = Content.assemble((f" {state.upper()} ", "bold reverse $warning"), "  ") + right
        elif state and width >= 110:
            right = Content.styled(f"{state}  ", "$quiet") + right
        about = ABOUT.format(person=run.person, time=local_time(run.opened_utc))
        if self.whose:
            # Whose load it is goes before the name of the program and the hour.
            person = Content(f"  ·  {run.person}")
            room = max(12, width - person.cell_length - right.cell_length - 3)
            whose = cell(self.whose, min(room, len(self.whose)))
            left = Content.styled(whose, "bold $accent") + person
            return [left.pad_right(max(1, width - left.cell_length - right.cell_length)) + right]
        room = max(0, width - name.cell_length - len(about) - right.cell_length - 4)
        # A few letters of the name tell nothing; the state of the analyser needs the room.
        yard_name = "  " + cell(self.yard.name, min(room, len(self.yard.name))) if room >= 6 else ""
        left = name + Content(yard_name + about)
        return [left.pad_right(max(1, width - left.cell_length - right.cell_length)) + right]
