"""Pieces of work made for cases that a person can check on paper."""

from __future__ import annotations

from collections.abc import Sequence

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
    count: int = 10,
    is_noisy: bool = False,
    people: int = 1,
    operation: str = SET,
    way: str = "squeezer",
    quiet_way: str = "",
    tools: tuple[str, ...] = ("Y1",),
    callout: str = "AD4-4",
    stock: tuple[tuple[str, int], ...] = (),
    assembly: str = "a",
    faces: tuple[str, ...] = (),
    closes: tuple[str, ...] = (),
) -> Piece:
    """A piece of ten minutes; `after` names pieces, or steps as `step:1`."""
    keys = [
        step_key(assembly, one[5:]) if one.startswith("step:") else one for one in after
    ]
    return Piece(
        name,
        assembly,
        step,
        operation,
        (name,),
        "",
        (),
        count,
        "rivet",
        minutes(likely),
        is_noisy,
        people,
        way if operation == SET else "",
        quiet_way,
        Needs(tools=tools, stock=stock),
        tuple(keys),
        tuple(waits),
        callout,
        faces,
        closes,
        (name,),
    )


def heads_of(name: str, likely: float = 2.0, **more: object) -> Piece:
    """A look at the heads of a piece."""
    made = piece(f"{name} heads", after=[name], operation=CHECK, **more)  # type: ignore[arg-type]
    return Piece(**{**vars(made), "minutes": minutes(likely)})
