"""A formula with its figures put in, and figures that have one value for each sheet."""

from __future__ import annotations

import re
from typing import Any

import numpy as np

from rivetwright.engines.worked import Working
from rivetwright.texts.say import NOTHING, Said, System, say_value

_NAME = re.compile(r"[a-z][a-z0-9_]*")
PUT_IN_DIGITS = 6


def say_working(opened: Working, system: System) -> Said:
    """The value of a working in words; several values for several sheets."""
    value = opened.value
    if not isinstance(value, np.ndarray):
        held = value if isinstance(value, str) else float(value)
        return say_value(opened.name, held, system)
    said = [say_value(opened.name, float(one), system) for one in value if one == one]
    main = ", ".join(one.main for one in said) or NOTHING
    return Said(main, ", ".join(one.other for one in said if one.other))


def put_in(opened: Working) -> str:
    """The formula with its figures, lengths in millimetres as it is worked out."""
    values = {one.name: _plain(one.value) for one in opened.inputs}
    return _NAME.sub(lambda found: values.get(found[0], found[0]), opened.formula)


def _plain(value: Any) -> str:
    """A figure as the formula takes it."""
    if isinstance(value, str):
        return value or NOTHING
    if isinstance(value, np.ndarray):
        return f"({', '.join(_plain(float(one)) for one in value if one == one)})"
    number = float(value)
    if number != number:
        return NOTHING
    return f"{number:.{PUT_IN_DIGITS}f}".rstrip("0").rstrip(".")
