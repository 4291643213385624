"""A plan file read whole: one assembly, or every mistake in it with its line."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from rivetwright.intake.build_plan import build_plan
from rivetwright.intake.faults import Faults
from rivetwright.intake.forms import PLAN_FORMAT, PlanForm
from rivetwright.intake.lined import decode, read_bytes, read_lined
from rivetwright.intake.shape import check_shape
from rivetwright.model.plan import Plan
from rivetwright.units.length import LengthUnit

# What to do with a file that is another of our kinds, and no worse for it.
OTHER_KINDS = {
    "rivetwright plan 1": "This is a plan: give it where a plan is asked for",
    "rivetwright bulletin 1": "This is a bulletin: give it with --bulletin, beside "
    "the plan it changes",
    "rivetwright shop 1": "This is a shop file: leave it in the folder that is served",
}


def read_plan(path: Path | str) -> Plan:
    """Read a plan file.

    Args:
        path: the file.

    Returns:
        The plan of the assembly.

    Raises:
        PlanRefused: the file is not there or has mistakes; carries all of them.
    """
    return read_plan_bytes(read_bytes(path), str(path))


def read_plan_text(text: str, file: str = "plan") -> Plan:
    """Read the text of a plan file.

    Args:
        text: YAML 1.2.
        file: name to show in faults.

    Returns:
        The plan of the assembly.

    Raises:
        PlanRefused: the text has mistakes; carries all of them with their lines.
    """
    return read_plan_bytes(text.encode("utf-8", "surrogatepass"), file)


def read_plan_bytes(raw: bytes, file: str) -> Plan:
    """Read the bytes of a plan file.

    Args:
        raw: YAML 1.2 in UTF-8.
        file: name to show in faults.

    Returns:
        The plan of the assembly.

    Raises:
        PlanRefused: the bytes have mistakes; carries all of them with their lines.
    """
    written, faults = open_file(raw, file, PLAN_FORMAT)
    unit = unit_of(written)
    form = check_shape(PlanForm, written, unit, faults)
    plan = build_plan(form, written, unit, faults) if form else None
    faults.refuse()
    assert plan is not None, "a form without faults makes a plan"
    return plan


def open_file(raw: bytes, file: str, form: str) -> tuple[dict[str, Any], Faults]:
    """Read bytes as YAML whose `format:` is the right one.

    Args:
        raw: YAML 1.2 in UTF-8.
        file: name to show in faults.
        form: the format that is wanted.

    Returns:
        The fields, and the faults found so far.

    Raises:
        PlanRefused: the bytes are no YAML at all, or another kind of file.
    """
    faults = Faults(file)
    text = decode(raw, faults)
    faults.refuse()
    faults = Faults(file, text)
    written = read_lined(text, faults)
    found = written.get("format")
    if faults.is_told(()):
        faults.refuse()
    elif found != form:
        shown = "no format line" if found is None else found
        do = OTHER_KINDS.get(
            str(found), f"Write this as the first line: format: {form}"
        )
        faults.add(("format",), shown, f"format: {form}", do, line=1)
        faults.refuse()
    return written, faults


def unit_of(written: Mapping[str, Any]) -> LengthUnit:
    """Unit of bare numbers; inches where the file says nothing readable."""
    return "mm" if written.get("unit") == "mm" else "in"
