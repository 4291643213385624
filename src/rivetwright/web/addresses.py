"""Addresses of the pages, and holes as the pages write them."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import quote, urlencode

from rivetwright.bench.open import Assembly
from rivetwright.bench.set_ups import can_be_squeezed
from rivetwright.engines.checks import Finding
from rivetwright.engines.order.setting import SetBy
from rivetwright.engines.plan import WorkedPlan
from rivetwright.model.plan import HoleRange


def assembly_address(key: str, **asked: str | int | None) -> str:
    """The page of an assembly, with what is chosen on it."""
    chosen = {name: value for name, value in asked.items() if value}
    tail = f"?{urlencode(chosen)}" if chosen else ""
    return f"/assembly/{quote(key, safe='')}{tail}"


def bench_address(key: str, **asked: str | int | None) -> str:
    """The bench screen of an assembly, at a step and a screen of it."""
    return assembly_address(key, **asked).replace("/assembly/", "/bench/", 1)


def lit_css_address(key: str, page_address: str) -> str:
    """The style that lights what a page's address means, for want of a script."""
    return f"/assembly/{quote(key, safe='')}/lit.css?{page_address.partition('?')[2]}"


def hole_address(key: str, hole: str) -> str:
    """The page of one hole."""
    return f"/assembly/{quote(key, safe='')}/hole/{quote(hole, safe=':')}"


def set_ups_address(key: str) -> str:
    """The list of an assembly's set-ups."""
    return f"{assembly_address(key)}/set-ups"


def set_up_address(key: str, hole: str, **asked: str) -> str:
    """The card of a hole's set-up, with squeezer, yoke and what is on the tool now."""
    chosen = {name: value for name, value in asked.items() if value}
    tail = f"?{urlencode(chosen)}" if chosen else ""
    return f"{assembly_address(key)}/set-up/{quote(hole, safe=':')}{tail}"


def set_up_way(assembly: Assembly, hole: int) -> str:
    """The card of a hole's set-up; empty where no squeezer of the shop takes it."""
    if not can_be_squeezed(assembly.worked_plan, hole):
        return ""
    name = assembly.worked_plan.worked.holes.name(hole)
    return set_up_address(assembly.key, name)


def gap_asked(way: SetBy) -> str:
    """The gap of a way of setting as its card is asked for it; empty for none."""
    return "" if way.gap_mm is None else f"{way.gap_mm:.3f}"


def dimple_address(key: str, hole: str, part: str, **asked: str) -> str:
    """The card of the set-up that dimples a part at a hole."""
    chosen = {name: value for name, value in asked.items() if value}
    tail = f"?{urlencode(chosen)}" if chosen else ""
    at = f"{quote(hole, safe=':')}/{quote(part, safe='')}"
    return f"{assembly_address(key)}/dimpling/{at}{tail}"


def order_address(key: str, step: str = "", **asked: str) -> str:
    """The order of a step, or of all of them."""
    tail = f"?{urlencode(asked)}" if asked else ""
    at = f"/{quote(step, safe='')}" if step else ""
    return f"{assembly_address(key)}/order{at}{tail}"


def holders_address(key: str, step: str = "") -> str:
    """Where sheet holders go: for match-drilling, or from a step on."""
    tail = f"?{urlencode({'step': step})}" if step else ""
    return f"{assembly_address(key)}/holders{tail}"


def revision_address(key: str) -> str:
    """Two revisions of an assembly compared."""
    return f"/revision/{quote(key, safe='')}"


def stock_address(code: str) -> str:
    """The stock of one code."""
    return f"/stock/code/{quote(code, safe='')}"


def tonight_address(**asked: str) -> str:
    """What can be done at one time at the bench, and what the rest waits for."""
    chosen = {name: value for name, value in asked.items() if value}
    return f"/tonight?{urlencode(chosen)}" if chosen else "/tonight"


def row_tools_address(key: str) -> str:
    """The tools of every row of an assembly."""
    return f"{assembly_address(key)}/tools"


def gun_address(key: str, hole: str, way: str = "", figure: str = "") -> str:
    """The gun and bar card of a hole by a way, or the working of a figure of it."""
    tail = f"?{urlencode({'way': way})}" if way else ""
    why = f"/why/{figure}" if figure else ""
    return f"{assembly_address(key)}/gun/{quote(hole, safe=':')}{why}{tail}"


def heads_address(key: str) -> str:
    """All heads of an assembly, and what they teach."""
    return f"{assembly_address(key)}/heads"


def heads_due_address(key: str) -> str:
    """The heads of an assembly that are to be measured now."""
    return f"{bench_address(key)}/heads"


def head_address(key: str, hole: str, page: str = "", **asked: str) -> str:
    """The check of a hole's head at the bench, or another page of it."""
    chosen = {name: value for name, value in asked.items() if value}
    tail = f"?{urlencode(chosen)}" if chosen else ""
    at = f"{bench_address(key)}/head/{quote(hole, safe=':')}"
    return f"{at}/{page}{tail}" if page else f"{at}{tail}"


def why_address(key: str, hole: str, quantity: str) -> str:
    """The working of one figure of a hole."""
    return f"{hole_address(key, hole)}/why/{quantity}"


def lit_address(assembly: Assembly, finding: Finding) -> str:
    """The page that lights the holes of a finding, on the face of the first of them."""
    holes = assembly.worked_plan.worked.holes
    face = holes.row_of(finding.holes[0]).face
    lit = finding_key(assembly.worked_plan, finding)
    return assembly_address(assembly.key, face=face, lit=lit) + "#map"


def finding_key(worked_plan: WorkedPlan, finding: Finding) -> str:
    """A name for one finding: its code and its first hole."""
    return f"{finding.code} {worked_plan.worked.holes.name(finding.holes[0])}"


def hole_ranges(worked_plan: WorkedPlan, holes: Iterable[int]) -> list[HoleRange]:
    """Holes gathered into ranges of neighbours in number, row by row."""
    columns = worked_plan.worked.holes
    ranges: list[HoleRange] = []
    for hole in sorted(holes):
        row, number = columns.row_of(hole).name, int(columns.number[hole])
        last = ranges[-1] if ranges else None
        if last and last.row == row and last.last + 1 == number:
            ranges[-1] = HoleRange(row, last.first, number)
        else:
            ranges.append(HoleRange(row, number, number))
    return ranges


def hole_words(worked_plan: WorkedPlan, holes: Iterable[int]) -> str:
    """Holes as a person reads them: `A11:1-17, A11:19-36`."""
    return ", ".join(str(one) for one in hole_ranges(worked_plan, holes))
