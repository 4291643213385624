"""A bulletin: a revision of a plan with its own parts, layers, rows and steps."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rivetwright.model.outline import Layer
from rivetwright.model.plan import Part, Row
from rivetwright.model.step import Step


@dataclass(frozen=True)
class AddedLayer:
    """A layer put into a face, near side first: before which part, or at the end."""

    face: str
    layer: Layer
    before: str = ""


@dataclass(frozen=True)
class Bulletin:
    """What a service bulletin or a changed drawing asks for.

    `rows` replaces rows of the same name and adds the others. `based_on` is the
    revision of the plan it was written against.
    """

    id: str
    title: str
    assembly: str
    based_on: int
    day: date | None = None
    text: str = ""
    parts: tuple[Part, ...] = ()
    layers: tuple[AddedLayer, ...] = ()
    rows: tuple[Row, ...] = ()
    steps: tuple[Step, ...] = ()
    kit: str = ""
    kit_contents: tuple[tuple[str, int], ...] = ()
