"""The page about accuracy: worked-out figures beside measured and printed ones."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Sequence
from fractions import Fraction
from pathlib import Path

import numpy as np

from design.force_law import (
    CHOSEN,
    FITTED_SERIES,
    KEPT_APART,
    calculated,
    left_out,
    of_series,
    rms,
    squeezed,
    worst,
)
from rivetwright.engines.air import pipe_loss_kpa
from rivetwright.engines.forming import (
    flow_stress_kpa,
    friction_ratio,
    head_width_mm,
    strain,
    volume_ratio,
)
from rivetwright.standards.air import air_figure
from rivetwright.standards.forming import alloy_force, forming_constant
from rivetwright.standards.materials import material_codes
from rivetwright.standards.shop_heads import shop_head_limits
from rivetwright.standards.table import read_table
from rivetwright.units.air import M3_S_PER_CFM
from rivetwright.units.drills import MM_PER_INCH
from rivetwright.units.force import KPA_PER_PSI
from scripts.pages_of_rules import MADE

PRINTED = Path(__file__).resolve().parent.parent / "tests" / "published" / "data"
INCH, FOOT = float(MM_PER_INCH), 12 * float(MM_PER_INCH)
# The manual gives no grip; a hole filled through this many diameters is taken.
GRIP_TAKEN_D = 2.0
# The textbook's exercise: width [mm], height [mm], K [kPa], n, friction, its share.
WIDE_MM, HIGH_MM = 50.0, 40.0
EXERCISE_KPA, EXERCISE_N, EXERCISE_FRICTION, EXERCISE_SHARE = 600e3, 0.12, 0.2, 0.4

Row = dict[str, str]
Shares = list[float]

INTRODUCTION = """# How near the figures come

What the program works out, beside what was measured or printed elsewhere. *Off* is
(worked out - printed) / printed. A test holds every line; the transcriptions stand in
`tests/published/data` and `src/rivetwright/standards/tables`. Where nothing was found
to hold a figure against, that is said. **The kit's drawings and a measured scrap rivet
come before all of this.**
"""

ELSE = """## What else is held to print

Cylinders, tanks, valves and one gas line: printed examples are met to the digits shown
(`tests/published/test_air.py`). Limits, holes, lengths and strengths are looked up, not
worked out: each table is compared whole with its transcription (`tests/published`).
Springing yokes, the force before the end of a stroke, dimple stand-off and the barrel
of a head: **nothing measured was found**; the builder's own heads are to settle
them."""


def _printed(name: str) -> list[Row]:
    """A transcription, rows in printed order."""
    lines = (PRINTED / f"{name}.csv").read_text("utf-8").splitlines()
    return list(csv.DictReader(lines[1:]))


def _source(name: str) -> str:
    """What the first line of a transcription says of it."""
    first = (PRINTED / f"{name}.csv").read_text("utf-8").splitlines()[0]
    return first.removeprefix("# ")


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table in Markdown."""
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def _percent(share: float) -> str:
    """A share as percent with its sign."""
    return f"{100 * share:+.1f} %"


def _number(cell: str) -> float:
    """A printed number or fraction."""
    return float(Fraction(cell))


# --- shop heads --------------------------------------------------------------------


def _heads() -> tuple[str, Shares]:
    """Shop heads from the metal, beside printed ones; shares with the hole filled."""
    rows, shares = [], []
    for row in _printed("formed_heads"):
        shank, height, width = (
            _number(row[name]) for name in ("rivet_dia_in", "height_in", "width_in")
        )
        held = float(volume_ratio(shank, width, height))
        shown = [row["rivet_dia_in"], row["height_in"], row["width_in"], f"{held:.3f}"]
        if not row["tail_in"]:
            rows.append([*shown, "cannot be read", "-", "-"])
            continue
        tail = _number(row["tail_in"]) / shank
        fill = ((_number(row["hole_in"]) / shank) ** 2 - 1) * GRIP_TAKEN_D
        offs = [
            float(head_width_mm(shank, height, v)) / width - 1
            for v in (tail, tail - fill)
        ]
        shares.append(offs[1])
        rows.append([*shown, row["tail_in"], *map(_percent, offs)])
    heads = ("rivet", "high, in", "wide, in", "metal, pi/4 D^3", "tail, in")
    table = _table((*heads, "off, no fill", "off, hole filled"), rows)
    words = (
        "## Shop head from the metal\n\n"
        f"{_source('formed_heads')}. The manual gives no grip: the hole is taken as "
        f"filled through {GRIP_TAKEN_D:g} D. A head is taken as a cylinder; a barrel "
        "with ends 0.9 as wide as its middle is 3.4 % wider there.\n\n"
    )
    return words + table, shares


def _least_heads() -> str:
    """Least heads of every named set, in diameters, and the metal they hold."""
    rows = []
    for name, size in _sizes():
        found = shop_head_limits(size * MM_PER_INCH, limit_set=name)
        limits = found.value
        low, high = limits.height_least_mm, limits.height_most_mm
        assert limits.width_least_mm is not None
        assert low is not None
        d = float(size * MM_PER_INCH)
        wide = float(limits.width_least_mm)
        held = float(volume_ratio(d, wide, float(low)))
        figures = [wide, float(low), *([float(high)] if high else [])]
        inches = [f"{one / INCH:.3f}" for one in figures]
        ratios = [f"{one / d:.2f}" for one in figures]
        shown = [f"{i} ({r} D)" for i, r in zip(inches, ratios, strict=True)]
        shown += ["-"] * (3 - len(shown))
        rows.append([name, str(size), *shown, f"{held:.2f}", str(found.status)])
    heads = ("set", "rivet", "least width, in", "least height, in", "most height, in")
    words = (
        "## Least shop heads\n\n"
        "Each printed limit beside the diameter it is for. The least heads of "
        "MIL-R-47196A follow 1.3 D by 0.40 D, at most 0.56 D, but 3/32, whose most is "
        "printed 0.53 D. A nominal head, 1.5 D by 0.5 D, holds 1.125; a tail of 1.5 D "
        "holds 1.5 less what the hole takes, so that common rule contradicts "
        "itself.\n\n"
    )
    return words + _table((*heads, "metal, pi/4 D^3", "status"), rows)


def _sizes() -> list[tuple[str, Fraction]]:
    """Named sets with the diameters [in] to show them at."""
    printed = [
        (row.cells["set"], row.number("rivet_dia_in"))
        for row in read_table("shop_heads").rows
    ]
    common = [Fraction(n, 32) for n in (3, 4, 5, 6)]
    rules = [row.cells["set"] for row in read_table("shop_head_rules").rows]
    return printed + [(name, size) for name in rules for size in common]


# --- squeeze force -----------------------------------------------------------------


def _forces() -> str:
    """Every measured squeeze of both series."""
    parts = ["## Squeeze force, 2117-T4\n"]
    for name, about in ((FITTED_SERIES, "fitted"), (KEPT_APART, "kept apart")):
        points = of_series(name)
        heads = squeezed(points)
        rows = []
        for point, force_n, off in zip(
            points, CHOSEN.force_n(heads), CHOSEN.off(heads), strict=True
        ):
            equations = [
                "-" if one is None else _percent(float(one / point.force_n) - 1)
                for one in point.calculated_n
            ]
            measured = f"{float(point.force_n) / 1000:.2f}"
            worked = [f"{force_n / 1000:.2f}", _percent(float(off))]
            width = f"{float(point.width_ratio):.2f}"
            rows.append([width, measured, *worked, *equations])
        head = ("wide, D", "measured, kN", "worked out, kN", "off")
        table = _table((*head, "its Equation (1)", "its Equation (3)"), rows)
        parts.append(
            f"Series {name}, {points[0].rivet}, {float(points[0].shank_mm):g} mm, "
            f"{about}:\n\n{table}\n"
        )
    document = read_table("force_points").rows[0].source.document
    alone = left_out(of_series(FITTED_SERIES))
    parts.append(
        f"Measured: {document} (READ; the copy read stops in series {KEPT_APART}). The "
        "two equations are as that paper gives them. Points of the fitted series left "
        f"out one by one: rms {rms(alone):.1f} %, worst {abs(worst(alone)):.1f} %. How "
        "the law was chosen and what else would have done: "
        "[the force law](../design/force_law.md)."
    )
    return "\n".join(parts)


def _alloys() -> str:
    """Factors of the other alloys, which nothing measured stands behind."""
    rows = []
    for row in read_table("alloy_force").rows:
        code = row.cells["code"]
        found = alloy_force(code)
        ends = (found.value.low, found.value.central, found.value.high)
        shown = [f"{float(one):.2f}" for one in ends]
        basis = f"{found.source.document}, {found.source.place}"
        rows.append([code, found.value.alloy, *shown, str(found.status), basis])
    without = [one for one in material_codes() if one not in {row[0] for row in rows}]
    heads = ("letters", "alloy", "low", "central", "high", "status", "from")
    return (
        "## Squeeze force, other alloys\n\nNo measured force was found. The force of "
        "2117-T4 is multiplied by a range, and a range is shown. For "
        f"{' and '.join(without)} there is no factor and no force is told.\n\n"
        + _table(heads, rows)
    )


def _upsetting() -> tuple[str, Shares]:
    """A textbook's exercise, which tries the equations but not our figures."""
    rows, shares = [], []
    for row in _printed("upsetting"):
        height = _number(row["height_mm"])
        width = float(head_width_mm(WIDE_MM, height, HIGH_MM / WIDE_MM))
        given = row["strain"]
        worked = _number(given) if given else float(strain(WIDE_MM, width))
        stress = flow_stress_kpa(
            worked, strength_kpa=EXERCISE_KPA, hardening=EXERCISE_N
        )
        hill = friction_ratio(
            width, height, friction=EXERCISE_FRICTION, share=EXERCISE_SHARE
        )
        force_n = float(stress * math.pi / 4 * width**2 * hill / 1000)
        shares.append(force_n / _number(row["force_n"]) - 1)
        shown = f"{100 * shares[-1]:+.2f} %"
        rows.append([row["case"], row["force_n"], f"{force_n:.0f}", shown])
    table = _table(("case", "printed, N", "worked out, N", "off"), rows)
    return f"## Upsetting a cylinder\n\n{_source('upsetting')}.\n\n{table}", shares


# --- air ---------------------------------------------------------------------------


def _loss_psi(row: Row, roughness_mm: float) -> float:
    """Loss of a printed pipe or hose as it is worked out [psi]."""
    loss_kpa = pipe_loss_kpa(
        _number(row["flow_cfm"]) * float(M3_S_PER_CFM),
        _number(row["inlet_psi"]) * float(KPA_PER_PSI),
        bore_mm=_number(row["bore_in"]) * INCH,
        length_mm=_number(row["length_ft"]) * FOOT,
        roughness_mm=roughness_mm,
    )
    return loss_kpa / float(KPA_PER_PSI)


def _losses(name: str, quantity: str, title: str) -> tuple[str, Shares]:
    """Printed losses of pipes or hoses beside those worked out."""
    roughness_mm = air_figure(quantity).value.central
    rows, shares = [], []
    for row in _printed(name):
        found = _loss_psi(row, roughness_mm)
        shares.append(found / _number(row["loss_psi"]) - 1)
        place = [row[one] for one in ("bore_in", "length_ft", "inlet_psi", "flow_cfm")]
        rows.append([*place, row["loss_psi"], f"{found:.2f}", _percent(shares[-1])])
    heads = ("bore, in", "length, ft", "at, psi", "free air, cfm", "printed, psi")
    table = _table((*heads, "worked out, psi", "off"), rows)
    return f"## {title}\n\n{_source(name)}.\n\n{table}", shares


# --- the page ----------------------------------------------------------------------


def _spread(name: str) -> str:
    """A spread that is told, in percent."""
    return f"+-{100 * float(forming_constant(name).value):g} %"


def accuracy_page() -> str:
    """The page: a summary, then every figure."""
    heads, head_shares = _heads()
    upset, upset_shares = _upsetting()
    pipes, pipe_shares = _losses("pipe_losses", "pipe roughness", "Loss of pipes")
    hoses, hose_shares = _losses(
        "hose_losses", "hose roughness", "Loss of hoses, taken as smooth"
    )
    fitted, apart = of_series(FITTED_SERIES), of_series(KEPT_APART)
    hose = air_figure("hose loss against smooth").value
    force = _spread("force spread")
    lines: list[tuple[str, str, Shares | np.ndarray, str]] = [
        ("shop-head width", "printed head", head_shares, _spread("width spread")),
        ("force, 2117-T4", "fitted", CHOSEN.off(squeezed(fitted)), force),
        ("force, 2117-T4", "kept apart", CHOSEN.off(squeezed(apart)), force),
        ("the paper's Equation (1)", "fitted", calculated(fitted, 0), "not used"),
        ("the paper's Equation (3)", "fitted", calculated(fitted, 1), "not used"),
        ("upsetting", "textbook", upset_shares, "equations only"),
        ("loss of pipes", "chart", pipe_shares, "DERIVED"),
        (
            "loss of hoses",
            "two that disagree",
            hose_shares,
            f"{hose.low:g} to {hose.high:g} times",
        ),
    ]
    summary = _table(
        ("what", "against", "points", "rms", "worst", "told as"),
        [_summed(*line) for line in lines],
    )
    parts = [heads, _least_heads(), _forces(), _alloys(), upset, pipes, hoses, ELSE]
    return "\n\n".join([MADE, INTRODUCTION + "\n" + summary, *parts]) + "\n"


def _summed(
    what: str, against: str, shares: Shares | np.ndarray, told: str
) -> Sequence[str]:
    """One line of the summary."""
    found = np.asarray(shares)
    ends = [f"{rms(found):.1f} %", f"{worst(found):+.1f} %"]
    return [what, against, str(len(found)), *ends, told]
