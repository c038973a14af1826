"""Where a yard's own grades and the shipped ones disagree, in words."""

from collections.abc import Iterator, Mapping
from typing import Any

from grade_library.grade import Grade
from grade_library.loading.grade_file import KEYS
from grade_library.loading.grade_table import TABLE_KEYS, grade_table
from grade_library.naming.name_text import squash


def changed_values(old: Grade, new: Grade) -> Iterator[str]:
    """Yield in words what the yard states otherwise than the shipped grade."""
    before, after = grade_table(old), grade_table(new)
    for key in KEYS:
        if key == "sources" or before.get(key) == after.get(key):
            continue
        if key in TABLE_KEYS:
            was, now = before.get(key, {}), after.get(key, {})
            for value in sorted({*was, *now}, key=list({**was, **now}).index):
                if was.get(value) != now.get(value):
                    said = _said(now.get(value))
                    yield f"{old.grade_id}, {value}: the yard says {said}, {_by(old, key, was, value)}"
        else:
            said = _said(after.get(key))
            yield f"{old.grade_id}, {key}: the yard says {said}, {_by(old, key, before, key)}"


def _by(old: Grade, block: str, was: Mapping[str, Any], key: str) -> str:
    """Return what the library says, and by which source."""
    if key not in was:
        return "the library nothing"
    value = block if block == key else f"{block}.{key}"
    is_cited = value in old.sources or block in old.sources
    return f"the library {_said(was[key])}" + (f" ({old.citation_for(value).source_id})" if is_cited else "")


def _said(value: object) -> str:
    if value is None:
        return "nothing"
    return ", ".join(str(entry) for entry in value) if isinstance(value, list) else str(value)


def shared_names(new: Grade, shipped: Mapping[str, Grade]) -> Iterator[str]:
    """Yield in words which shipped grades a new grade's names or limits belong to already."""
    own = {squash(name): name for name in (new.grade_id, new.uns or "", *new.en, *new.names) if name}
    for grade in shipped.values():
        taken = [
            name
            for name in (grade.grade_id, grade.uns or "", *grade.en, *grade.names)
            if squash(name) in own and name
        ]
        if taken:
            name = own[squash(taken[0])]
            yield f'{new.grade_id}: the name "{name}" is also {grade.grade_id} of the library'
        if grade.limits == new.limits and grade.sums == new.sums:
            yield f"{new.grade_id}: has the same limits as {grade.grade_id} of the library"
