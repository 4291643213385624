"""A figure with its working, where there are no columns: the shop has one air line.

A law is its own displayed formula, as the rules of the columns are: what is shown is
what is run. Ranges go through it corner by corner, so the answer is a range too.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product
from types import CodeType
from typing import Any

from rivetwright.engines.rules import FORMULA_WORDS
from rivetwright.standards.source import Looked, Source, Status, weakest
from rivetwright.standards.spread import Spread, sharp

OWNER = Source("the shop file", "as its owner gives it", Status.READ)
NOTHING: Mapping[str, Figure] = {}
WORDS: dict[str, Any] = {
    "__builtins__": {},
    **FORMULA_WORDS,
    "pi": math.pi,
    "inf": math.inf,
}


@dataclass(frozen=True)
class Figure:
    """One quantity: its range, unit, formula, source, and the figures it rests on.

    `formula` is empty for a figure that was given or looked up; `row` names the
    table row then.
    """

    name: str
    value: Spread
    unit: str
    source: Source
    title: str = ""
    formula: str = ""
    row: str = ""
    inputs: Mapping[str, Figure] = field(default_factory=lambda: NOTHING)

    @property
    def status(self) -> Status:
        """The weakest status that the figure rests on."""
        return weakest(
            self.source.status, *(each.status for each in self.inputs.values())
        )

    @property
    def central(self) -> float:
        """The usual value [the figure's unit]."""
        return self.value.central


def given(name: str, value: float, unit: str, source: Source = OWNER) -> Figure:
    """A figure that stands in the shop file, or was measured [unit]."""
    return Figure(name, sharp(value), unit, source)


def looked_up(name: str, found: Looked[Spread], unit: str) -> Figure:
    """A figure out of a table."""
    return Figure(name, found.value, unit, found.source, row=found.row)


@dataclass(frozen=True)
class Law:
    """A formula with the name, unit and source of what it gives."""

    name: str
    title: str
    expression: str
    unit: str
    source: Source

    @cached_property
    def inputs(self) -> tuple[str, ...]:
        """The names in the formula, as they are read."""
        tree = ast.walk(ast.parse(self.expression))
        names = [part for part in tree if isinstance(part, ast.Name)]
        as_read = [part.id for part in sorted(names, key=lambda n: n.col_offset)]
        return tuple(dict.fromkeys(one for one in as_read if one not in WORDS))

    @cached_property
    def _code(self) -> CodeType:
        """The formula, ready to run."""
        return compile(self.expression, self.name, "eval")

    def __call__(self, **inputs: float) -> float:
        """Run the formula once [the law's unit]."""
        assert set(inputs) == set(self.inputs), f"{self.name} needs {self.inputs}"
        return float(eval(self._code, WORDS, inputs))

    def figure(self, **inputs: Figure) -> Figure:
        """Run the formula over the ranges of its inputs.

        The ends are the least and most of all corners, which is exact for a formula
        that only rises or only falls with each of its inputs.
        """
        ends = {
            name: {one.value.low, one.value.central, one.value.high}
            for name, one in inputs.items()
        }
        corners = [
            self(**dict(zip(ends, corner, strict=True)))
            for corner in product(*ends.values())
        ]
        central = self(**{name: one.central for name, one in inputs.items()})
        value = Spread(min(corners), central, max(corners))
        return Figure(
            self.name,
            value,
            self.unit,
            self.source,
            self.title,
            self.expression,
            "",
            inputs,
        )
