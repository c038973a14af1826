"""A sequence that is worked out when somebody looks at it."""

import functools
from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar, overload

_Item = TypeVar("_Item")


class Later(Sequence[_Item]):
    """Stands for a tuple that costs something to make: of many candidates one is explained at a time.

    >>> spoken = Later(lambda: ("Cr", "Ni"))
    >>> len(spoken), spoken[0], spoken == ("Cr", "Ni")
    (2, 'Cr', True)
    """

    def __init__(self, make: Callable[[], Sequence[_Item]]) -> None:
        self._make = make

    @functools.cached_property
    def _items(self) -> tuple[_Item, ...]:
        return tuple(self._make())

    @overload
    def __getitem__(self, index: int) -> _Item: ...

    @overload
    def __getitem__(self, index: slice) -> tuple[_Item, ...]: ...

    def __getitem__(self, index: int | slice) -> _Item | tuple[_Item, ...]:
        return self._items[index]

    def __len__(self) -> int:
        return len(self._items)

    def __iter__(self) -> Iterator[_Item]:
        return iter(self._items)

    def __eq__(self, other: object) -> bool:
        if self is other:
            return True
        return tuple(other) == self._items if isinstance(other, Later | tuple) else NotImplemented

    def __hash__(self) -> int:
        return hash(self._items)

    def __repr__(self) -> str:
        return f"Later({self._items!r})"
