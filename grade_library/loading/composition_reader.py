"""Reads the limits, sums and others of one grade."""

from grade_library.elements import is_symbol, nearest_symbol
from grade_library.errors import GradeDataError
from grade_library.grade import Limit
from grade_library.loading.notation import read_limit
from grade_library.loading.table_reader import TableReader

SUM_WORDS = ("RE",)
"""A sum may name the rare earths by the abbreviation that specifications use."""
_MOST_OTHERS_WT_PCT = 10.0


def read_limits(reader: TableReader, key: str) -> dict[str, Limit]:
    """Return symbol -> limit, or for key "sums" sum of symbols -> limit."""
    limits = {}
    for symbols, text in reader.inline(key, 'Cr = "17.5-19.5"').items():
        check_symbols(reader, symbols, is_sum=key == "sums")
        if not isinstance(text, str):
            reader.fault(f'{text!r} needs quotes and a sign: "<={text}", ">={text}" or "={text}"', symbols)
            continue
        limit = limit_or_fault(reader, text, symbols)
        if limit is not None:
            limits[symbols] = limit
    return limits


def limit_or_fault(reader: TableReader, text: str, about: str) -> Limit | None:
    """Return the limit written as text; None after noting why it is not one."""
    try:
        return read_limit(text)
    except GradeDataError as error:
        reader.fault(str(error), about)
        return None


def check_symbols(reader: TableReader, symbols: str, *, is_sum: bool) -> None:
    """Note what is no element symbol, with the one that was probably meant."""
    if not is_sum and "+" in symbols:
        reader.fault(f'a sum of elements stands under sums = {{ "{symbols}" = "..." }}', symbols)
        return
    if is_sum and "+" not in symbols and symbols not in SUM_WORDS:
        reader.fault('a sum names two elements or more, such as "Si+Fe"', symbols)
    for part in symbols.split("+"):
        if is_symbol(part) or (is_sum and part in SUM_WORDS):
            continue
        near = nearest_symbol(part)
        reader.fault(f'"{part}" is no element symbol' + (f'; meant "{near}"?' if near else ""), symbols)


def read_others(reader: TableReader) -> dict[str, float]:
    """Return the most of others "each" and "total" [wt %], as far as stated."""
    stated = reader.inline("others", "each = 0.05, total = 0.15")
    found = {}
    for key, value in stated.items():
        if key not in ("each", "total"):
            reader.fault(f'unknown key "{key}"; known: each, total', "others")
        elif (
            isinstance(value, bool)
            or not isinstance(value, int | float)
            or not 0.0 < value <= _MOST_OTHERS_WT_PCT
        ):
            reader.fault(
                f"{key} {value!r} needs a number above 0 and up to 10 wt %, without quotes", "others"
            )
        else:
            found[key] = float(value)
    return found
