"""The holes of one row side by side, for rows whose places no drawing gives."""

from __future__ import annotations

import numpy as np

from rivetwright.drawing.face_signs import findings_at, sign_of
from rivetwright.drawing.ink import stylesheet
from rivetwright.drawing.signs import add_sign
from rivetwright.drawing.svg import Element, add, new_picture, path_through, written
from rivetwright.drawing.words import say
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import NotFound, nearest_hint

# Millimetres as drawn; the strip has no scale.
RADIUS_MM = 1.4
STEP_MM = 8.0
LINE_MM = 13.0
LEFT_MM = 6.0
TITLE_MM, NUMBER_MM = 3.8, 2.6
TOP_MM = 7.0
HOLES_A_LINE = 25
LEAST_WIDTH_MM = 100.0


def strip_size_mm(count: int) -> tuple[float, float]:
    """Width and height of the strip of a row with so many holes, as drawn [mm]."""
    lines = max(1, -(-count // HOLES_A_LINE))
    most = max(1, min(count, HOLES_A_LINE))
    width = max(2 * LEFT_MM + (most - 1) * STEP_MM, LEAST_WIDTH_MM)
    return width, TOP_MM + lines * LINE_MM


def row_strip_svg(
    worked_plan: WorkedPlan,
    row_name: str,
    *,
    for_paper: bool = False,
    labels: bool = True,
    held: frozenset[int] = frozenset(),
) -> str:
    """The holes of one row in order, numbered, not to scale; `held` get a holder.

    Raises:
        NotFound: the plan has no such row.
    """
    columns = worked_plan.worked.holes
    k = columns.row_index.get(row_name)
    if k is None:
        raise NotFound(
            asked=f"draw the row {row_name}",
            found=f"no row {row_name}",
            allowed="a row of this plan" + nearest_hint(row_name, columns.row_index),
            do="name a row as the plan writes it",
        )
    holes = np.arange(int(columns.row_start[k]), int(columns.row_start[k + 1]))
    width, height = strip_size_mm(len(holes))
    picture = new_picture(
        "row-strip",
        say("strip.title", row=row_name, count=len(holes)),
        say("strip.about"),
        (0.0, 0.0, width, height),
        stylesheet(for_paper=for_paper),
    )
    picture.set("data-row", row_name)
    world = add(picture, "g", class_="world")
    if labels:
        title = say("strip.name", row=row_name)
        add(
            world,
            "text",
            title,
            x=1.0,
            y=TITLE_MM + 0.6,
            font_size=TITLE_MM,
            class_="row-name strong",
        )
    _add_lines(world, len(holes))
    _add_holes(world, worked_plan, holes, labels, held)
    return written(picture)


def _place(k: int) -> tuple[float, float]:
    """Where the hole at a position of the row is drawn."""
    line, along = divmod(k, HOLES_A_LINE)
    return LEFT_MM + along * STEP_MM, TOP_MM + (line + 0.45) * LINE_MM


def _add_lines(world: Element, count: int) -> None:
    """A thin line through the holes of each line of the strip."""
    for start in range(0, count, HOLES_A_LINE):
        end = min(start + HOLES_A_LINE, count) - 1
        (x0, y), (x1, _) = _place(start), _place(end)
        path = path_through([(x0 - STEP_MM / 2, y), (x1 + STEP_MM / 2, y)])
        add(world, "path", d=path, class_="sign hidden", stroke_width=0.2)


def _add_holes(
    world: Element,
    worked_plan: WorkedPlan,
    holes: np.ndarray[tuple[int], np.dtype[np.int64]],
    labels: bool,
    held: frozenset[int],
) -> None:
    """The signs, with each hole's number under it."""
    columns = worked_plan.worked.holes
    found = {} if held else findings_at(worked_plan, holes)
    group = add(world, "g", class_="holes")
    for k, hole in enumerate(holes.tolist()):
        place = _place(k)
        sign = sign_of(
            worked_plan,
            hole,
            place,
            RADIUS_MM,
            found.get(hole),
            has_holder=hole in held,
        )
        add_sign(group, sign)
    if not labels:
        return
    numbers = add(world, "g", class_="labels", text_anchor="middle")
    for k, hole in enumerate(holes.tolist()):
        x, y = _place(k)
        number = str(columns.number[hole])
        add(numbers, "text", number, x=x, y=y + 6.4, font_size=NUMBER_MM)
