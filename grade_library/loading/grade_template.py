"""A commented table for a grade that a yard adds."""

from collections.abc import Mapping
from typing import Any

import tomli_w

from grade_library.errors import GradeDataError
from grade_library.loading.grade_file import KEYS
from grade_library.loading.sources import YARD_SOURCE


def new_grade_template(name: str) -> str:
    """Return a commented table for a new grade, ready to append to the yard's grade file.

    Args:
        name: Id of the new grade, as shown everywhere.

    Raises:
        GradeDataError: The name is empty or a word that the file itself uses.

    >>> print(new_grade_template("customer alloy 7").splitlines()[0])
    ["customer alloy 7"]
    """
    if not name.strip() or name in KEYS:
        raise GradeDataError(f'grade name "{name}": needs a name that is not one of {", ".join(KEYS)}')
    lines = [tomli_w.dumps({name: {}}).strip()]
    for comment, key, value in _TEMPLATE:
        lines.append(f"# {comment}")
        lines.append(
            f"{key} = {_inline(value)}" if isinstance(value, dict) else tomli_w.dumps({key: value}).strip()
        )
    return "\n".join(lines) + "\n"


def _inline(table: Mapping[str, Any]) -> str:
    return "{ " + ", ".join(tomli_w.dumps({key: value}).strip() for key, value in table.items()) + " }"


_TEMPLATE: tuple[tuple[str, str, Any], ...] = (
    ("Family: any words; grades of one family stand together.", "family", "customer alloys"),
    (
        "Group: what the yard says at first glance: steel, stainless, brass, aluminium ...",
        "group",
        "stainless",
    ),
    ("Symbol of the main element.", "base", "Fe"),
    ("Other names by which it is called; may stay empty.", "names", []),
    (
        'Limits [wt %]: "low-high", "<=high", ">=low", "=nominal"; "rest" for the balance.',
        "limits",
        {"C": "<=0.08", "Cr": "17-19", "Ni": "8-11", "Fe": "rest"},
    ),
    (
        "Most of all elements not named [wt %]; leave the line out where nobody says.",
        "others",
        {"total": 0.5},
    ),
    ("Density [g/cm3].", "density", 7.9),
    ('Magnet: "non", "weak when cold worked", "weak", "strong" or "variable".', "magnet", "non"),
    (
        "Fresh file mark: red, reddish, yellow, golden, warm white, white, grey, blue grey or dark grey.",
        "colour",
        "white",
    ),
    ("What a sorter would see it as.", "forms", ["sheet"]),
    (
        'Where the figures come from: "yard" for your own word, or a source of the library: "memory".',
        "sources",
        {"limits": YARD_SOURCE, "density": YARD_SOURCE},
    ),
)
