"""What may stand in for a code that is short: only what a source allows, and how.

The drawing names one rivet. What is offered here is metal of the same kind cut to
that length, or something to ask for; never another head, a weaker rivet of the same
size, or a blind rivet for a solid one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from rivetwright.engines.head import VOLUME
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.stock.need import CodeNeed
from rivetwright.errors import CodeRefused, OutsideTable
from rivetwright.standards.codes import RivetCode, parse_rivet_code
from rivetwright.standards.source import Source
from rivetwright.standards.stand_ins import cut_from_longer
from rivetwright.standards.strength import substitute


class Way(StrEnum):
    """How one rivet stands in for another.

    `CUT`: longer, cut to the length wanted: the same rivet then. `ASK_LENGTH`: its
    length too makes a legal head in every hole, but the drawing names another.
    `ASK_SOFTER`: softer and a size larger; the holes are opened up.
    """

    CUT = "cut"
    ASK_LENGTH = "ask length"
    ASK_SOFTER = "ask softer"


@dataclass(frozen=True)
class StandIn:
    """A code on hand that may stand in: how many can be spared, how, by what source."""

    code: str
    spared: int
    way: Way
    source: Source


def stand_ins(
    need: CodeNeed, needs: Iterable[CodeNeed], plans: Sequence[WorkedPlan]
) -> tuple[StandIn, ...]:
    """What on hand may stand in for a code that is short, the nearest first.

    Args:
        need: the code that is short.
        needs: every code, with what can be spared of it.
        plans: the plans that the holes belong to.

    Source: NAVEDTRA 14018 ch. 13 (cutting), FAA AC 43.13-1B para 4-57b (a softer
        rivet a size larger), the volume window of each hole (another length).
    """
    short = _solid(need.code)
    if short is None:
        return ()
    legal, larger = _legal_16ths(need, plans), _larger_16ths(need, plans)
    found = []
    for other in needs:
        code = _solid(other.code)
        if code is None or other.code == need.code or not other.over:
            continue
        way = _way(short, code, legal, larger)
        if way is not None:
            found.append(StandIn(other.code, other.over, *way))
    return tuple(sorted(found, key=lambda one: (list(Way).index(one.way), one.code)))


def _solid(code: str) -> RivetCode | None:
    try:
        return parse_rivet_code(code)
    except CodeRefused:
        return None


def _way(
    short: RivetCode, other: RivetCode, legal: set[float], larger: set[float]
) -> tuple[Way, Source] | None:
    """How a rivet may stand in; None where no source lets it."""
    if short.kind == other.kind:
        if other.length_16ths > short.length_16ths:
            return Way.CUT, cut_from_longer().source
        if float(other.length_16ths) in legal:
            return Way.ASK_LENGTH, VOLUME
        return None
    if short.standard != other.standard or larger != {float(other.length_16ths)}:
        return None
    try:
        softer = substitute(short.material, short.diameter_32nds)
    except OutsideTable:
        return None
    allowed = softer.value.material, softer.value.diameter_32nds
    is_it = allowed == (other.material, other.diameter_32nds)
    return (Way.ASK_SOFTER, softer.source) if is_it else None


def _legal_16ths(need: CodeNeed, plans: Sequence[WorkedPlan]) -> set[float]:
    """Lengths that make a legal head in every hole that takes the code."""
    common: set[float] | None = None
    for codes in _of_classes(need, plans, "legal_length_codes"):
        lengths = {float(word) for word in str(codes).split()}
        common = lengths if common is None else common & lengths
    return common or set()


def _larger_16ths(need: CodeNeed, plans: Sequence[WorkedPlan]) -> set[float]:
    """Lengths that the holes take once opened up to the next size."""
    return {float(str(one)) for one in _of_classes(need, plans, "next_length_16ths")}


def _of_classes(
    need: CodeNeed, plans: Sequence[WorkedPlan], quantity: str
) -> Iterator[object]:
    """A quantity of every class of equal holes that takes the code."""
    for one in need.wants:
        worked = plans[one.plan].worked
        for of_class in {int(worked.stacks.class_of[hole]) for hole in one.holes}:
            yield worked[quantity][of_class]
