"""Tables of the terminal: rows of an assembly, single holes, findings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from rich.console import Console
from rich.text import Text

from rivetwright.cli.columns import NOTHING, Column, Laid, hanging, lay_out
from rivetwright.cli.words import say
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
    return least if least == most else say("table.spread", least=least, most=most)


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


@dataclass(frozen=True)
class _Lines:
    """The lines of the row table, each for a run of holes that are alike."""

    worked_plan: WorkedPlan
    runs: Sequence[range]

    def cells(self, of: Callable[[WorkedPlan, range], str]) -> list[str]:
        """One text a line."""
        return [of(self.worked_plan, run) for run in self.runs]

    def figures(self, name: str) -> list[str]:
        """A figure that all holes of a line share."""
        return self.cells(lambda plan, run: figure(plan, name, run.start))

    def spread(self, name: str) -> list[str]:
        """A figure that differs from hole to hole."""
        return self.cells(lambda plan, run: _spread(plan, name, run))


def row_table(worked_plan: WorkedPlan, width: int) -> Laid:
    """One line per row, or part of a row whose holes get something else."""
    unit = unit_system(worked_plan)
    lines = _Lines(worked_plan, like_holes(worked_plan))
    codes = _codes_of_holes(worked_plan)
    cells, figures, spread = lines.cells, lines.figures, lines.spread
    legal = figures("legal_length_codes")
    listed = [_listed(codes, run) for run in lines.runs]
    return lay_out(
        (
            Column(say("heading.holes"), cells(holes_words)),
            Column(say("heading.callout"), cells(_callout)),
            Column(
                say("heading.grip", unit=unit), figures("grip_mm"), right=True, goes=7
            ),
            Column(say("heading.wants"), cells(lambda p, run: _wants(p, run.start))),
            Column(say("heading.legal"), legal, narrow=9, goes=3),
            Column(
                say("heading.head", unit=unit),
                cells(lambda p, run: _head(p, run.start)),
                goes=2,
            ),
            Column(say("heading.edge"), spread("edge_ratio"), right=True, goes=5),
            Column(say("heading.pitch"), spread("pitch_ratio"), right=True, goes=4),
            Column(say("heading.step"), cells(_step), goes=1),
            Column(say("heading.state"), cells(_states), narrow=11, goes=6),
            Column(say("heading.finding"), listed, narrow=9),
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
            Column(say("heading.hole"), [holes.name(hole) for hole in every]),
            Column(
                say("heading.callout"), [str(holes.callout(hole)) for hole in every]
            ),
            Column(say("heading.grip", unit=unit), figures("grip_mm"), right=True),
            Column(say("heading.wants"), [_wants(worked_plan, hole) for hole in every]),
            Column(
                say("heading.u", unit=unit), figures("place_u_mm"), right=True, goes=3
            ),
            Column(
                say("heading.v", unit=unit), figures("place_v_mm"), right=True, goes=4
            ),
            Column(say("heading.edge"), figures("edge_ratio"), right=True, goes=6),
            Column(say("heading.pitch"), figures("pitch_ratio"), right=True, goes=5),
            Column(say("heading.stack"), figures("used_stack"), narrow=20, goes=1),
            Column(
                say("heading.state"), [_state(holes.state(h)) for h in every], goes=2
            ),
            Column(
                say("heading.finding"), [_listed(codes, [h]) for h in every], narrow=9
            ),
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
    height = figure(worked_plan, "head_height_aim_mm", hole)
    return say("table.head", width=width, height=height)


def _callout(worked_plan: WorkedPlan, holes: range) -> str:
    """What is set at some like holes."""
    return str(worked_plan.worked.holes.callout(holes.start))


def _step(worked_plan: WorkedPlan, holes: range) -> str:
    """The step in which some like holes are set."""
    step = int(worked_plan.worked.holes.step[holes.start])
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
        *(
            hanging(f"  {say(f'finding.{label}')}", text, width, indent=LABEL + 2)
            for label, text in (
                ("found", words.found),
                ("allowed", f"{words.allowed} [{words.source}]"),
                ("do", words.do),
            )
        ),
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
        left_out = say("table.left_out", names=", ".join(laid.left_out))
        console.print(left_out, soft_wrap=True)


def print_findings(console: Console, worked_plan: WorkedPlan) -> None:
    """All findings, grouped by severity, stops first."""
    words = catalogue()
    grouped = finding_groups(worked_plan)
    if not grouped[Severity.STOP] and not grouped[Severity.CHECK]:
        console.print(f"\n{words.word('plan', 'nothing_found')}")
    for severity, groups in grouped.items():
        if groups:
            means = words.word("severity_means", severity)
            head = f"{words.word('severity', severity).upper()}: {means}"
            console.print()
            console.print(Text(head, style=STYLES[severity]))
        for findings in groups:
            block = finding_block(worked_plan, findings, console.width)
            console.print(block, soft_wrap=True)
