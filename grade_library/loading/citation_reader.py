"""Reads which figures of a grade come from where, and finds the figures that nothing vouches for."""

import re
from collections.abc import Collection, Mapping
from typing import Any

from grade_library.grade import Citation, Difference
from grade_library.loading.composition_reader import SUM_WORDS, check_symbols, limit_or_fault
from grade_library.loading.sources import nearest
from grade_library.loading.table_reader import TableReader

BLOCKS = (
    "limits",
    "sums",
    "others",
    "density",
    "iacs",
    "magnet",
    "colour",
    "look",
    "spark",
    "forms",
    "scrap",
)
"""Blocks of values that need a citation wherever they are stated."""

_DIFFERENCE = re.compile(r"([A-Z][A-Za-z+]*)\s+([^:]+):\s*([^,:]+)(?::\s*([^,]+))?(?:,\s*(.+))?")


def merged_sources(head: Mapping[str, Any], table: Mapping[str, Any]) -> dict[str, Any]:
    """Return the file head's citations overlaid with the grade's own."""
    merged: dict[str, Any] = {}
    for place in (head, table):
        stated = place.get("sources", {})
        for key, value in stated.items() if isinstance(stated, dict) else ():
            if isinstance(
                value, dict
            ):  # [grade.sources.limits] with N = "..." says the same as "limits.N" = "..."
                merged.update({f"{key}.{inner}": text for inner, text in value.items()})
            else:
                merged[key] = value
    return merged


def read_citations(reader: TableReader, source_ids: Collection[str]) -> dict[str, Citation]:
    """Return block or value -> citation, and note every stated block that has none.

    Args:
        reader: A grade's table, with the merged citations under "sources".
        source_ids: Ids that a citation may name.
    """
    stated = [block for block in BLOCKS if reader.table.get(block) not in (None, "", {}, [])]
    citations = {}
    for key, text in reader.inline("sources", 'limits = "source-id: where"').items():
        block, _, value = key.partition(".")
        if block not in BLOCKS:
            reader.fault(
                f'"{key}" is no block{nearest(block, BLOCKS)}; one of: {", ".join(BLOCKS)}', "sources"
            )
        elif not isinstance(text, str) or not text.strip():
            reader.fault(f'{key} needs "source-id" or "source-id: where"', "sources")
        elif value and value not in _values_of(reader, block):
            reader.fault(f"cites {key}, but the grade states no {value} there", "sources")
        elif block in stated:
            citations[key] = read_citation(reader, text, source_ids, f"sources.{key}")
    for block in stated:
        uncited = [
            value for value in _values_of(reader, block) or [""] if f"{block}.{value}" not in citations
        ]
        if block not in citations and uncited:
            of_what = f" (for {', '.join(uncited)})" if uncited != [""] else ""
            reader.fault(f'{block} has no source{of_what}; add sources = {{ {block} = "source-id: where" }}')
    return citations


def _values_of(reader: TableReader, block: str) -> list[str]:
    """Return the single values of a block that can be cited one by one."""
    stated = reader.table.get(block)
    return list(stated) if isinstance(stated, dict) else []


def read_citation(reader: TableReader, text: str, source_ids: Collection[str], about: str) -> Citation:
    """Return the citation written as "source-id" or "source-id: where"."""
    source_id, _, where = (part.strip() for part in text.partition(":"))
    if source_id not in source_ids:
        near = nearest(source_id, source_ids)
        reader.fault(
            f'source "{source_id}" is not in sources.toml{near}; add it there or write "memory"', about
        )
    return Citation(source_id=source_id, where=where)


def read_differences(reader: TableReader, source_ids: Collection[str]) -> tuple[Difference, ...]:
    """Return what other editions and countries say, each written as "ELEMENT LIMIT: source[, note]"."""
    found = []
    for text in reader.texts("differs"):
        parts = _DIFFERENCE.fullmatch(text)
        if parts is None:
            reader.fault(
                f'"{text}" needs "ELEMENT LIMIT: source[, note]", such as "Ni 8-11: sa-276-2001"', "differs"
            )
            continue
        symbols, limit_text, source_id, where, note = (part or "" for part in parts.groups())
        check_symbols(reader, symbols, is_sum="+" in symbols or symbols in SUM_WORDS)
        limit = limit_or_fault(reader, limit_text, f"differs {symbols}")
        citation = read_citation(reader, f"{source_id}: {where}", source_ids, f"differs {symbols}")
        if limit is not None:
            found.append(Difference(element=symbols, limit=limit, citation=citation, note=note))
    return tuple(found)
