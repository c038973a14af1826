"""Show the card of a grade or material: limits or shares, facts, twins, cautions, sources.

Any name a yard or a certificate uses will do. A name that means several grades lists them. With --new, print
a commented template for a grade of the yard's own, to be added to its grades.toml.
"""

import argparse
import shutil
import sys
from typing import Any

from console.commands.plain_mode import is_plain_mode, print_json, print_report, report_width, sentence
from console.commands.yard_folder import GRADES_FILE, add_yard_argument, named_yard_folder, refuse, say
from console.ground.cleaning import clean
from grade_library.card import card_text
from grade_library.facts import Claim
from grade_library.grade import Grade
from grade_library.library import GradeLibrary, load
from grade_library.loading.grade_template import new_grade_template
from grade_library.material import Material
from grade_library.naming.material_card import material_card
from grade_library.naming.names import NameIndex

EXAMPLE = "baywright grade 6061-T6"
WIDEST = 100


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("name", nargs="+", help="grade by any of its names, in one word or several")
    parser.add_argument("--new", action="store_true", help="print a template for a grade of the yard's own")
    parser.add_argument("--json", action="store_true", help="what the name can mean, as one JSON object")


def run(arguments: argparse.Namespace) -> int:
    """Print the card; 1 when the name means several grades."""

    name = clean(" ".join(arguments.name)).strip()
    folder = named_yard_folder(arguments)
    if arguments.new:
        print(new_grade_template(name), end="")
        return 0
    library = load(folder / GRADES_FILE if folder else None)
    for clash in library.clashes:
        say(f"grades.toml: {clash}")
    names = NameIndex(library)
    claim = names.exact(name)
    if claim is None:
        # A slip of one figure is another grade, so a near name is named and never opened.
        near = dict.fromkeys(
            [*names.near(name), *(match.grade.grade_id for match in names.find(name, limit=6))]
        )
        refuse(f'"{name}" is no name in the library' + (f"; close to it: {', '.join(near)}" if near else ""))
    materials = [
        known for one in claim.material_ids if (known := library.dictionary.material(one)) is not None
    ]
    grades = [] if materials else [library.grade(grade_id) for grade_id in sorted(claim.grade_ids)]
    if arguments.json:
        print_json(_meaning(claim, grades, materials))
    elif claim.ask:
        print(f'"{name}": {claim.ask} {", ".join(claim.offers)}')
    elif len(materials) == 1:
        print_report(material_card(materials[0], library, report_width(_columns())))
    elif len(grades) == 1 and not claim.remark:
        _print_card(grades[0], library)
    else:
        _print_list(claim, grades, materials)
    return 0 if len(grades) + len(materials) == 1 and not claim.ask and not claim.remark else 1


def _print_list(claim: "Claim", grades: "list[Grade]", materials: "list[Material]") -> None:
    if claim.remark:
        print(f'"{claim.text}": {claim.remark}. Of that kind it holds {len(grades)} grades:')
    elif materials:
        print(f'"{claim.text}" can mean {len(materials)} materials ({claim.label}):')
    else:
        print(f'"{claim.text}" can mean {len(grades)} grades ({claim.label}):')
    for material in materials:
        print(sentence(f"  {material.material_id:32} {material.what or material.group}"))
    for grade in grades:
        print(sentence(f"  {grade.grade_id:16} {grade.uns or '':8} {grade.family}"))


def _columns() -> int:
    return min(shutil.get_terminal_size().columns, WIDEST)


def _print_card(grade: "Grade", library: "GradeLibrary") -> None:
    is_ascii = (sys.stdout.encoding or "").casefold().replace("-", "") not in ("utf8", "utf16")
    width = report_width(_columns())
    has_strips = not is_plain_mode()
    print_report(card_text(grade, library, width, is_ascii=is_ascii, has_strips=has_strips))


def _meaning(claim: "Claim", grades: "list[Grade]", materials: "list[Material]") -> dict[str, Any]:
    return {
        "name": claim.text,
        "ask": claim.ask,
        "remark": claim.remark,
        "materials": [
            {
                "material": material.material_id,
                "what": material.what,
                "group": material.group,
                "shares_wt_pct": {
                    symbol: {"min": limit.low, "max": limit.high} for symbol, limit in material.shares.items()
                },
                "entries": list(material.entries),
                "source": material.source,
            }
            for material in materials
        ],
        "grades": [
            {
                "grade": grade.grade_id,
                "uns": grade.uns,
                "en": list(grade.en),
                "family": grade.family,
                "density_g_cm3": grade.density_g_cm3,
                "limits_wt_pct": {
                    symbol: {"min": limit.low, "max": limit.high, "rest": limit.is_rest}
                    for symbol, limit in grade.limits.items()
                },
            }
            for grade in grades
        ],
    }
