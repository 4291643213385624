"""Rivet defects and what the sources say of each; a table to show, not to reckon with.

Source: defects.csv, status per row.
"""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.standards.source import Looked
from rivetwright.standards.table import read_table


@dataclass(frozen=True)
class Defect:
    """What is seen, and the limit or verdict a source prints for it."""

    observation: str
    verdict: str


def defects() -> tuple[Looked[Defect], ...]:
    """List the defects in printed order.

    Returns:
        Each defect with its table row.

    Source:
        defects.csv, status per row.
    """
    return tuple(
        row.looked(Defect(row.cells["observation"], row.cells["verdict"]))
        for row in read_table("defects").rows
    )
