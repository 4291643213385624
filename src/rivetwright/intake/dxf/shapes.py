"""What a drawing file holds, in mm, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass

from rivetwright.model.pattern import Point


@dataclass(frozen=True)
class Circle:
    """A circle, or a point (of no diameter)."""

    centre_mm: Point
    diameter_mm: float
    layer: str


@dataclass(frozen=True)
class Loop:
    """A closed outline; curves are corners close together."""

    corners_mm: tuple[Point, ...]
    layer: str


@dataclass(frozen=True)
class NotUnderstood:
    """Things of one kind on one layer that stayed out, and why."""

    kind: str
    layer: str
    count: int
    why: str


@dataclass(frozen=True)
class DrawnShapes:
    """Everything a drawing file holds; nothing is dropped without a word."""

    file: str
    unit: str
    circles: tuple[Circle, ...]
    loops: tuple[Loop, ...]
    not_understood: tuple[NotUnderstood, ...]

    @property
    def layers(self) -> tuple[str, ...]:
        """Names of layers with circles or outlines, in order."""
        circles = {one.layer for one in self.circles}
        return tuple(sorted(circles | {one.layer for one in self.loops}))
