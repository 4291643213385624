"""The commands that bring a plan in from another file, and give one out."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer

from rivetwright.bench.drawing_named import DrawingNamed, DrawnIn, draw_in
from rivetwright.bench.exchange import bring_in, give_out, give_template
from rivetwright.cli.screen import results
from rivetwright.cli.words import say
from rivetwright.errors import Refusal

Replace = Annotated[
    bool, typer.Option("--replace", help="Write over a file that is there.")
]


PlanOut = Annotated[
    Path, typer.Option("--out", "-o", help="Plan file to write.", metavar="PLAN")
]
Parts = Annotated[
    list[str] | None,
    typer.Option(
        "--part",
        help="DXF: a layer's outlines are this part. Repeat, the side seen first.",
        metavar="LAYER=NAME:THICKNESS",
    ),
]
FirstCallout = Annotated[
    str, typer.Option(help="DXF: rivet of all rows at first.", metavar="CODE")
]
HolesOn = Annotated[
    list[str] | None,
    typer.Option(help="DXF: holes are on this layer alone.", metavar="LAYER"),
]
Unit = Annotated[
    str,
    typer.Option(help="DXF: in or mm, where the drawing says none.", metavar="UNIT"),
]
Like = Annotated[
    Path | None,
    typer.Option("--project", help="DXF: a plan of the same aircraft.", metavar="PLAN"),
]


def import_plan(
    file: Annotated[
        Path,
        typer.Argument(
            help="XLSX, a folder or ZIP of CSV files, or DXF.", metavar="FILE"
        ),
    ],
    out: PlanOut,
    parts: Parts = None,
    callout: FirstCallout = "",
    holes_on: HolesOn = None,
    unit: Unit = "",
    like: Like = None,
    replace: Replace = False,
) -> None:
    """Bring an assembly in, from a spreadsheet or a drawing, as a plan file.

    Every mistake is told by sheet and cell, and then nothing is written. A drawing
    becomes a draft: rows are found in its circles; look at each.

    \b
    Examples:
      rivetwright import panel.xlsx -o panel.yaml
      rivetwright import tables/ -o panel.yaml
      rivetwright import panel.dxf -o panel.yaml --part SKIN=11:.032
        --callout MS20470AD4-4
    """
    if file.suffix.lower() != ".dxf":
        _tell(give_out(bring_in(file), out, replace=replace))
        return
    named = DrawingNamed(tuple(parts or ()), callout, tuple(holes_on or ()), unit)
    drawn = draw_in(file, named, like)
    _tell_drawn(drawn)
    _tell(give_out(drawn.draft.plan, out, replace=replace))


def _tell_drawn(drawn: DrawnIn) -> None:
    """What of a drawing was not understood, is doubtful, or became nothing."""
    for one in drawn.shapes.not_understood:
        _say("drawing.left", **asdict(one))
    for found, row in drawn.draft.rows:
        if row.doubts:
            _say("drawing.doubt", row=found, doubts=", ".join(row.doubts))
    stayed = len(drawn.draft.stayed_out) + len(drawn.draft.unused_loops)
    if stayed:
        _say("drawing.stayed", count=stayed)


def _say(key: str, **words: object) -> None:
    """One line of what was found."""
    results().print(say(key, **words), markup=False, soft_wrap=True)


def export_plan(
    file: Annotated[
        Path | None,
        typer.Argument(help="A plan file.", metavar="PLAN", show_default=False),
    ] = None,
    out: Annotated[
        Path,
        typer.Option(
            "--out",
            "-o",
            help="XLSX or ZIP to write, or a folder for CSV files.",
            metavar="FILE",
        ),
    ] = Path("plan.xlsx"),
    template: Annotated[
        bool, typer.Option("--template", help="The empty workbook to fill in.")
    ] = False,
    replace: Replace = False,
) -> None:
    """Give a plan out as a spreadsheet, or the template to fill in.

    \b
    Examples:
      rivetwright export panel.yaml -o panel.xlsx
      rivetwright export panel.yaml -o tables
      rivetwright export --template -o panel.xlsx
    """
    if (file is None) != template:
        raise Refusal(
            asked="give a plan out",
            found="both a plan and --template" if template else "no plan",
            allowed="a plan file, or --template",
            do="give one of the two",
        )
    if file is None:
        _tell(give_template(out, replace=replace))
    else:
        _tell(give_out(bring_in(file), out, replace=replace))


def _tell(files: list[Path]) -> None:
    """Say what was written."""
    for path in files:
        results().print(say("files.written", file=path), markup=False, soft_wrap=True)
