"""Checks: registered functions that say at which holes something is wrong.

A check reads columns and gives a mask. What it found and what is allowed are
columns too, so that every number in a finding has its working. The docstring of
a check is its page in the documentation: what is checked, why it matters at the
bench, an example, what to do, and how sure we are.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.rules import CLASS, REGISTRY, Column, Witness
from rivetwright.engines.worked import Worked
from rivetwright.model.severity import Severity
from rivetwright.standards.source import Source

Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Check:
    """One registered check.

    `quantity` is the column whose working explains the finding; `limit` the
    column that was set against it, whose source the finding names unless the
    check has a `source` of its own; `fields` further columns that its sentences
    speak of. `over` names checks that this one replaces at the same hole.
    """

    code: str
    severity: Severity
    level: str
    quantity: str
    limit: str
    fields: tuple[str, ...]
    over: tuple[str, ...]
    function: Callable[[Worked], Mask]
    source: Source | None = None

    @property
    def title(self) -> str:
        """First line of its page."""
        return self.page.splitlines()[0].rstrip(".")

    @property
    def page(self) -> str:
        """The whole docstring, the text of its page."""
        return inspect.cleandoc(self.function.__doc__ or "")


CHECKS: dict[str, Check] = {}


@dataclass(frozen=True)
class Finding:
    """One check's word on holes of one row that share the same figures.

    A lazy view: figures and source are read from the columns when asked for.
    The sentences come from the text catalogue.
    """

    worked: Worked
    check: Check
    holes: tuple[int, ...]

    @property
    def code(self) -> str:
        """Its stable code, such as `EDGE-01`."""
        return self.check.code

    @property
    def severity(self) -> Severity:
        """How strongly it speaks."""
        return self.check.severity

    @property
    def quantity(self) -> str:
        """The column whose working explains it."""
        return self.check.quantity

    @cached_property
    def fields(self) -> dict[str, float | str]:
        """What its sentences speak of: columns, and the witness as `witness_...`."""
        first, fields = self.holes[0], {}
        names = (self.check.quantity, self.check.limit, *self.check.fields)
        for name in names:
            value = self.worked.at(name, first)
            fields[name] = value if isinstance(value, str) else float(value)
        seen = self._witness(self.quantity)
        if seen is not None:
            fields |= {f"witness_{name}": value for name, value in seen.fields.items()}
        return fields

    @cached_property
    def source(self) -> Source:
        """Where the limit comes from."""
        if self.check.source is not None:
            return self.check.source
        seen = self._witness(self.check.limit)
        return (seen and seen.source) or REGISTRY[self.check.limit].source

    def _witness(self, name: str) -> Witness | None:
        """What a quantity rests on at the first hole."""
        witness = REGISTRY[name].witness
        return witness(self.worked, self.holes[0]) if witness else None


def check(
    code: str,
    severity: Severity,
    *,
    level: str,
    quantity: str,
    limit: str,
    fields: tuple[str, ...] = (),
    over: tuple[str, ...] = (),
    source: Source | None = None,
) -> Callable[[Callable[[Worked], Mask]], Callable[[Worked], Mask]]:
    """Register a function as a check; its name is the code, never reused."""

    def register(function: Callable[[Worked], Mask]) -> Callable[[Worked], Mask]:
        assert code not in CHECKS, f"{code} is used twice"
        CHECKS[code] = Check(
            code, severity, level, quantity, limit, fields, over, function, source
        )
        return function

    return register


def masks(worked: Worked) -> dict[str, Mask]:
    """Every check's holes, shape (holes,), after one replaces another.

    Source: the registered checks.
    """
    found: dict[str, Mask] = {}
    for one in CHECKS.values():
        mask = np.asarray(one.function(worked), dtype=bool)
        found[one.code] = mask[worked.stacks.class_of] if one.level == CLASS else mask
    for one in CHECKS.values():
        for code in one.over:
            found[code] = found[code] & ~found[one.code]
    return found


def _group_keys(worked: Worked, one: Check, holes: NDArray[np.int64]) -> Column:
    """One number per group of holes whose finding reads the same."""
    names = [one.quantity, one.limit, *one.fields]
    rule = REGISTRY[one.quantity]
    names += [name for name in rule.also if name.endswith(("_sheet", "_layer"))]
    keys = worked.holes.row[holes].astype(np.int64)
    for name in names:
        column = worked.at(name, holes)
        if column.dtype == object:
            seen: dict[str, int] = {}
            column = [seen.setdefault(text, len(seen)) for text in column.tolist()]
            column = np.array(column)
        if column.ndim > 1:
            column = np.unique(column, axis=0, return_inverse=True)[1]
        rounded = np.round(np.asarray(column, dtype=float), 6)
        ids = np.unique(rounded, return_inverse=True)[1]
        keys = np.unique(keys * (ids.max() + 1) + ids, return_inverse=True)[1]
    return keys


def _grouped(worked: Worked, one: Check, mask: Mask) -> Iterator[Finding]:
    """Findings of one check, one per row and equal figures."""
    holes = np.flatnonzero(mask)
    if not len(holes):
        return
    keys = _group_keys(worked, one, holes)
    order = np.argsort(keys, kind="stable")
    starts = np.flatnonzero(np.diff(keys[order], prepend=-1))
    for group in np.split(holes[order], starts[1:]):
        yield Finding(worked, one, tuple(group.tolist()))


def find(worked: Worked) -> tuple[Finding, ...]:
    """All findings of a plan: stops first, then by code and first hole.

    Independent of the order in which the file lists its rows, apart from names.
    Source: the registered checks.
    """
    found = masks(worked)
    findings = [
        finding
        for code, one in CHECKS.items()
        for finding in _grouped(worked, one, found[code])
    ]
    order = list(Severity)
    findings.sort(key=lambda f: (order.index(f.severity), f.code, f.holes))
    return tuple(findings)
