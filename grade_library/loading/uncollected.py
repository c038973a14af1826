"""A stretch of work that makes many records and no garbage."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """Keep the cycle collector off: tens of thousands of new records would start it a dozen times."""
    was_collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_collecting:
            gc.enable()
