"""Many new values at once, without the interpreter looking for rings among them."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_search_for_rings() -> Iterator[None]:
    """Hundreds of thousands of new values, none in a ring: looking takes half the time.

    A state is a tree, so nothing is left for the search to free.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
