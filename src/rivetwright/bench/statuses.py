"""How far each figure can be trusted, for all holes at once.

The same walk as a working takes, over columns: a figure is as weak as its own
source or table row, or as the weakest figure it is made from.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import CLASS, GEOMETRY, REGISTRY, Rule
from rivetwright.engines.worked import Worked
from rivetwright.standards.source import Source

Ranks = NDArray[np.int64]


class Statuses:
    """Ranks of statuses, one per class of equal holes, worked out when asked for."""

    def __init__(self, worked_plan: WorkedPlan) -> None:
        self._worked: Worked = worked_plan.worked
        class_of = self._worked.stacks.class_of
        # Any hole of a class stands for all of it: tables answer per class.
        self._first_holes = np.unique(class_of, return_index=True)[1].tolist()
        self._ranks: dict[str, Ranks] = {}
        self._sources: dict[str, tuple[Source, ...]] = {}

    def ranks(self, name: str) -> Ranks:
        """Rank of the weakest status a figure rests on, shape (classes,)."""
        known = self._ranks.get(name)
        if known is not None:
            return known
        rule = REGISTRY[name]
        found = np.array([one.status.rank for one in self._own(rule)], dtype=np.int64)
        for needed in rule.inputs:
            found = np.maximum(found, self.ranks(needed))
        self._ranks[name] = found
        return found

    def sources(self, name: str) -> tuple[Source, ...]:
        """The different sources of a figure itself, class by class as they come."""
        rule = REGISTRY[name]
        return tuple(dict.fromkeys((*self._own(rule), *self._of_rows(rule))))

    def _of_rows(self, rule: Rule) -> tuple[Source, ...]:
        """Sources that a figure of holes has beside its rule: entered by hand, say.

        What stands round a hole is entered row by row, so one hole stands for its row.
        """
        if rule.level == CLASS or rule.kind != GEOMETRY or rule.witness is None:
            return ()
        firsts = np.unique(self._worked.holes.row, return_index=True)[1].tolist()
        seen = (rule.witness(self._worked, hole) for hole in firsts)
        return tuple(one.source for one in seen if one and one.source)

    def _own(self, rule: Rule) -> tuple[Source, ...]:
        """The rule's source or that of its table row, one per class."""
        if rule.output not in self._sources:
            looks = rule.witness if rule.level == CLASS else None
            rows = (
                (looks(self._worked, hole) if looks else None)
                for hole in self._first_holes
            )
            self._sources[rule.output] = tuple(
                (row and row.source) or rule.source for row in rows
            )
        return self._sources[rule.output]
