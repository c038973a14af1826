"""Materials and trade words of a library, and the form in which they are kept for the next start."""

import functools
from collections.abc import Iterable, Sequence
from dataclasses import fields
from typing import Any

from grade_library.grade import Limit
from grade_library.material import Material
from grade_library.naming.trade_words import TradeWord

_MATERIAL_FIELDS = tuple(field.name for field in fields(Material))
_WORD_FIELDS = tuple(field.name for field in fields(TradeWord))


class Dictionary:
    """What is named beside grades; records are made of the kept rows when first asked for."""

    def __init__(
        self, material_rows: Iterable[Sequence[Any]] = (), word_rows: Iterable[Sequence[Any]] = ()
    ) -> None:
        self._material_rows = material_rows
        self._word_rows = word_rows

    @functools.cached_property
    def materials(self) -> tuple[Material, ...]:
        """What is named and never matched."""
        return tuple(
            Material(**dict(zip(_MATERIAL_FIELDS, map(_rich, row), strict=True)))
            for row in self._material_rows
        )

    @functools.cached_property
    def words(self) -> tuple[TradeWord, ...]:
        """Words that name several grades or materials, or have to be asked back."""
        return tuple(
            TradeWord(**dict(zip(_WORD_FIELDS, map(_rich, row), strict=True))) for row in self._word_rows
        )

    @classmethod
    def of(cls, materials: Iterable[Material], words: Iterable[TradeWord]) -> "Dictionary":
        """Return the dictionary of records."""
        return cls(
            [[_plain(getattr(one, name)) for name in _MATERIAL_FIELDS] for one in materials],
            [[_plain(getattr(word, name)) for name in _WORD_FIELDS] for word in words],
        )

    def packed(self) -> list[Any]:
        """Return it as lists that JSON can hold; `Dictionary(*packed)` is the same dictionary."""
        return [self._material_rows, self._word_rows]


def _plain(value: Any) -> Any:
    """Return the shares of a material as pairs of numbers, everything else as it is."""
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    return {"low": value.low, "high": value.high} if isinstance(value, Limit) else value


def _rich(value: Any) -> Any:
    """Return the value of a field as the record holds it: lists were tuples, and pairs of numbers limits."""
    if isinstance(value, dict):
        return {key: Limit(**one) if isinstance(one, dict) else tuple(one) for key, one in value.items()}
    return tuple(value) if isinstance(value, list) else value
