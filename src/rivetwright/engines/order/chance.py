"""Chance from a given seed: the same draws on every machine."""

from __future__ import annotations

import numpy as np

_AT_ONCE = 4096  # drawn in one go: single draws cost more than what uses them


class Chance:
    """Draws from one seed.

    Args:
        seed: the same seed gives the same draws.
    """

    def __init__(self, seed: int) -> None:
        self._source = np.random.default_rng(seed)
        self._drawn: list[float] = []

    def share(self) -> float:
        """A number from nought up to one [-]."""
        if not self._drawn:
            self._drawn = self._source.random(_AT_ONCE).tolist()
        return self._drawn.pop()

    def below(self, count: int) -> int:
        """A whole number from nought up to a count."""
        return int(self.share() * count)
