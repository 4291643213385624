"""Tables of the terminal: rows of an assembly, single holes, findings."""

from __future__ import annotations

from collections import Counter

from rich.console import Console, Group, RenderableType
from rich.table import Table
from rich.text import Text

from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.severity import Severity
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import System, say_finding, say_value

STYLES = {Severity.STOP: "bold reverse", Severity.CHECK: "bold", Severity.NOTE: "dim"}
NAMES_SHOWN = 4


def unit_system(worked_plan: WorkedPlan) -> System:
    """The unit the plan is written in."""
    return "mm" if worked_plan.worked.plan.unit == "mm" else "in"


def holes_words(worked_plan: WorkedPlan, holes: tuple[int, ...]) -> str:
    """Holes of one row as ranges: `A12:18-20, 37`."""
    columns = worked_plan.worked.holes
    numbers = [int(columns.number[hole]) for hole in holes]
    spans: list[list[int]] = []
    for number in numbers:
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    words = [f"{a}" if a == b else f"{a}-{b}" for a, b in spans]
    return f"{columns.row_of(holes[0]).name}:{', '.join(words)}"


def _said(worked_plan: WorkedPlan, name: str, hole: int) -> str:
    """One figure in the plan's unit, without its unit: the heading says it."""
    value = worked_plan.worked.at(name, hole)
    value = value if isinstance(value, str) else float(value)
    said = str(say_value(name, value, unit_system(worked_plan)))
    return said.removesuffix(" in").removesuffix(" mm").removesuffix(" D")


def _range(worked_plan: WorkedPlan, name: str, holes: range) -> str:
    """The least and the most of a figure over a row; one figure where equal."""
    column = worked_plan.worked.of_holes(name)[holes.start : holes.stop]
    known = [k for k in range(len(column)) if column[k] == column[k]]
    if not known:
        return "-"
    least = min(known, key=lambda k: column[k])
    most = max(known, key=lambda k: column[k])
    ends = [_said(worked_plan, name, holes.start + k) for k in (least, most)]
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


def _groups(worked_plan: WorkedPlan) -> list[range]:
    """Runs of holes of one row that share a class: one line of the table each."""
    holes, class_of = worked_plan.worked.holes, worked_plan.worked.stacks.class_of
    runs: list[range] = []
    for hole in range(len(holes)):
        same = (
            runs
            and holes.row[hole] == holes.row[hole - 1]
            and class_of[hole] == class_of[hole - 1]
        )
        if same:
            runs[-1] = range(runs[-1].start, hole + 1)
        else:
            runs.append(range(hole, hole + 1))
    return runs


def row_table(worked_plan: WorkedPlan) -> Table:
    """One line per row, or part of a row whose holes get something else."""
    worked = worked_plan.worked
    unit = unit_system(worked_plan)
    table = Table(box=None, pad_edge=False, header_style="bold")
    for head, justify in (
        ("Holes", "left"),
        ("Callout", "left"),
        (f"Grip {unit}", "right"),
        ("Wants", "right"),
        ("Legal", "left"),
        (f"Head {unit}", "left"),
        ("Edge D", "right"),
        ("Pitch D", "right"),
        ("Step", "left"),
        ("State", "left"),
        ("Finding", "left"),
    ):
        table.add_column(head, justify=justify, no_wrap=head == "Holes")  # type: ignore[arg-type]
    codes = _codes_of_holes(worked_plan)
    for run in _groups(worked_plan):
        first = run.start
        states = Counter(worked.holes.state(hole) for hole in run)
        found = dict.fromkeys(code for hole in run for code in codes.get(hole, ()))
        step = int(worked.holes.step[first])
        blind = _said(worked_plan, "wanted_blind_code", first)
        wants = _said(worked_plan, "wanted_length_16ths", first)
        table.add_row(
            holes_words(worked_plan, tuple(run)),
            str(worked.holes.callout(first)),
            _said(worked_plan, "grip_mm", first),
            f"-{wants}" if wants != "-" else blind,
            _said(worked_plan, "legal_length_codes", first),
            _head(worked_plan, first),
            _range(worked_plan, "edge_ratio", run),
            _range(worked_plan, "pitch_ratio", run),
            worked.plan.steps[step].name if step >= 0 else "-",
            ", ".join(f"{n} {_state(state)}" for state, n in states.items()),
            ", ".join(found),
        )
    return table


def _head(worked_plan: WorkedPlan, hole: int) -> str:
    """Expected shop head: width and height."""
    width = _said(worked_plan, "head_width_mm", hole)
    if width == "-":
        return width
    return f"{width} x {_said(worked_plan, 'head_height_aim_mm', hole)}"


def _state(state: str) -> str:
    """A state in words."""
    return catalogue().word("state", state)


def _codes_of_holes(worked_plan: WorkedPlan) -> dict[int, list[str]]:
    """Finding codes at each hole, notes left out."""
    codes: dict[int, list[str]] = {}
    for finding in worked_plan.findings:
        if finding.severity is not Severity.NOTE:
            for hole in finding.holes:
                codes.setdefault(hole, []).append(finding.code)
    return codes


def hole_table(worked_plan: WorkedPlan) -> Table:
    """One line per hole."""
    unit = unit_system(worked_plan)
    table = Table(box=None, pad_edge=False, header_style="bold")
    names = ("place_u_mm", "place_v_mm", "grip_mm", "edge_ratio", "pitch_ratio")
    heads = (f"u {unit}", f"v {unit}", f"Grip {unit}", "Edge D", "Pitch D")
    table.add_column("Hole")
    for head in heads:
        table.add_column(head, justify="right")
    table.add_column("Callout")
    table.add_column("Stack")
    table.add_column("State")
    worked = worked_plan.worked
    for hole in range(len(worked.holes)):
        table.add_row(
            worked.holes.name(hole),
            *(_said(worked_plan, name, hole) for name in names),
            str(worked.holes.callout(hole)),
            str(worked.at("used_stack", hole)),
            _state(worked.holes.state(hole)),
        )
    return table


def finding_block(worked_plan: WorkedPlan, findings: list[Finding]) -> RenderableType:
    """Findings that read the same, with all their holes."""
    words = say_finding(findings[0], unit_system(worked_plan))
    where = "; ".join(holes_words(worked_plan, f.holes) for f in findings)
    head = Text.assemble(
        (f"{findings[0].code} ", STYLES[findings[0].severity]),
        f"{where}: {words.title}",
    )
    lines = (
        f"found    {words.found}",
        f"allowed  {words.allowed} [{words.source}]",
        f"do       {words.do}",
    )
    body = Table.grid(padding=(0, 0, 0, 4))
    body.add_column()
    for line in lines:
        body.add_row(Text(line))
    return Group(head, body)


def finding_groups(worked_plan: WorkedPlan) -> dict[Severity, list[list[Finding]]]:
    """Findings by severity, those that read the same together."""
    groups: dict[Severity, dict[tuple[str, ...], list[Finding]]] = {
        severity: {} for severity in Severity
    }
    system = unit_system(worked_plan)
    for finding in worked_plan.findings:
        words = say_finding(finding, system)
        key = (finding.code, words.found, words.allowed)
        groups[finding.severity].setdefault(key, []).append(finding)
    return {severity: list(found.values()) for severity, found in groups.items()}


def print_findings(console: Console, worked_plan: WorkedPlan) -> None:
    """All findings, grouped by severity, stops first."""
    for severity, groups in finding_groups(worked_plan).items():
        if groups:
            means = catalogue().word("severity_means", severity)
            word = catalogue().word("severity", severity)
            console.print(Text(f"\n{word.upper()}: {means}", style=STYLES[severity]))
        for findings in groups:
            console.print(finding_block(worked_plan, findings))
