"""Certified and measured compositions of real metal, and which grade of the library each is."""

import csv
import tomllib
import zlib
from dataclasses import dataclass
from pathlib import Path

from grade_library.grade import Grade
from grade_library.library import GradeLibrary

FOLDER = Path(__file__).parent.parent / "outside_checks"
_BASE = {
    "stainless steel": "Fe",
    "low-alloy steel": "Fe",
    "carbon steel": "Fe",
    "tool steel": "Fe",
    "copper alloy": "Cu",
    "aluminium wrought": "Al",
    "aluminium cast": "Al",
    "nickel alloy": "Ni",
    "titanium alloy": "Ti",
    "zinc alloy": "Zn",
    "magnesium alloy": "Mg",
    "lead/tin alloy": "Sn",
}


@dataclass(frozen=True, kw_only=True)
class Material:
    """One real metal."""

    item_id: str
    kind: str
    """certified or measured."""
    grade_id: str | None
    """Its grade in the library; None when the library does not hold it."""
    group: str
    certified: dict[str, float]
    """As its source prints it [wt %]."""
    whole: dict[str, float]
    """The same with the main element filled up to 100 where the source leaves it out [wt %]."""

    @property
    def is_held_out(self) -> bool:
        """True for the third of the materials that nobody looked at while the model was tuned."""
        return zlib.crc32(self.item_id.encode()) % 3 == 0


def _rest_of(grade: Grade) -> str:
    return next((symbol for symbol, limit in grade.limits.items() if limit.is_rest), grade.base)


def materials(library: GradeLibrary) -> list[Material]:
    """Return all materials of certified.csv in their order there."""
    answers = tomllib.loads((FOLDER / "certified_grades.toml").read_text("utf-8"))
    by_uns = {grade.uns: grade for grade in reversed(library.grades) if grade.uns}
    figures: dict[str, dict[str, float]] = {}
    heads: dict[str, dict[str, str]] = {}
    with (FOLDER / "certified.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            heads.setdefault(row["item_id"], row)
            figures.setdefault(row["item_id"], {})[row["element"]] = float(row["wt_pct"])
    found = []
    for item_id, head in heads.items():
        grade = None
        if item_id not in answers["absent"]:
            named = answers["grades"].get(item_id)
            grade = library.grade(named) if named else by_uns[head["uns"]]
        main = [grade.base, _rest_of(grade)] if grade else [_BASE[head["family"]]]
        whole = dict(figures[item_id])
        left_out = [symbol for symbol in main if symbol not in whole]
        if left_out and sum(whole.values()) < 99.5:
            whole[left_out[0]] = 100.0 - sum(whole.values())
        found.append(
            Material(
                item_id=item_id,
                kind=head["kind"],
                grade_id=grade.grade_id if grade else None,
                group=grade.group if grade else answers["absent"][item_id],
                certified=figures[item_id],
                whole=whole,
            )
        )
    return found
