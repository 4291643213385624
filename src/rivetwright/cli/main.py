"""The command `rivetwright`.

Exit codes: 0 nothing stops, 1 something stops, 2 refused.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import Progress as Bar

from rivetwright import __version__
from rivetwright.bench.open import Project, open_folder, open_plan
from rivetwright.bench.result import result
from rivetwright.cli.tables import (
    finding_groups,
    hole_table,
    print_findings,
    row_table,
    unit_system,
)
from rivetwright.cli.working import print_why
from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import Refusal
from rivetwright.intake.schema import plan_schema
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import say_finding

PORT = 8765
NARROWEST = 80

app = typer.Typer(
    name="rivetwright",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help=(
        "A home builder's riveting plan: every hole worked out, with the working. "
        "It advises; the kit's drawings, local rules and licensed people decide."
    ),
)
# Long lines wrap at the terminal's width; piped, they keep a readable one.
console = Console(width=None if sys.stdout.isatty() else 140, highlight=False)
told = Console(stderr=True, highlight=False)

Files = Annotated[list[Path], typer.Argument(help="Plan files, one per assembly.")]
Bulletins = Annotated[
    list[Path] | None, typer.Option("--bulletin", help="Apply a bulletin file first.")
]
Paper = Annotated[str, typer.Option(help="Paper size: letter or a4.")]


def _opened(file: Path, bulletins: list[Path] | None) -> WorkedPlan:
    """Read and work out, with a bar on a terminal."""
    if not told.is_terminal:
        return open_plan(file, bulletins or ())
    with Bar(console=told, transient=True) as bar:
        task = bar.add_task(f"{file.name}: reading", total=None)

        def progress(title: str, done: int, count: int) -> None:
            bar.update(task, description=title, completed=done, total=count)

        return open_plan(file, bulletins or (), progress)


def _words(worked_plan: WorkedPlan, finding: Finding) -> dict[str, str]:
    """Sentences of a finding for the JSON."""
    words = say_finding(finding, unit_system(worked_plan))
    return {"found": words.found, "allowed": words.allowed, "do": words.do}


def _show_plan(worked_plan: WorkedPlan, *, holes: bool, findings_only: bool) -> None:
    """One assembly on the terminal."""
    plan = worked_plan.worked.plan
    console.print(
        f"{plan.project.name}, {plan.name}, revision {plan.revision}: "
        f"{len(plan.rows)} rows, {len(worked_plan.worked.holes)} holes",
        style="bold",
    )
    if not findings_only:
        console.print(hole_table(worked_plan) if holes else row_table(worked_plan))
    print_findings(console, worked_plan)
    console.print(f"\n{catalogue().word('caution', 'advice')}\n")


@app.command()
def plan(
    files: Files,
    as_json: Annotated[bool, typer.Option("--json", help="Write JSON.")] = False,
    bulletin: Bulletins = None,
    holes: Annotated[bool, typer.Option(help="A line per hole.")] = False,
    findings_only: Annotated[bool, typer.Option(help="Findings alone.")] = False,
) -> None:
    """Work plans out: rows, findings, what to do.

    Example: rivetwright plan examples/ostrel/aileron.yaml

    Exit code 0: nothing stops; 1: something must not be set; 2: refused.
    """
    worked = [_opened(file, bulletin) for file in files]
    if as_json:
        made = [result(one, lambda f, one=one: _words(one, f)) for one in worked]  # type: ignore[misc]
        json.dump(made[0] if len(made) == 1 else made, sys.stdout, ensure_ascii=False)
        sys.stdout.write("\n")
    else:
        for one in worked:
            _show_plan(one, holes=holes, findings_only=findings_only)
    raise typer.Exit(int(any(one.stops for one in worked)))


@app.command()
def why(
    file: Annotated[Path, typer.Argument(help="Plan file.")],
    hole: Annotated[str, typer.Argument(help="Hole, such as A12:18.")],
    quantity: Annotated[
        str | None, typer.Argument(help="One quantity, such as grip_mm.")
    ] = None,
    bulletin: Bulletins = None,
) -> None:
    """Print the working of everything known of one hole.

    Example: rivetwright why examples/ostrel/aileron.yaml A11:5 head_width_mm
    """
    worked_plan = _opened(file, bulletin)
    print_why(console, worked_plan, worked_plan.worked.holes.index(hole), quantity)


@app.command(name="print")
def print_pack(
    files: Files,
    out: Annotated[Path, typer.Option(help="Folder to write to.")] = Path("print"),
    paper: Paper = "letter",
    bulletin: Bulletins = None,
) -> None:
    """Write hole maps and hole tables as PDF.

    Example: rivetwright print examples/ostrel/flap.yaml --out print --paper a4
    """
    for file in files:
        _print_one(_opened(file, bulletin), out, paper)


def _print_one(worked_plan: WorkedPlan, out: Path, paper: str) -> None:
    """The pack of one assembly."""
    from rivetwright.paper import write_pack

    for path in write_pack(worked_plan, out, paper=paper):
        console.print(f"written {path}")


@app.command()
def serve(
    folder: Annotated[Path, typer.Argument(help="Folder with plan files.")] = Path("."),
    port: Annotated[int, typer.Option(help="Port; the next free one is taken.")] = PORT,
) -> None:
    """Serve a folder's plans to this machine's browser, on 127.0.0.1 alone.

    Example: rivetwright serve examples/ostrel
    """
    from rivetwright.paper import pack_bytes
    from rivetwright.web.serve import serve as serve_web

    serve_web(folder, port, pack_bytes=pack_bytes)


@app.command()
def demo(
    folder: Annotated[Path, typer.Option(help="Folder of the demo's files.")] = Path(
        "examples/ostrel"
    ),
    out: Annotated[Path, typer.Option(help="Folder to print to.")] = Path(
        "build/print"
    ),
    paper: Paper = "letter",
    no_serve: Annotated[
        bool, typer.Option("--no-serve", help="Stop after printing.")
    ] = False,
    port: Annotated[int, typer.Option(help="Port; the next free one is taken.")] = PORT,
) -> None:
    """Work the demo out, print it, and serve it. The demo is invented."""
    project = open_folder(folder)
    _summary(project)
    for assembly in project.assemblies:
        _print_one(assembly.worked_plan, out, paper)
    if not no_serve:
        serve(folder, port)


def _summary(project: Project) -> None:
    """What was found in a folder, a line per assembly."""
    console.print(f"{project.name} (demo, INVENTED)", style="bold")
    for assembly in project.assemblies:
        groups = finding_groups(assembly.worked_plan)
        counts = ", ".join(
            f"{sum(len(f.holes) for g in found for f in g)} holes {severity}"
            for severity, found in groups.items()
        )
        count = len(assembly.worked_plan.worked.holes)
        console.print(f"  {assembly.key}: {count} holes; {counts}")
    for refusal in project.refused:
        told.print(str(refusal), markup=False)


@app.command()
def schema() -> None:
    """Print the JSON Schema of the plan file."""
    json.dump(plan_schema(), sys.stdout, indent=2)
    sys.stdout.write("\n")


def _version(wanted: bool) -> None:
    """Say the version and leave."""
    if wanted:
        console.print(f"rivetwright {__version__}")
        raise typer.Exit


@app.callback()
def top(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Version."),
    ] = False,
) -> None:
    """Take the options before any command."""


def run() -> None:
    """Run the command; a refusal is told on stderr and ends with 2."""
    try:
        app()
    except Refusal as refusal:
        told.print(str(refusal), markup=False, soft_wrap=True)
        sys.exit(2)
    except FileNotFoundError as missing:
        told.print(
            f"Open a file: found nothing at {missing.filename}. Allowed: a file that "
            "exists. Do: check the name and the folder.",
            markup=False,
        )
        sys.exit(2)
