"""Where a figure comes from, and how far it can be trusted.

A result rests on the weakest figure in it, so statuses have an order.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Generic, TypeVar

Value = TypeVar("Value")


class Status(StrEnum):
    """How a figure is known, from the strongest to the weakest."""

    READ = "READ"
    SECOND_HAND = "SECOND-HAND"
    DERIVED = "DERIVED"
    COMMON_PRACTICE = "COMMON PRACTICE"
    OWN_TEST = "OWN TEST"
    JUDGEMENT = "JUDGEMENT"
    FROM_MEMORY = "FROM MEMORY"
    INVENTED = "INVENTED"

    @property
    def rank(self) -> int:
        """Place in the order: 0 for READ, more for weaker."""
        return list(Status).index(self)


def weakest(first: Status, *others: Status) -> Status:
    """Give the weakest of the statuses a result rests on.

    Args:
        first: one status [-].
        others: the rest, in any order [-].

    Returns:
        The weakest of them.

    Source:
        Own order; JUDGEMENT.
    """
    return max((first, *others), key=lambda status: status.rank)


@dataclass(frozen=True)
class Source:
    """Document, place in it, status, and what to know about the figure."""

    document: str
    place: str
    status: Status
    note: str = ""

    def __str__(self) -> str:
        """Write the source on one line, the status last."""
        place = f", {self.place}" if self.place else ""
        return f"{self.document}{place}; {self.status}"


@dataclass(frozen=True)
class Looked(Generic[Value]):
    """A value with the table row it was read from."""

    value: Value
    row: str
    source: Source

    @property
    def status(self) -> Status:
        """How the value is known."""
        return self.source.status
