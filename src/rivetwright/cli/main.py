"""The command `rivetwright`.

Exit codes: 0 nothing stops, 1 something stops, 2 refused.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Sequence
from enum import StrEnum
from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from rivetwright import __version__
from rivetwright.bench.demo import copy_demo
from rivetwright.bench.head_table import HeadTable
from rivetwright.bench.open import Project, open_folder, open_plans
from rivetwright.bench.result import result
from rivetwright.bench.result_form import result_schema
from rivetwright.bench.stock import Stock
from rivetwright.bench.workshop import Workshop
from rivetwright.cli.device_commands import devices
from rivetwright.cli.exchange_commands import export_plan, import_plan
from rivetwright.cli.forecast_commands import forecast
from rivetwright.cli.head_commands import heads
from rivetwright.cli.order_commands import order_instance
from rivetwright.cli.record_commands import record
from rivetwright.cli.revision_commands import compare
from rivetwright.cli.screen import REFUSED, progress_bar, refuse, results
from rivetwright.cli.set_up_commands import set_ups
from rivetwright.cli.shop_commands import air, tools
from rivetwright.cli.step_order_commands import step_order
from rivetwright.cli.stock_commands import stock
from rivetwright.cli.tables import (
    finding_groups,
    hole_table,
    print_findings,
    print_table,
    row_table,
    unit_system,
)
from rivetwright.cli.tonight_commands import tonight_command
from rivetwright.cli.words import counted, say
from rivetwright.cli.working import print_why
from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan
from rivetwright.errors import Refusal
from rivetwright.intake.schema import bulletin_schema, plan_schema, shop_schema
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import say_finding

PORT = 8765
DEMO = Path("examples/ostrel")
DEMO_COPY = Path("build/demo")
ADVICE = (
    "A home builder's riveting plan: every hole worked out, with the working. "
    "It advises; the kit's drawings, local rules and licensed people decide."
)

app = typer.Typer(
    name="rivetwright",
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help=ADVICE,
)
app.command(name="set-ups")(set_ups)
app.command(name="order")(step_order)
app.command(name="order-instance")(order_instance)
app.command()(tools)
app.command()(air)
app.command()(heads)
app.command()(stock)
app.command()(compare)
app.command(name="import")(import_plan)
app.command(name="export")(export_plan)
app.command()(forecast)
app.command(name="tonight")(tonight_command)
app.add_typer(record)
app.add_typer(devices)


class Paper(StrEnum):
    """Paper sizes that can be printed on."""

    LETTER = "letter"
    A4 = "a4"


class File(StrEnum):
    """Kinds of file that have a schema."""

    PLAN = "plan"
    SHOP = "shop"
    BULLETIN = "bulletin"
    RESULT = "result"


SCHEMAS = {
    File.PLAN: plan_schema,
    File.SHOP: shop_schema,
    File.BULLETIN: bulletin_schema,
    File.RESULT: result_schema,
}

Files = Annotated[
    list[Path],
    typer.Argument(help="Plan files, one per assembly.", metavar="FILE"),
]
OneFile = Annotated[Path, typer.Argument(help="A plan file.", metavar="FILE")]
Bulletins = Annotated[
    list[Path] | None,
    typer.Option(
        "--bulletin",
        metavar="FILE",
        help="Apply a bulletin first, to the assembly it names. May be repeated.",
    ),
]
ShopFile = Annotated[
    Path | None,
    typer.Option(
        "--shop", metavar="FILE", help="The shop file: which tools get there."
    ),
]
PaperSize = Annotated[
    Paper, typer.Option(help="Paper size: letter or a4.", metavar="SIZE")
]
Port = Annotated[
    int,
    typer.Option(
        help="Port; the next free one is taken.", metavar="PORT", min=0, max=65535
    ),
]


def _opened(
    files: list[Path], bulletins: list[Path] | None, shop: Path | None = None
) -> list[WorkedPlan]:
    """Read and work out, with a bar on a terminal."""
    with progress_bar() as progress:
        return open_plans(files, bulletins or (), progress, shop)


def _words(worked_plan: WorkedPlan, finding: Finding) -> dict[str, str]:
    """Sentences of a finding for the JSON."""
    words = say_finding(finding, unit_system(worked_plan))
    return {"found": words.found, "allowed": words.allowed, "do": words.do}


def _write_json(worked: list[WorkedPlan]) -> None:
    """One result, or a list of them where several plans were given."""
    made = [result(one, partial(_words, one)) for one in worked]
    _dump(made[0] if len(made) == 1 else made)


def _dump(value: object) -> None:
    """Write JSON on stdout, in letters that every terminal takes."""
    json.dump(value, sys.stdout, allow_nan=False)
    sys.stdout.write("\n")


def _show_plan(worked_plan: WorkedPlan, *, holes: bool, findings_only: bool) -> None:
    """One assembly on the terminal."""
    screen = results()
    plan = worked_plan.worked.plan
    title = say(
        "plan.title",
        project=plan.project.name,
        assembly=plan.name,
        revision=plan.revision,
        rows=counted("plan.row", len(plan.rows)),
        holes=counted("plan.hole", len(worked_plan.worked.holes)),
    )
    screen.print(title, style="bold", markup=False)
    if plan.project.note:
        screen.print(plan.project.note, markup=False)
    if not findings_only:
        table = hole_table if holes else row_table
        print_table(screen, table(worked_plan, screen.width))
    print_findings(screen, worked_plan)
    screen.print(f"\n{catalogue().word('caution', 'advice')}\n")


@app.command()
def plan(
    files: Files,
    as_json: Annotated[
        bool, typer.Option("--json", help="Write JSON, as docs/plan-result.md says.")
    ] = False,
    bulletin: Bulletins = None,
    holes: Annotated[
        bool, typer.Option("--holes", help="A line per hole instead of one per row.")
    ] = False,
    findings_only: Annotated[
        bool, typer.Option("--findings-only", help="The findings without the table.")
    ] = False,
    shop: ShopFile = None,
) -> None:
    """Work plans out: rows, findings, what to do.

    \b
    Examples:
      rivetwright plan examples/ostrel/aileron.yaml
      rivetwright plan aileron.yaml flap.yaml --findings-only
      rivetwright plan root-rib.yaml --bulletin sb-07.yaml --json

    Exit code 0: nothing stops; 1: something must not be set; 2: refused.
    """
    worked = _opened(files, bulletin, shop)
    if as_json:
        _write_json(worked)
    else:
        for one in worked:
            _show_plan(one, holes=holes, findings_only=findings_only)
    raise typer.Exit(int(any(one.stops for one in worked)))


@app.command()
def why(
    file: OneFile,
    hole: Annotated[
        str, typer.Argument(help="Row and number, such as A12:18.", metavar="HOLE")
    ],
    quantity: Annotated[
        str | None,
        typer.Argument(
            help="One quantity of docs/quantities.md; all of them when left out.",
            metavar="QUANTITY",
        ),
    ] = None,
    bulletin: Bulletins = None,
) -> None:
    """Print the working of everything known of one hole.

    \b
    Examples:
      rivetwright why examples/ostrel/aileron.yaml A11:5
      rivetwright why examples/ostrel/aileron.yaml A11:5 head_width_mm
    """
    (worked_plan,) = _opened([file], bulletin)
    index = worked_plan.worked.holes.index(hole)
    print_why(results(), worked_plan, index, quantity)


@app.command(name="print")
def print_pack(
    files: Files,
    out: Annotated[
        Path, typer.Option(help="Folder to write to.", metavar="FOLDER")
    ] = Path("print"),
    paper: PaperSize = Paper.LETTER,
    bulletin: Bulletins = None,
    shop: ShopFile = None,
) -> None:
    """Write hole maps, hole tables and findings as PDF; with a shop, its cards too.

    \b
    Example:
      rivetwright print examples/ostrel/flap.yaml --out print --paper a4
      rivetwright print flap.yaml --shop shop.yaml
    """
    for worked_plan in _opened(files, bulletin, shop):
        _print_one(worked_plan, out, paper)


def _print_one(worked_plan: WorkedPlan, out: Path, paper: Paper) -> None:
    """The pack of one assembly."""
    from rivetwright.paper import write_pack

    for path in write_pack(worked_plan, out, paper=paper.value):
        results().print(say("files.written", file=path), markup=False, soft_wrap=True)


@app.command()
def serve(
    folder: Annotated[
        Path, typer.Argument(help="Folder with plan files.", metavar="FOLDER")
    ] = Path("."),
    port: Port = PORT,
    lan: Annotated[
        bool, typer.Option("--lan", help="Let the workshop network in; show a code.")
    ] = False,
    https: Annotated[
        bool,
        typer.Option("--https", help="The same, encrypted with a certificate of ours."),
    ] = False,
    database: Annotated[
        str,
        typer.Option(
            help="Address of a PostgreSQL database for the record.", metavar="URL"
        ),
    ] = "",
) -> None:
    """Serve a folder's plans to this machine's browser, on 127.0.0.1 alone.

    Phones come in only when they are let in: with --lan, or on the page Devices.

    \b
    Examples:
      rivetwright serve examples/ostrel
      rivetwright serve build/demo --lan
    """
    from rivetwright.paper import typeset
    from rivetwright.web.serve import serve as serve_web

    def pack_bytes(worked_plan: WorkedPlan, *, paper: str, heads: HeadTable) -> bytes:
        return typeset(worked_plan, Paper(paper).value, heads)

    serve_web(
        folder, port, pack_bytes=pack_bytes, lan=lan, https=https, database=database
    )


@app.command()
def demo(
    folder: Annotated[
        Path | None,
        typer.Option(
            help="Folder with plan files; left out, the demo is copied to "
            f"{DEMO_COPY} and taken from there.",
            metavar="FOLDER",
            show_default=False,
        ),
    ] = None,
    examples: Annotated[
        Path, typer.Option("--from", help="The demo to copy.", metavar="FOLDER")
    ] = DEMO,
    out: Annotated[
        Path, typer.Option(help="Folder to print to.", metavar="FOLDER")
    ] = Path("build/print"),
    paper: PaperSize = Paper.LETTER,
    no_serve: Annotated[
        bool, typer.Option("--no-serve", help="Stop after printing.")
    ] = False,
    port: Port = PORT,
) -> None:
    """Work the demo out, print it, and serve it. The demo is invented."""
    if folder is None:
        folder = DEMO_COPY
        copy_demo(examples, folder)
        _begin(folder)
    with progress_bar() as progress:
        project = open_folder(folder, progress)
    _summary(project)
    for assembly in project.assemblies:
        _print_one(assembly.worked_plan, out, paper)
    if not no_serve:
        serve(folder, port)


def _begin(folder: Path) -> None:
    """Begin the demo's record: what its log says becomes facts."""
    workshop = Workshop(folder)
    try:
        workshop.begin()
        facts = counted("record.fact", workshop.position())
        results().print(say("record.of_demo", facts=facts), markup=False)
    finally:
        workshop.close()


def _summary(project: Project) -> None:
    """What was found in a folder, a line per assembly."""
    screen = results()
    screen.print(project.name, style="bold", markup=False)
    for note in {
        one.worked_plan.worked.plan.project.note for one in project.assemblies
    }:
        screen.print(note, markup=False)
    for assembly in project.assemblies:
        groups = finding_groups(assembly.worked_plan)
        counts = ", ".join(
            f"{sum(len(f.holes) for g in found for f in g)} {severity}"
            for severity, found in groups.items()
        )
        holes = counted("plan.hole", len(assembly.worked_plan.worked.holes))
        line = say("demo.assembly", assembly=assembly.key, holes=holes, counts=counts)
        screen.print(f"  {line}", markup=False)
    for refusal in project.refused:
        refuse(refusal)


@app.command()
def schema(
    kind: Annotated[
        File,
        typer.Argument(help="plan, shop, bulletin or result.", metavar="KIND"),
    ] = File.PLAN,
) -> None:
    """Print the JSON Schema of a file that is written or read.

    \b
    Example:
      rivetwright schema result
    """
    _dump(SCHEMAS[kind]())


def _order_list(stock: Stock) -> bytes:
    """The order list as PDF, for the command about stock."""
    from rivetwright.paper.order_list import order_list

    return order_list(stock)


@app.callback(invoke_without_command=True)
def top(
    context: typer.Context,
    version: Annotated[
        bool, typer.Option("--version", help="Print the version and stop.")
    ] = False,
) -> None:
    """Take the options before any command; without one, print this help."""
    context.obj = _order_list
    if version:
        results().print(f"rivetwright {__version__}")
        raise typer.Exit
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())


# How the library of the command line begins to tell of a value it does not take.
_PREAMBLE = re.compile(r"^\w+ value for |\bValue \w+, ")


def _misused(problem: typer.TyperException) -> Refusal:
    """A command that was not understood, told as any other refusal."""
    said = _PREAMBLE.sub("", problem.format_message()).rstrip(".")
    context = getattr(problem, "ctx", None)
    path = context.command_path if context else "rivetwright"
    return Refusal(
        asked="read the command",
        found=said[:1].lower() + said[1:],
        allowed=f"what {path} --help names",
        do=f"run {path} --help",
    )


def run(arguments: Sequence[str] | None = None) -> None:
    """Run the command; a refusal is told on stderr and ends with 2."""
    given = None if arguments is None else list(arguments)
    try:
        sys.exit(app(given, prog_name="rivetwright", standalone_mode=False) or 0)
    except typer.TyperException as problem:
        refuse(_misused(problem))
    except Refusal as refusal:
        refuse(refusal)
    except OSError as problem:
        refuse(_lost(problem))
    sys.exit(REFUSED)


def _lost(problem: OSError) -> Refusal:
    """A file that cannot be written or read."""
    return Refusal(
        asked="use a file",
        found=f"{problem.filename}: {problem.strerror}",
        allowed="a file and folder that this program may use",
        do="check the name, the folder and the rights",
    )
