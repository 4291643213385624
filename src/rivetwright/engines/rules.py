"""Rules: registered functions over columns, and the graph that runs them.

A rule names what it puts out, what it needs, its formula and its source. A
column is computed once, when it is first asked for; the working of one hole
reads the same columns at its index and walks back through the rules. There is
no second code path for explanations.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from rivetwright.errors import NotFound, nearest_hint
from rivetwright.standards.source import Source

if TYPE_CHECKING:
    from rivetwright.engines.worked import Worked

Column = NDArray[Any]

CLASS, HOLE = "class", "hole"
GIVEN, FORMULA, TABLE, GEOMETRY, SEARCH = (
    "given",
    "formula",
    "table",
    "geometry",
    "search",
)


@dataclass(frozen=True)
class Witness:
    """The one thing a geometry, table or search rule rests on at a hole.

    `what` says which kind of thing: side, cut-out, neighbour, table row,
    candidates. `fields` hold it: names as text, lengths in mm.
    """

    what: str
    fields: Mapping[str, float | str]
    source: Source | None = None


@dataclass(frozen=True)
class Rule:
    """One registered rule; see the module's first lines."""

    output: str
    inputs: tuple[str, ...]
    formula: str
    unit: str
    source: Source
    level: str
    kind: str
    title: str
    function: Callable[..., Any]
    witness: Callable[[Worked, int], Witness | None] | None = None
    also: tuple[str, ...] = ()


@dataclass
class Registry:
    """All rules by the name of their output."""

    rules: dict[str, Rule] = field(default_factory=dict)

    def __getitem__(self, name: str) -> Rule:
        """The rule that puts out a column.

        Raises:
            NotFound: no rule puts out that name.
        """
        rule = self.rules.get(name)
        if rule is None:
            raise NotFound(
                asked=f"work out {name}",
                found="no rule of that name",
                allowed="a registered quantity" + nearest_hint(name, self.rules),
                do="name one of the quantities in docs/quantities.md",
            )
        return rule

    def __iter__(self) -> Iterator[Rule]:
        """Every rule once, in the order registered."""
        return iter({rule.output: rule for rule in self.rules.values()}.values())


REGISTRY = Registry()


def rule(
    output: str,
    *,
    inputs: tuple[str, ...] = (),
    formula: str,
    unit: str,
    source: Source,
    level: str,
    kind: str = FORMULA,
    witness: Callable[[Worked, int], Witness | None] | None = None,
    also: tuple[str, ...] = (),
) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Register a function as the rule for a column.

    A formula rule is called with its input columns. Every other kind is called
    with the worked plan first, then its input columns. `also` names further
    columns the same function returns beside the first, in a tuple.
    """

    def register(function: Callable[..., Any]) -> Callable[..., Any]:
        title = (function.__doc__ or "").strip().splitlines()[0].rstrip(".")
        made = Rule(
            output,
            inputs,
            formula,
            unit,
            source,
            level,
            kind,
            title,
            function,
            witness,
            also,
        )
        for name in (output, *also):
            assert name not in REGISTRY.rules, f"{name} has two rules"
            REGISTRY.rules[name] = made
        return function

    return register


def formula(
    output: str,
    title: str,
    expression: str,
    *,
    unit: str,
    source: Source,
    level: str = CLASS,
) -> None:
    """Register a rule that is its own displayed formula.

    The expression shown to the builder is the one that is run, so the two cannot
    drift apart. Its inputs are the column names in it, as they are read.
    """
    parts = [n for n in ast.walk(ast.parse(expression)) if isinstance(n, ast.Name)]
    as_read = [part.id for part in sorted(parts, key=lambda part: part.col_offset)]
    inputs = tuple(dict.fromkeys(n for n in as_read if n not in FORMULA_WORDS))
    code = compile(expression, output, "eval")

    def run(*columns: Column) -> Column:
        words = {**FORMULA_WORDS, **dict(zip(inputs, columns, strict=True))}
        with np.errstate(invalid="ignore", divide="ignore"):
            return np.asarray(eval(code, {"__builtins__": {}}, words))

    run.__doc__ = title
    rule(
        output, inputs=inputs, formula=expression, unit=unit, source=source, level=level
    )(run)


def last_sheet(column: Column) -> Column:
    """The value at the last sheet of each stack, shape (classes,)."""
    counts = (~np.isnan(column)).sum(axis=-1)
    at = np.maximum(counts - 1, 0)
    return np.asarray(np.take_along_axis(column, at[..., None], axis=-1)[..., 0])


def nested_above(column: Column, preparation: Column) -> Column:
    """Running sum of a column over the dimpled sheets straight above each sheet."""
    total = np.zeros_like(column)
    running = np.zeros(column.shape[:-1])
    for k in range(column.shape[-1]):
        total[..., k] = running
        running = np.where(preparation[..., k] == 1, running + column[..., k], 0.0)
    return total


# Words a formula may use beside column names. Empty places of a stack are NaN.
FORMULA_WORDS: dict[str, Any] = {
    "sum_sheets": lambda column: np.nansum(column, axis=-1),
    "least_sheet": lambda column: np.fmin.reduce(column, axis=-1),
    "most_sheet": lambda column: np.fmax.reduce(column, axis=-1),
    "first_sheet": lambda column: column[..., 0],
    "last_sheet": last_sheet,
    "nested_above": nested_above,
    "where": np.where,
    "sqrt": np.sqrt,
    "log": np.log,
    "floor": np.floor,
    "min": np.fmin,
    "max": np.fmax,
    "sin_deg": lambda angle: np.sin(np.radians(angle)),
    "cos_deg": lambda angle: np.cos(np.radians(angle)),
    "tan_deg": lambda angle: np.tan(np.radians(angle)),
    "pi": np.pi,
    "nan": np.nan,
}
