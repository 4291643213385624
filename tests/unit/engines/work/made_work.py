"""Pieces of work made for cases that a person can check on paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from rivetwright.engines.work.pieces import CHECK, SET, Minutes, Needs, Piece, step_key
from rivetwright.engines.work.waits import Wait
from rivetwright.standards.source import Status

ANSWER = Wait("answer", "Q-1")


def minutes(likely: float) -> Minutes:
    """So many minutes by own rates, from 0.8 to 1.6 of them."""
    low, high = 0.8 * likely, 1.6 * likely
    return Minutes(low, likely, high, "own", 1, 10, Status.OWN_TEST)


def piece(
    name: str,
    step: str = "1",
    likely: float = 10.0,
    *,
    after: Sequence[str] = (),
    waits: Sequence[Wait] = (),
    assembly: str = "a",
    tools: tuple[str, ...] = ("Y1",),
    stock: tuple[tuple[str, int], ...] = (),
    **more: Any,
) -> Piece:
    """Ten rivets in ten minutes; `after` names pieces, or steps as `step:1`."""
    steps = {one: step_key(assembly, one[5:]) for one in after if one[:5] == "step:"}
    made = Piece(
        key=name,
        assembly=assembly,
        step=step,
        operation=SET,
        rows=(name,),
        part="",
        holes=(),
        count=10,
        counted="rivet",
        minutes=minutes(likely),
        is_noisy=False,
        people=1,
        way="squeezer",
        quiet_way="",
        needs=Needs(tools=tools, stock=stock),
        after=tuple(steps.get(one, one) for one in after),
        waits=tuple(waits),
        callout="AD4-4",
        names=(name,),
    )
    return replace(made, **more)


def heads_of(name: str, likely: float = 2.0, **more: Any) -> Piece:
    """A look at the heads of a piece."""
    made = piece(f"{name} heads", after=[name], operation=CHECK, way="", **more)
    return replace(made, minutes=minutes(likely))
