"""The one tree of exceptions, below every floor.

    RivetwrightError
        Refusal                 something asked for cannot be done; four sentences
            QuantityRefused     a written length, force or pressure was not understood
            OutsideTable        a look-up outside its table
            CodeRefused         a part number or cross code was not understood
            PlanRefused         a plan, shop or bulletin file; carries every fault found
            NotFound            a name that the plan does not have
            StaleRevision       a change written against another revision
            FactRefused         a fact of the record is of another form
                ReasonNeeded    a mark that is taken with a reason
            StaleDecision       a decision made without seeing the newest facts
            ChainBroken         the record was altered, or a file is torn
            StoreRefused        the record cannot be opened or written
            NotAllowed          this device may not do that

A bad drawing or measurement is a finding (a value), never raised.
An exception is for a caller who cannot go on.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches


def nearest_hint(word: str, known: Iterable[str]) -> str:
    """The nearest known name as a half sentence, or nothing: `; nearest: A12`."""
    close = get_close_matches(word, list(known), n=1, cutoff=0.5)
    return f"; nearest: {close[0]}" if close else ""


class RivetwrightError(Exception):
    """Root of everything this package raises on purpose."""


class Refusal(RivetwrightError):
    """What was asked, what was found, what is allowed, and what to do now.

    Args:
        asked: what was asked for, in the words of the bench.
        found: what stood there, with its unit.
        allowed: what is allowed.
        do: what to do now.
        source: where the allowed range comes from; empty for our own forms.
    """

    def __init__(
        self, *, asked: str, found: str, allowed: str, do: str, source: str = ""
    ) -> None:
        self.asked = asked
        self.found = found
        self.allowed = allowed
        self.do = do
        self.source = source
        named = f" ({source})" if source else ""
        super().__init__(
            f"{asked}: found {found}. Allowed: {allowed}{named}. Do: {do}."
        )


class QuantityRefused(Refusal):
    """A written length, force or pressure was not understood."""


class OutsideTable(Refusal):
    """A look-up outside its table; nothing is extrapolated."""


class CodeRefused(Refusal):
    """A part number or drawing cross code was not understood."""


class NotFound(Refusal):
    """A name that the plan does not have."""


class StaleRevision(Refusal):
    """A change was written against another revision of the plan."""


class FactRefused(Refusal):
    """A fact has a field missing, unknown, or of another form."""


class ReasonNeeded(FactRefused):
    """A mark that is taken as soon as somebody writes why."""


class StaleDecision(Refusal):
    """A decision was made without having seen what others recorded meanwhile."""


class ChainBroken(Refusal):
    """The record was altered, or its file is torn; nothing was changed."""


class StoreRefused(Refusal):
    """The record cannot be opened or written; nothing was lost that was kept."""


class NotAllowed(Refusal):
    """This device, or this link, may not do that."""


@dataclass(frozen=True)
class Fault:
    """One mistake in a file: where it stands and what to do about it.

    Lines count from 1; 0 where the file as a whole is meant.
    """

    file: str
    line: int
    field: str
    found: str
    allowed: str
    do: str = ""

    def __str__(self) -> str:
        """Write the fault on one line, the place first."""
        do = f" {self.do}" if self.do else ""
        return (
            f"{self.file}:{self.line}: {self.field}: found {self.found}; "
            f"allowed: {self.allowed}.{do}"
        )


class PlanRefused(Refusal):
    """A plan, shop or bulletin file was refused; carries every fault found."""

    def __init__(
        self, faults: Sequence[Fault], described_in: str = "docs/plan-file.md"
    ) -> None:
        self.faults = tuple(faults)
        super().__init__(
            asked="read the file",
            found=f"{len(self.faults)} fault(s)",
            allowed=f"a file as {described_in} describes it",
            do="mend these lines; nothing was taken over:\n"
            + "\n".join(str(fault) for fault in self.faults),
        )
