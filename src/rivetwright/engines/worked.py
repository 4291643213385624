"""A worked-out plan: holes, classes of equal holes, and columns on demand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.rules import (
    CLASS,
    FORMULA,
    HOLE,
    REGISTRY,
    Column,
    Rule,
    Witness,
)
from rivetwright.engines.stacks import Stacks, find_stacks
from rivetwright.model.columns import Holes, expand
from rivetwright.model.plan import Plan
from rivetwright.model.shop import Shop
from rivetwright.standards.source import Source, Status, weakest

Progress = Callable[[str, int, int], None]


class Worked:
    """A plan with every column that has been asked for so far.

    A column lives at the level of its rule: one value per class of equal holes
    (same sheets, preparation, callout), or one per hole. Without a shop nothing is
    said about tools.
    """

    def __init__(self, plan: Plan, shop: Shop | None = None) -> None:
        self.plan = plan
        self.shop = shop
        self.holes: Holes = expand(plan)
        self._columns: dict[str, Column] = {}

    @cached_property
    def stacks(self) -> Stacks:
        """The sheets of every hole and the classes of equal holes."""
        return find_stacks(self.plan, self.holes)

    def __getitem__(self, name: str) -> Column:
        """A column at its own level, computed once; read-only."""
        found = self._columns.get(name)
        return found if found is not None else self._run(REGISTRY[name])[name]

    def of_holes(self, name: str) -> Column:
        """A column at hole level, shape (holes, ...)."""
        column = self[name]
        if REGISTRY[name].level == CLASS:
            return np.asarray(column[self.stacks.class_of])
        return column

    def at(self, name: str, hole: int | NDArray[np.int64]) -> Any:
        """The value of a quantity at one hole, or at some holes."""
        level = REGISTRY[name].level
        place = self.stacks.class_of[hole] if level == CLASS else hole
        return self[name][place]

    def _input(self, name: str, level: str) -> Column:
        """An input column, spread over the holes where the rule is per hole."""
        return self.of_holes(name) if level == HOLE else self[name]

    def _run(self, rule: Rule) -> dict[str, Column]:
        """Run one rule and keep what it puts out."""
        for name in rule.inputs:
            needed = REGISTRY[name]
            assert rule.level == HOLE or needed.level == CLASS, (
                f"{rule.output} is per class but needs {name}, which is per hole"
            )
        inputs = [self._input(name, rule.level) for name in rule.inputs]
        first = () if rule.kind == FORMULA else (self,)
        made = rule.function(*first, *inputs)
        columns = made if rule.also else (made,)
        for name, column in zip((rule.output, *rule.also), columns, strict=True):
            kept = np.asarray(column)
            kept.setflags(write=False)
            self._columns[name] = kept
        return self._columns

    def run_all(self, progress: Progress | None = None) -> None:
        """Work every registered column out, telling how far it is."""
        rules = list(REGISTRY)
        for done, rule in enumerate(rules):
            if progress is not None:
                progress(rule.title, done, len(rules))
            _ = self[rule.output]
        if progress is not None:
            progress("done", len(rules), len(rules))


@dataclass(frozen=True)
class Working:
    """How one quantity of one hole came about, down to what the drawing gives."""

    name: str
    title: str
    value: Any
    unit: str
    kind: str
    formula: str
    source: Source
    status: Status
    witness: Witness | None
    inputs: tuple[Working, ...]


def working(worked: Worked, name: str, hole: int) -> Working:
    """The working of one quantity at one hole, read from the columns themselves.

    Raises:
        NotFound: no rule puts out that name.
    """
    rule = REGISTRY[name]
    witness = rule.witness(worked, hole) if rule.witness else None
    inputs = tuple(working(worked, needed, hole) for needed in rule.inputs)
    source = witness.source if witness and witness.source else rule.source
    statuses = [source.status, *(needed.status for needed in inputs)]
    return Working(
        name,
        rule.title,
        worked.at(name, hole),
        rule.unit,
        rule.kind,
        rule.formula,
        source,
        weakest(*statuses),
        witness,
        inputs,
    )
