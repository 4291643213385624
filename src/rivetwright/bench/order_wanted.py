"""How a person wants the order of a step: what is chosen on the page or typed."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Wanted:
    """How the person wants the order.

    Args:
        begin: middle, ends or skip; empty: as the stacks ask.
        alone: nothing that takes two people.
        quiet: nothing noisy.
        left_out: tools that are broken or lent, by id or title.
        held: holes that must wait tonight, as `A12:18-20`.
        reminders: holders stay where a row changes to another rivet.
        as_if: as if every finding were answered and every hold lifted.
        work: how much to do beyond the first order.
    """

    begin: str = ""
    alone: bool = False
    quiet: bool = False
    left_out: tuple[str, ...] = ()
    held: tuple[str, ...] = ()
    reminders: bool = False
    as_if: bool = False
    work: float = 0.5
