"""What is concluded from a material that somebody named: a name decides, and nothing is matched."""

from grade_library.facts import PieceFacts
from grade_library.library import GradeLibrary
from grade_library.verdict import Candidate, Reason, ReasonKind, Verdict

_READ_BESIDE = "{name} is named, not read: the reading is kept and decides nothing"


def named_material(facts: PieceFacts, library: GradeLibrary) -> Verdict | None:
    """Return the verdict of a piece that is named as a material; None where it has to be matched.

    A name that several materials bear leaves them equally likely. Clean metal under a material's name
    ("Honey")
    is matched among its grades once there is a reading.
    """
    claim = facts.claim
    if claim is None or claim.ask or not claim.material_ids or (facts.shots and claim.grade_ids):
        return None
    materials = [library.dictionary.material(material_id) for material_id in claim.material_ids]
    known = [material for material in materials if material is not None]
    share = 1.0 / len(known)
    reason = Reason(kind=ReasonKind.CLAIM, text=f'"{claim.label}" named', weight_nats=0.0)
    candidates = tuple(
        Candidate(grade=material.as_answer(), probability=share, reasons=(reason,)) for material in known
    )
    first = known[0]
    return Verdict(
        candidates=candidates,
        unlisted=0.0,
        share_by_id={material.material_id: share for material in known},
        family_answer=first.what or first.group,
        warnings=(_READ_BESIDE.format(name=claim.label),) if facts.shots else (),
    )
