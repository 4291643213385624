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

import numpy as np
from numpy.typing import NDArray

from rivetwright.engines.rules import CLASS, REGISTRY, Column
from rivetwright.engines.worked import Worked
from rivetwright.model.finding import Finding, Severity

Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Check:
    """One registered check.

    `quantity` is the column whose working explains the finding; `limit` the
    column that was set against it, whose source the finding names; `fields`
    further columns that its sentences speak of. `over` names checks that this
    one replaces at the same hole.
    """

    code: str
    severity: Severity
    level: str
    quantity: str
    limit: str
    fields: tuple[str, ...]
    over: tuple[str, ...]
    function: Callable[[Worked], Mask]

    @property
    def title(self) -> str:
        """First line of its page."""
        return self.page.splitlines()[0].rstrip(".")

    @property
    def page(self) -> str:
        """The whole docstring, the text of its page."""
        return inspect.cleandoc(self.function.__doc__ or "")


CHECKS: dict[str, Check] = {}


def check(
    code: str,
    severity: Severity,
    *,
    level: str,
    quantity: str,
    limit: str,
    fields: tuple[str, ...] = (),
    over: tuple[str, ...] = (),
) -> Callable[[Callable[[Worked], Mask]], Callable[[Worked], Mask]]:
    """Register a function as a check; its name is the code, never reused."""

    def register(function: Callable[[Worked], Mask]) -> Callable[[Worked], Mask]:
        assert code not in CHECKS, f"{code} is used twice"
        CHECKS[code] = Check(
            code, severity, level, quantity, limit, fields, over, function
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
        column = worked.of_holes(name)[holes]
        if column.dtype == object:
            column = np.unique(column.astype(str), return_inverse=True)[1]
        if column.ndim > 1:
            column = np.unique(column, axis=0, return_inverse=True)[1]
        rounded = np.round(np.asarray(column, dtype=float), 6)
        ids = np.unique(rounded, return_inverse=True)[1]
        keys = np.unique(keys * (ids.max() + 1) + ids, return_inverse=True)[1]
    return keys


def _fields(worked: Worked, one: Check, hole: int) -> dict[str, float | str]:
    """What the finding's sentences speak of, read at one hole of the group."""
    fields: dict[str, float | str] = {}
    for name in (one.quantity, one.limit, *one.fields):
        value = worked.at(name, hole)
        fields[name] = value if isinstance(value, str) else float(value)
    witness = REGISTRY[one.quantity].witness
    seen = witness(worked, hole) if witness else None
    if seen is not None:
        fields |= {f"witness_{name}": value for name, value in seen.fields.items()}
    return fields


def _grouped(worked: Worked, one: Check, mask: Mask) -> Iterator[Finding]:
    """Findings of one check, one per row and equal figures."""
    holes = np.flatnonzero(mask)
    if not len(holes):
        return
    keys = _group_keys(worked, one, holes)
    order = np.argsort(keys, kind="stable")
    starts = np.flatnonzero(np.diff(keys[order], prepend=-1))
    for group in np.split(holes[order], starts[1:]):
        first = int(group[0])
        limit = REGISTRY[one.limit]
        seen = limit.witness(worked, first) if limit.witness else None
        yield Finding(
            one.code,
            one.severity,
            tuple(group.tolist()),
            _fields(worked, one, first),
            seen.source if seen and seen.source else limit.source,
            one.quantity,
        )


def find(worked: Worked) -> tuple[Finding, ...]:
    """All findings of a plan: stops first, then by code and first hole.

    Independent of the order in which the file lists its rows, apart from names.
    Source: the registered checks.
    """
    found = masks(worked)
    findings = [f for code, one in CHECKS.items() for f in _grouped(worked, one, found[code])]
    order = list(Severity)
    findings.sort(key=lambda f: (order.index(f.severity), f.code, f.holes))
    return tuple(findings)
