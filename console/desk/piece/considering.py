"""From a line of text to what the piece is and where it should go. Pure: nothing is written."""

from dataclasses import dataclass, replace

from console.desk.piece.known import Known
from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine
from console.yard.placing.place import place
from console.yard.placing.placement import Placement, Sureness
from console.yard.yard import Yard
from grade_library.cautions import Caution, cautions_for, holding_caution
from grade_library.facts import PieceFacts
from grade_library.matcher.matching import identify
from grade_library.verdict import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Consideration:
    """Everything that follows from a line before it is tallied."""

    parsed: ParsedLine
    verdict: Verdict
    placement: Placement | None
    """None where there is no yard to place it in."""
    cautions: tuple[Caution, ...]
    """Most urgent first."""
    held_for: Caution | None = None
    """The caution for which the piece should wait on hold, whatever metal it is; None where there is none."""


class Considering:
    """Considers line after line, key by key; what did not change is not identified or placed again."""

    def __init__(self) -> None:
        self._last: tuple[PieceFacts, Known, Verdict] | None = None
        self._placed: tuple[Verdict, int | None, Placement | None] | None = None

    def line(self, line: str, known: Known) -> Consideration:
        """Return what a line says, what the piece can be and where it should go."""
        parsed = parse_line(line, names=known.names, yard=known.yard)
        verdict = self._verdict(parsed.facts, known)
        placement, held_for = self._placement(parsed, verdict, known), holding_caution(parsed.line)
        if placement is not None and held_for is not None and known.yard is not None:
            placement = _on_hold(placement, held_for, known.yard)
        return Consideration(
            parsed=parsed,
            verdict=verdict,
            placement=placement,
            cautions=cautions_for(
                verdict=verdict,
                facts=parsed.facts,
                text=parsed.line,
                mass_g=parsed.mass_g,
                check=_step_told(verdict),
            ),
            held_for=held_for,
        )

    def _verdict(self, facts: PieceFacts, known: Known) -> Verdict:
        if self._last is None or self._last[0] != facts or self._last[1] is not known:
            verdict = identify(facts, known.matched, known.prior, known.techniques)
            self._last = (facts, known, verdict)
        return self._last[2]

    def _placement(self, parsed: ParsedLine, verdict: Verdict, known: Known) -> Placement | None:
        """Return where the piece should go; the same verdict comes of the same facts and what is known."""
        if self._placed is None or self._placed[0] is not verdict or self._placed[1] != parsed.mass_g:
            self._placed = (verdict, parsed.mass_g, _placed(verdict, parsed.facts, parsed.mass_g, known))
        return self._placed[2]


def consider_line(line: str, known: Known) -> Consideration:
    """Return what one line says, what the piece can be and where it should go."""
    return Considering().line(line, known)


def _on_hold(placement: Placement, caution: Caution, yard: Yard) -> Placement:
    """Return the placement of a piece that no bay may have before trained people have seen it."""
    return replace(
        placement,
        bay=yard.hold_bay,
        sureness=Sureness.OPEN,
        reason=f"hold: {caution.title.lower()}",
        second=None,
    )


def _placed(verdict: Verdict, facts: PieceFacts, mass_g: int | None, known: Known) -> Placement | None:
    return None if known.yard is None else place(verdict, facts, mass_g, known.yard, known.unchecked)


def consider_facts(facts: PieceFacts, known: Known, *, is_placed: bool = True) -> Consideration:
    """Return the same of facts that come from elsewhere than a line, of a piece that was not weighed.

    Args:
        facts: All that is known of the piece.
        known: Grades and yard.
        is_placed: False leaves out where the piece should go, for those who do not tell it.
    """
    verdict = identify(facts, known.matched, known.prior, known.techniques)
    return Consideration(
        parsed=ParsedLine(line="", facts=facts),
        verdict=verdict,
        placement=_placed(verdict, facts, None, known) if is_placed else None,
        cautions=cautions_for(verdict=verdict, facts=facts, check=_step_told(verdict)),
    )


def _step_told(verdict: Verdict) -> str | None:
    """Return the step that the console tells the sorter to take on the piece, as cautions name it."""
    skin = verdict.open_skin
    return "grind" if skin is not None and "grind" in skin.advice.casefold() else None
