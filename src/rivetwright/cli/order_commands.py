"""The command about the order of setting: a stage file in, a plan file out."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rivetwright.bench.order_file import WORK, OrderedFile, order_file
from rivetwright.cli.screen import progress_bar, results
from rivetwright.cli.words import counted, say

_MINUTE_S = 60.0


def order_instance(
    file: Annotated[
        Path, typer.Argument(help="A stage file, or a set of them.", metavar="FILE")
    ],
    out: Annotated[
        Path, typer.Option("-o", "--out", help="The plan to write.", metavar="FILE")
    ],
    work: Annotated[
        float,
        typer.Option(
            help="How much to do for a stage; 0: the first order alone.",
            metavar="WORK",
            min=0.0,
            max=1000.0,
        ),
    ] = WORK,
) -> None:
    """Work out in which order to set a stage: setups, rivets, sheet holders.

    The same file and the same work give the same order. docs/order-file.md
    describes both files.

    \b
    Example:
      rivetwright order-instance benchmarks/order/dev1-rib-50.json -o plan.json
    """
    with progress_bar() as progress:
        ordered = order_file(file, work=work, progress=progress)
    out.write_text(ordered.text, encoding="utf-8")
    for line in _lines(ordered, out):
        results().print(line, markup=False, soft_wrap=True)


def _lines(ordered: OrderedFile, out: Path) -> list[str]:
    """What came out: minutes, how far from the bound, what is out of the ordinary."""
    holes = sum(len(stage) for stage in ordered.stages)
    lines = [
        say(
            "order.planned",
            name=ordered.name,
            stages=counted("order.stage", len(ordered.stages)),
            holes=counted("plan.hole", holes),
            minutes=f"{ordered.time_s / _MINUTE_S:.1f}",
        )
    ]
    if ordered.bound_s > 0.0:
        gap_percent = 100.0 * (ordered.objective_s / ordered.bound_s - 1.0)
        lines.append(
            say(
                "order.bound",
                minutes=f"{ordered.bound_s / _MINUTE_S:.1f}",
                percent=f"{max(gap_percent, 0.0):.1f}",
            )
        )
    if ordered.zipped_count:
        lines.append(counted("order.zipped_rivet", ordered.zipped_count))
    lines += [say("order.loose", name=name) for name in ordered.loose]
    lines.append(say("files.written", file=out))
    return lines
