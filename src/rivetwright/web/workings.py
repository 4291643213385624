"""The working of a figure as a nested list: formula, figures, source, witness."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from rivetwright.bench.hole import open_working
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import FORMULA
from rivetwright.engines.worked import Working
from rivetwright.texts.say import Said, System, say_title, say_value, say_witness
from rivetwright.web.figures import system_of

_NAME = re.compile(r"[a-z][a-z0-9_]*")
PUT_IN_DIGITS = 6


@dataclass(frozen=True)
class ShownWorking:
    """One figure of a working, ready for the page.

    `put_in` is the formula with its figures, in the program's own units. Where a
    figure was already opened above, `is_above` is set and `inputs` left empty.
    """

    name: str
    title: str
    main: str
    other: str
    kind: str
    formula: str
    put_in: str
    source: str
    note: str
    status: str
    witness: str
    is_above: bool
    inputs: tuple[ShownWorking, ...]


def shown_working(worked_plan: WorkedPlan, hole: int, quantity: str) -> ShownWorking:
    """How a figure of a hole came about.

    Raises:
        NotFound: no rule puts out that name.
    """
    opened = open_working(worked_plan, hole, quantity)
    return _shown(opened, system_of(worked_plan), set())


def _shown(opened: Working, system: System, above: set[str]) -> ShownWorking:
    is_above = opened.name in above
    above.add(opened.name)
    said = say_array(opened.name, opened.value, system)
    inputs = () if is_above else opened.inputs
    return ShownWorking(
        name=opened.name,
        title=say_title(opened.name),
        main=said.main,
        other=said.other,
        kind=opened.kind,
        formula=opened.formula,
        put_in=put_in(opened) if opened.kind == FORMULA else "",
        source=str(opened.source),
        note=opened.source.note,
        status=str(opened.status),
        witness=say_witness(opened.witness, system) if opened.witness else "",
        is_above=is_above,
        inputs=tuple(_shown(one, system, above) for one in inputs),
    )


def say_array(name: str, value: Any, system: System) -> Said:
    """A figure in words; of a figure for each sheet, one after the other."""
    if not isinstance(value, np.ndarray):
        held = value if isinstance(value, str) else float(value)
        return say_value(name, held, system)
    known = [say_value(name, float(one), system) for one in value if one == one]
    main = ", ".join(one.main for one in known) or "-"
    return Said(main, ", ".join(one.other for one in known if one.other))


def put_in(opened: Working) -> str:
    """A formula with its figures in the place of their names, and what it gives."""
    values = {one.name: plain(one.value) for one in opened.inputs}
    filled = _NAME.sub(lambda found: values.get(found[0], found[0]), opened.formula)
    return f"{filled} = {plain(opened.value)}"


def plain(value: Any) -> str:
    """A figure as the formula takes it: millimetres, newtons, plain numbers."""
    if isinstance(value, str):
        return value or "-"
    if isinstance(value, np.ndarray):
        return "(" + ", ".join(plain(float(one)) for one in value if one == one) + ")"
    number = float(value)
    if number != number:
        return "-"
    return f"{number:.{PUT_IN_DIGITS}f}".rstrip("0").rstrip(".")


def every(opened: ShownWorking) -> Iterator[ShownWorking]:
    """A working and all under it."""
    yield opened
    for one in opened.inputs:
        yield from every(one)
