"""A bulletin: a revision of a plan with its own parts, layers, rows and steps."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import Protocol, TypeVar

from rivetwright.errors import NotFound, StaleRevision
from rivetwright.model.outline import Face, Layer
from rivetwright.model.plan import Part, Plan, Row
from rivetwright.model.step import Step


class Named(Protocol):
    """Anything with a name."""

    @property
    def name(self) -> str:
        """The name."""
        ...


NamedT = TypeVar("NamedT", bound=Named)


@dataclass(frozen=True)
class AddedLayer:
    """A layer put into a face, near side first: before which part, or at the end."""

    face: str
    layer: Layer
    before: str = ""


@dataclass(frozen=True)
class Bulletin:
    """What a service bulletin or a changed drawing asks for.

    `rows` replaces rows of the same name and adds the others; so do `parts` and
    `steps`. `based_on` is the revision of the plan it was written against.
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


def apply_bulletin(plan: Plan, bulletin: Bulletin) -> Plan:
    """Make the next revision of a plan as a bulletin asks.

    Args:
        plan: the plan the bulletin was written against.
        bulletin: what it asks for.

    Returns:
        A new plan, one revision on; the given one stays as it is.

    Raises:
        StaleRevision: the bulletin was written against another assembly or revision.
        NotFound: it names a face, or a part in a face, that the plan has not.
    """
    asked = f"apply bulletin {bulletin.id}"
    if (bulletin.assembly, bulletin.based_on) != (plan.id, plan.revision):
        raise StaleRevision(
            asked=asked,
            found=f"assembly {plan.id}, revision {plan.revision}",
            allowed=f"assembly {bulletin.assembly}, revision {bulletin.based_on}",
            do="compare the bulletin with the plan as it is now, then write it anew",
        )
    faces = {face.name: face for face in plan.faces}
    for added in bulletin.layers:
        if added.face not in faces:
            raise NotFound(
                asked=asked,
                found=f"face {added.face}",
                allowed="a face of the plan",
                do="name the face as the plan does",
            )
        faces[added.face] = _with_layer(faces[added.face], added, asked)
    return replace(
        plan,
        parts=_merged(plan.parts, bulletin.parts),
        faces=tuple(faces.values()),
        rows=_merged(plan.rows, _marked(plan.rows, bulletin)),
        steps=_merged(plan.steps, bulletin.steps),
        revision=plan.revision + 1,
        based_on=plan.revision,
        issued=bulletin.day,
    )


def _marked(there: Iterable[Row], bulletin: Bulletin) -> tuple[Row, ...]:
    """The bulletin's rows; those that were there before say what changed them."""
    before = {row.name for row in there}
    return tuple(
        replace(row, changed_by=bulletin.id) if row.name in before else row
        for row in bulletin.rows
    )


def _with_layer(face: Face, added: AddedLayer, asked: str) -> Face:
    """Put one layer into a face."""
    parts = [layer.part for layer in face.layers]
    if added.before and added.before not in parts:
        raise NotFound(
            asked=asked,
            found=f"no part {added.before} in face {face.name}",
            allowed=f"one of {', '.join(parts)}",
            do="name a part that lies in the face",
        )
    at = parts.index(added.before) if added.before else len(parts)
    layers = (*face.layers[:at], added.layer, *face.layers[at:])
    return replace(face, layers=layers)


def _merged(there: Iterable[NamedT], changed: Iterable[NamedT]) -> tuple[NamedT, ...]:
    """Replace what has the same name, in its place, and add the others."""
    by_name = {one.name: one for one in there}
    by_name.update((one.name, one) for one in changed)
    return tuple(by_name.values())
