"""How much the length verdicts hang on the tolerances chosen in engines/head.py.

Run `python design/length_window.py` to print the tables of length_window.md. Every
case is worked out by the package first; then one chosen figure at a time is changed
and the verdict taken again. At the chosen figures both must agree.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from rivetwright.engines import head
from rivetwright.engines.plan import work_out
from rivetwright.engines.worked import Worked
from rivetwright.model.pattern import Counted
from rivetwright.model.plan import Part, Plan, Project, Row, Sheet
from rivetwright.model.step import Step
from rivetwright.standards.codes import parse_rivet_code

IN = 25.4


@dataclass(frozen=True)
class Case:
    """A rivet in a stack: sheets [in], all prepared alike."""

    title: str
    code: str
    sheets_in: tuple[float, ...]
    preparation: str = "plain"


CASES = (
    Case("short by one size", "MS20426AD3-2.5", (0.025, 0.020, 0.025), "dimple"),
    Case("the same, right", "MS20426AD3-3.5", (0.025, 0.020, 0.025), "dimple"),
    Case("two dimpled skins", "MS20426AD3-3", (0.020, 0.025), "dimple"),
    Case("two dimpled, short", "MS20426AD3-2.5", (0.020, 0.025), "dimple"),
    Case("bracket, short", "MS20470AD4-4.5", (0.040, 0.025, 0.090)),
    Case("bracket, handbook", "MS20470AD4-5.5", (0.040, 0.025, 0.090)),
    Case("thin, long", "MS20470AD4-5", (0.032, 0.032)),
    Case("thick spar", "MS20470AD5-9", (0.125, 0.125, 0.063)),
)


@dataclass(frozen=True)
class Figures:
    """What was chosen: lengths [in], share of the stand-off range, way to combine."""

    length: float = head.LENGTH_TOLERANCE_MM / IN
    shank_over: float = head.SHANK_OVER_MM / IN
    shank_under: float = head.SHANK_UNDER_MM / IN
    growth: float = 0.006
    stand_off_share: float = 0.5
    over_driven: float = head.OVER_DRIVEN_D
    is_worst_case: bool = False


CHOSEN = Figures()
CHANGES = {
    "as chosen": CHOSEN,
    "length +-.010": replace(CHOSEN, length=0.010),
    "length exact": replace(CHOSEN, length=0.0),
    "shank exact": replace(CHOSEN, shank_over=0.0, shank_under=0.0),
    "hole +0": replace(CHOSEN, growth=0.0),
    "hole +.012": replace(CHOSEN, growth=0.012),
    "stand-off least": replace(CHOSEN, stand_off_share=0.0),
    "stand-off most": replace(CHOSEN, stand_off_share=1.0),
    "all at their worst": replace(CHOSEN, is_worst_case=True),
    "over-driven 1.65 D": replace(CHOSEN, over_driven=1.65),
}


def worked_case(case: Case) -> Worked:
    """One hole with this stack and rivet, worked out by the package."""
    parts = [Part(f"{k}", "sheet", t * IN) for k, t in enumerate(case.sheets_in)]
    stack = tuple(Sheet(part.name, case.preparation) for part in parts)
    code = parse_rivet_code(case.code)
    row = Row("id", "R1", code, Counted(1), "1", stack=stack)
    project = Project("id", "study")
    plan = Plan("s", "s", project, "in", tuple(parts), (), (row,), (Step("1", "set"),))
    return work_out(plan).worked


def volumes(worked: Worked, figures: Figures) -> tuple[float, float, float]:
    """Metal for the head in pi/4 D^3: named, least and most, with these figures."""

    def inches(name: str) -> float:
        return float(worked.at(name, 0)) / IN

    d, grip = inches("shank_diameter_mm"), inches("grip_mm")
    low, high = inches("stand_off_low_mm"), inches("stand_off_high_mm")
    stand = low + figures.stand_off_share * (high - low)
    drilled = inches("hole_diameter_mm")
    growth = figures.growth if worked.at("dimple_count", 0) else figures.growth / 2
    hole = drilled + growth / 2
    out = inches("length_mm") - grip - stand
    named = out / d - ((hole / d) ** 2 - 1) * grip / d
    fixed = (
        figures.length / d,
        (stand - low) / d,
        2 * hole * (hole - drilled) * grip / d**3,
    )
    spreads = [
        (*fixed, 2 * (out + grip) * shank / d**2)
        for shank in (figures.shank_under, figures.shank_over)
    ]
    combine = math.fsum if figures.is_worst_case else lambda parts: math.hypot(*parts)
    under, over = (combine(parts) for parts in spreads)
    return named, named - under, named + over


def verdict(worked: Worked, figures: Figures) -> str:
    """Short, long, at an end, or inside."""
    _, low, high = volumes(worked, figures)
    least = float(worked.at("volume_min_ratio", 0))
    most = float(worked.at("volume_max_ratio", 0))
    most *= (figures.over_driven / CHOSEN.over_driven) ** 2
    if high < least:
        return "short"
    if low > most:
        return "long"
    return "inside" if least <= low and high <= most else "at an end"


def agrees_with_the_package(worked: Worked) -> bool:
    """Whether this script gives the package's own spread at the chosen figures."""
    named, low, high = volumes(worked, CHOSEN)
    v = float(worked.at("head_volume_ratio", 0))
    ends = (
        v - float(worked.at("volume_under_ratio", 0)),
        v + float(worked.at("volume_over_ratio", 0)),
    )
    pairs = zip((named, low, high), (v, *ends), strict=True)
    return all(math.isclose(a, b, abs_tol=1e-9) for a, b in pairs)


def case_table() -> Iterator[str]:
    """The cases as the package works them out, line by line."""
    yield "| case | rivet | stack, in | v | least to most | window of v | verdict |"
    yield "|---|---|---|---|---|---|---|"
    for case in CASES:
        worked = worked_case(case)
        assert agrees_with_the_package(worked)
        named, low, high = volumes(worked, CHOSEN)
        least, most = (
            float(worked.at(f"volume_{end}_ratio", 0)) for end in ("min", "max")
        )
        stack = " + ".join(f"{t:.3f}"[1:] for t in case.sheets_in)
        how = "" if case.preparation == "plain" else f" {case.preparation}d"
        yield (
            f"| {case.title} | {case.code} | {stack}{how} | {named:.2f} "
            f"| {low:.2f} to {high:.2f} | {least:.2f} to {most:.2f} "
            f"| {verdict(worked, CHOSEN)} |"
        )


def change_table() -> Iterator[str]:
    """Verdicts of all cases with one figure changed at a time, line by line."""
    worked = [worked_case(case) for case in CASES]
    yield "| figure | " + " | ".join(case.title for case in CASES) + " |"
    yield "|---" * (len(CASES) + 1) + "|"
    chosen = [verdict(one, CHOSEN) for one in worked]
    for title, figures in CHANGES.items():
        found = [verdict(one, figures) for one in worked]
        marked = [
            f"**{now}**" if now != before else now
            for now, before in zip(found, chosen, strict=True)
        ]
        yield f"| {title} | " + " | ".join(marked) + " |"


def flip_lines() -> Iterator[str]:
    """At which length tolerance the verdict on a rivet that is short turns."""
    for case in CASES:
        worked = worked_case(case)
        if verdict(worked, CHOSEN) == "short":
            steps = (k / 10_000 for k in range(200))
            turned = next(
                step
                for step in steps
                if verdict(worked, replace(CHOSEN, length=step)) != "short"
            )
            named, _, high = volumes(worked, CHOSEN)
            least = float(worked.at("volume_min_ratio", 0))
            d = float(worked.at("shank_diameter_mm", 0)) / IN
            yield (
                f"{case.code} ({case.title}): {1000 * (least - named) * d:.1f} mil of "
                f"length short as named, {1000 * (least - high) * d:.1f} mil at the "
                f"favourable end; no longer short from +-{turned:.4f} in on."
            )


def report() -> str:
    """Everything the study prints."""
    return "\n".join([*case_table(), "", *change_table(), "", *flip_lines()])


if __name__ == "__main__":
    print(report())
