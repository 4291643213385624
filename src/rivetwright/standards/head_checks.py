"""Figures for checking a head, and what the sources say of what is seen on it.

Limits of width and height stand in ``shop_heads``; here is the rest: gaps, marks,
stand-up, how many heads are measured, and what is believed without asking again.
Table files head_checks.csv, head_rules.csv and defects.csv.
"""

from __future__ import annotations

from fractions import Fraction

from rivetwright.standards.defects import Defect, defects
from rivetwright.standards.source import Looked
from rivetwright.standards.table import outside, read_table

_TABLE = "head_checks"
_RULES = "head_rules"


def head_check(name: str) -> Looked[Fraction]:
    """Look up a figure for checking heads.

    Args:
        name: a name of head_checks.csv, such as ``feeler`` [-].

    Returns:
        The figure; printed inches come in mm [as the row says].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        head_checks.csv; status per row.
    """
    table = read_table(_TABLE)
    rows = table.where(name=name)
    if not rows:
        raise outside(
            table.rows,
            asked="look up a figure for checking heads",
            found=name,
            allowed=", ".join(row.cells["name"] for row in table.rows),
        )
    row = rows[0]
    is_inches = row.cells["unit"] == "in"
    return row.looked(row.inches_mm("value") if is_inches else row.number("value"))


def head_check_figure(name: str) -> float:
    """Give a figure for checking heads as a plain number.

    Args:
        name: a name of head_checks.csv [-].

    Returns:
        The figure [as the row says; mm].

    Raises:
        OutsideTable: the table has no such figure.

    Source:
        head_checks.csv; status per row.
    """
    return float(head_check(name).value)


def head_rule(name: str) -> Looked[str]:
    """Look up what is usually done about a head.

    Args:
        name: a name of head_rules.csv, such as ``over-set`` [-].

    Returns:
        The rule in words, with its table row.

    Raises:
        OutsideTable: the table has no such rule.

    Source:
        head_rules.csv; status per row.
    """
    table = read_table(_RULES)
    rows = table.where(name=name)
    if not rows:
        raise outside(
            table.rows,
            asked="look up what is usually done about a head",
            found=name,
            allowed=", ".join(row.cells["name"] for row in table.rows),
        )
    return rows[0].looked(rows[0].cells["what"])


def defect(observation: str) -> Looked[Defect]:
    """Look up what a source says of something seen on a rivet.

    Args:
        observation: the words of defects.csv [-].

    Returns:
        The observation and its verdict, with the table row.

    Raises:
        OutsideTable: the table has no such observation.

    Source:
        defects.csv; status per row.
    """
    for found in defects():
        if found.value.observation == observation:
            return found
    rows = read_table("defects").rows
    raise outside(
        rows,
        asked="look up a rivet defect",
        found=observation,
        allowed="; ".join(row.cells["observation"] for row in rows),
    )
