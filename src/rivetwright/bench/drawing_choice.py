"""What a person chooses for a drawing: layers to parts, sizes to holes."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from rivetwright.errors import Refusal, nearest_hint
from rivetwright.intake.dxf.shapes import DrawnShapes

# Larger circles are cut-outs until somebody says otherwise (judgement: over 1/4 in).
HOLE_MM_MOST = 7.0


@dataclass(frozen=True)
class LayerPart:
    """Outlines of a layer are this part."""

    layer: str
    part: str
    thickness_mm: float
    material: str = ""


@dataclass(frozen=True)
class DrawingChoice:
    """How a drawing becomes a draft; explicit, so that it can be repeated.

    `parts` in the order they lie, the side seen first. `hole_layers`: circles of these
    alone are holes; empty, of all layers. `callout` stands in every row until changed.
    """

    parts: tuple[LayerPart, ...]
    callout: str
    hole_layers: tuple[str, ...] = ()
    hole_mm_least: float = 0.0
    hole_mm_most: float = HOLE_MM_MOST
    tolerance_mm: float = 0.25


def check_choice(shapes: DrawnShapes, choice: DrawingChoice) -> None:
    """Hold a choice to the layers that the drawing has.

    Raises:
        Refusal: no part was named, or a layer that is not there.
    """
    loops = Counter(one.layer for one in shapes.loops)
    circles = Counter(one.layer for one in shapes.circles)
    there = "; ".join(
        f"{layer}: {loops[layer]} outline(s), {circles[layer]} circle(s)"
        for layer in shapes.layers
    )
    named = [one.layer for one in choice.parts]
    for layer in (*named, *choice.hole_layers):
        if layer not in shapes.layers:
            raise Refusal(
                asked=f"bring in {shapes.file}",
                found=f"no layer {layer} with shapes",
                allowed=(there or "no layer has any")
                + nearest_hint(layer, shapes.layers),
                do="name one of these layers",
            )
    if not any(loops[layer] for layer in named):
        raise Refusal(
            asked=f"bring in {shapes.file}",
            found="no part" if not named else "no outline on the layers named",
            allowed=there or "a drawing with closed outlines",
            do="say which layer is which part: --part LAYER=NAME:THICKNESS",
        )
