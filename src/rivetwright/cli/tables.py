"""Tables of the terminal: rows of an assembly, single holes, findings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache

from rich.console import Console
from rich.text import Text

from rivetwright.cli.columns import NOTHING, Column, Laid, hanging, lay_out
from rivetwright.engines.checks import Finding
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.severity import Severity
from rivetwright.texts.catalogue import catalogue
from rivetwright.texts.say import System, say_finding, say_value

STYLES = {Severity.STOP: "bold reverse", Severity.CHECK: "bold", Severity.NOTE: ""}
LABEL = 9
UNITS_IN_HEADINGS = (" in", " mm", " D")
FIGURES_KEPT = 65536


def unit_system(worked_plan: WorkedPlan) -> System:
    """The unit the plan is written in."""
    return "mm" if worked_plan.worked.plan.unit == "mm" else "in"


def holes_words(worked_plan: WorkedPlan, holes: Sequence[int]) -> str:
    """Holes of one row as ranges: `A12:18-20, 37`."""
    columns = worked_plan.worked.holes
    spans: list[list[int]] = []
    for hole in holes:
        # Neighbours in the row are a range, also where the numbers leave a gap.
        if spans and hole == spans[-1][1] + 1:
            spans[-1][1] = hole
        else:
            spans.append([hole, hole])
    numbers = [[int(columns.number[hole]) for hole in span] for span in spans]
    words = [f"{a}" if a == b else f"{a}-{b}" for a, b in numbers]
    return f"{columns.row_of(holes[0]).name}:{', '.join(words)}"


@lru_cache(maxsize=FIGURES_KEPT)
def _written(name: str, value: float | str, system: System) -> str:
    """A figure without its unit: the heading says it."""
    said = str(say_value(name, value, system))
    for unit in UNITS_IN_HEADINGS:
        said = said.removesuffix(unit)
    return said or NOTHING


def figure(worked_plan: WorkedPlan, name: str, hole: int) -> str:
    """One figure of a hole in the plan's unit, without the unit."""
    value = worked_plan.worked.at(name, hole)
    value = value if isinstance(value, str) else float(value)
    return _written(name, value, unit_system(worked_plan))


def _spread(worked_plan: WorkedPlan, name: str, holes: range) -> str:
    """The least and the most of a figure over a row; one figure where equal."""
    column = worked_plan.worked.of_holes(name)[holes.start : holes.stop]
    known = [float(value) for value in column if value == value]
    if not known:
        return NOTHING
    system = unit_system(worked_plan)
    least, most = (_written(name, end(known), system) for end in (min, max))
    return least if least == most else f"{least} to {most}"


def like_holes(worked_plan: WorkedPlan) -> list[range]:
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


def row_table(worked_plan: WorkedPlan, width: int) -> Laid:
    """One line per row, or part of a row whose holes get something else."""
    unit = unit_system(worked_plan)
    runs = like_holes(worked_plan)
    codes = _codes_of_holes(worked_plan)
    holes = worked_plan.worked.holes

    def cells(say: Callable[[range], str]) -> list[str]:
        return [say(run) for run in runs]

    def figures(name: str) -> list[str]:
        return cells(lambda run: figure(worked_plan, name, run.start))

    def spread(name: str) -> list[str]:
        return cells(lambda run: _spread(worked_plan, name, run))

    return lay_out(
        (
            Column("Holes", cells(lambda run: holes_words(worked_plan, run))),
            Column("Callout", cells(lambda run: str(holes.callout(run.start)))),
            Column(f"Grip {unit}", figures("grip_mm"), right=True, goes=7),
            Column("Wants", cells(lambda run: _wants(worked_plan, run.start))),
            Column("Legal", figures("legal_length_codes"), narrow=9, goes=3),
            Column(
                f"Head {unit}", cells(lambda run: _head(worked_plan, run.start)), goes=2
            ),
            Column("Edge D", spread("edge_ratio"), right=True, goes=5),
            Column("Pitch D", spread("pitch_ratio"), right=True, goes=4),
            Column("Step", cells(lambda run: _step(worked_plan, run.start)), goes=1),
            Column(
                "State", cells(lambda run: _states(worked_plan, run)), narrow=11, goes=6
            ),
            Column("Finding", cells(lambda run: _listed(codes, run)), narrow=9),
        ),
        width,
    )


def hole_table(worked_plan: WorkedPlan, width: int) -> Laid:
    """One line per hole."""
    unit = unit_system(worked_plan)
    holes = worked_plan.worked.holes
    every = range(len(holes))
    codes = _codes_of_holes(worked_plan)

    def figures(name: str) -> list[str]:
        return [figure(worked_plan, name, hole) for hole in every]

    return lay_out(
        (
            Column("Hole", [holes.name(hole) for hole in every]),
            Column("Callout", [str(holes.callout(hole)) for hole in every]),
            Column(f"Grip {unit}", figures("grip_mm"), right=True),
            Column("Wants", [_wants(worked_plan, hole) for hole in every]),
            Column(f"u {unit}", figures("place_u_mm"), right=True, goes=3),
            Column(f"v {unit}", figures("place_v_mm"), right=True, goes=4),
            Column("Edge D", figures("edge_ratio"), right=True, goes=6),
            Column("Pitch D", figures("pitch_ratio"), right=True, goes=5),
            Column("Stack", figures("used_stack"), narrow=20, goes=1),
            Column("State", [_state(holes.state(h)) for h in every], goes=2),
            Column("Finding", [_listed(codes, [h]) for h in every], narrow=9),
        ),
        width,
    )


def _wants(worked_plan: WorkedPlan, hole: int) -> str:
    """Length code by the handbook, or the blind code that holds the grip."""
    wants = figure(worked_plan, "wanted_length_16ths", hole)
    if wants != NOTHING:
        return f"-{wants}"
    return figure(worked_plan, "wanted_blind_code", hole)


def _head(worked_plan: WorkedPlan, hole: int) -> str:
    """Expected shop head: width and height."""
    width = figure(worked_plan, "head_width_mm", hole)
    if width == NOTHING:
        return width
    return f"{width} x {figure(worked_plan, 'head_height_aim_mm', hole)}"


def _step(worked_plan: WorkedPlan, hole: int) -> str:
    """The step in which a hole is set."""
    step = int(worked_plan.worked.holes.step[hole])
    return worked_plan.worked.plan.steps[step].name if step >= 0 else NOTHING


def _state(state: str) -> str:
    """A state in words."""
    return catalogue().word("state", state)


def _states(worked_plan: WorkedPlan, holes: Iterable[int]) -> str:
    """How many holes stand how: `7 drilled, 1 on hold`."""
    states = Counter(worked_plan.worked.holes.state(hole) for hole in holes)
    return ", ".join(f"{count} {_state(state)}" for state, count in states.items())


def _codes_of_holes(worked_plan: WorkedPlan) -> dict[int, list[str]]:
    """Finding codes at each hole, notes left out."""
    codes: dict[int, list[str]] = {}
    for finding in worked_plan.findings:
        if finding.severity is not Severity.NOTE:
            for hole in finding.holes:
                codes.setdefault(hole, []).append(finding.code)
    return codes


def _listed(codes: dict[int, list[str]], holes: Iterable[int]) -> str:
    """Codes at some holes, each once."""
    return ", ".join(dict.fromkeys(code for h in holes for code in codes.get(h, ())))


def finding_block(
    worked_plan: WorkedPlan, findings: Sequence[Finding], width: int
) -> Text:
    """Findings that read the same, with all their holes."""
    words = say_finding(findings[0], unit_system(worked_plan))
    where = "; ".join(holes_words(worked_plan, f.holes) for f in findings)
    code = findings[0].code
    lines = [
        hanging(f"{code} ", f"{where}: {words.title}", width, indent=len(code) + 1),
        hanging("  found", words.found, width, indent=LABEL + 2),
        hanging(
            "  allowed", f"{words.allowed} [{words.source}]", width, indent=LABEL + 2
        ),
        hanging("  do", words.do, width, indent=LABEL + 2),
    ]
    block = Text("\n".join(lines))
    block.stylize(STYLES[findings[0].severity], 0, len(code))
    return block


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


def print_table(console: Console, laid: Laid) -> None:
    """A table, its heading set off, and what found no room beside it."""
    heading, *lines = laid.lines
    console.print(Text(heading, style="bold"), soft_wrap=True)
    if lines:
        console.print(Text("\n".join(lines)), soft_wrap=True)
    if laid.left_out:
        left_out = ", ".join(laid.left_out)
        console.print(f"(in a wider window also: {left_out})", soft_wrap=True)


def print_findings(console: Console, worked_plan: WorkedPlan) -> None:
    """All findings, grouped by severity, stops first."""
    words = catalogue()
    for severity, groups in finding_groups(worked_plan).items():
        if groups:
            means = words.word("severity_means", severity)
            head = f"{words.word('severity', severity).upper()}: {means}"
            console.print()
            console.print(Text(head, style=STYLES[severity]))
        for findings in groups:
            block = finding_block(worked_plan, findings, console.width)
            console.print(block, soft_wrap=True)
    if not worked_plan.findings:
        console.print(f"\n{words.word('plan', 'nothing_found')}")
