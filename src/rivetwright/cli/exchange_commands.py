"""The commands that bring a plan in from another file, and give one out."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rivetwright.bench.exchange import bring_in, give_out, give_template
from rivetwright.cli.screen import results
from rivetwright.cli.words import say
from rivetwright.errors import Refusal

Replace = Annotated[
    bool, typer.Option("--replace", help="Write over a file that is there.")
]


def import_plan(
    file: Annotated[
        Path,
        typer.Argument(help="XLSX, or a folder or ZIP of CSV files.", metavar="FILE"),
    ],
    out: Annotated[
        Path, typer.Option("--out", "-o", help="Plan file to write.", metavar="PLAN")
    ],
    replace: Replace = False,
) -> None:
    """Bring an assembly in from a spreadsheet as a plan file.

    Every mistake is told by sheet and cell, and then nothing is written.

    \b
    Examples:
      rivetwright import panel.xlsx -o panel.yaml
      rivetwright import tables/ -o panel.yaml
    """
    _tell(give_out(bring_in(file), out, replace=replace))


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
