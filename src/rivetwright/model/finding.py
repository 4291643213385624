"""A finding: what is wrong or doubtful at some holes, as code and fields."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from rivetwright.standards.source import Source


class Severity(StrEnum):
    """How strongly a finding speaks."""

    STOP = "stop"
    CHECK = "check"
    NOTE = "note"


@dataclass(frozen=True)
class Finding:
    """One finding over holes that share the same fields.

    `fields` are quantities by column name (mm, or plain text); the sentences
    come from the text catalogue. `quantity` is the column whose working shows
    how the number came about.
    """

    code: str
    severity: Severity
    holes: tuple[int, ...]
    fields: Mapping[str, float | str]
    source: Source
    quantity: str
