"""From a line of text to what the piece is and where it should go. Pure: nothing is written."""

from dataclasses import dataclass

from console.desk.known import Known
from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine
from console.yard.placement import Placement
from console.yard.placing import place
from grade_library.cautions import Caution, cautions_for
from grade_library.facts import PieceFacts
from grade_library.matching import identify
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


def consider_line(line: str, known: Known) -> Consideration:
    """Return what a line says, what the piece can be and where it should go."""
    parsed = parse_line(line, names=known.names, yard=known.yard)
    verdict = identify(parsed.facts, known.library, known.prior, known.techniques)
    placement = None
    if known.yard is not None:
        placement = place(verdict, parsed.facts, parsed.mass_g, known.yard)
    cautions = cautions_for(verdict=verdict, facts=parsed.facts, text=parsed.line, mass_g=parsed.mass_g)
    return Consideration(parsed=parsed, verdict=verdict, placement=placement, cautions=cautions)


def identify_facts(facts: PieceFacts, known: Known) -> tuple[Verdict, tuple[Caution, ...]]:
    """Return the verdict and the cautions on facts that come from elsewhere than a line."""
    verdict = identify(facts, known.library, known.prior, known.techniques)
    return verdict, cautions_for(verdict=verdict, facts=facts)
