"""Set-ups that heads have taught: the search stays exact, and the laws of an offset.

The bracket of the demo in a yoke of any spring with dies of any offset; every
combination of the pieces owned is tried beside what the engine chose.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.squeeze.heads import head_of_gap_mm
from rivetwright.engines.squeeze.needs import CENTRAL, needs_of
from rivetwright.engines.squeeze.set_up import SetUp
from rivetwright.engines.squeeze.set_ups import set_up_of
from rivetwright.engines.squeeze.spring import Spring
from rivetwright.engines.squeeze.taught import Basis, DieSet, ShopTaught, Taught
from rivetwright.model.shop import Die, Shop, Squeezer, Tool
from rivetwright.standards.source import Source, Status
from rivetwright.standards.squeeze import squeeze_figure
from tests.unit.engines.small import IN, through

MIL = 0.0254
CLOSED, CUP = 760, 230
FLATS, SHIMS = (125, 250, 375), (7, 10, 20, 32, 63)
SCATTER = squeeze_figure("head scatter") / MIL
AIR = Squeezer("air", "pneumatic", 50_000.0, 620.0, 0.5625 * IN, 4)
YOKE = Tool("Y", "yoke", reach_mm=3 * IN, closed_height_mm=CLOSED * MIL)
SHOP = Shop(
    "s",
    "s",
    "in",
    tools=(YOKE,),
    squeezers=(AIR,),
    dies=(*(Die("flat", one * MIL) for one in FLATS), Die("cup", CUP * MIL, 4)),
    shims_mm=tuple(one * MIL for one in SHIMS),
)
DIES = DieSet("air", "Y", 4, False)
OWN = Source("made up", "", Status.INVENTED)
# Thousandths of an inch beside whole ones, so that no verdict hangs on rounding.
offsets = st.integers(-12, 20).map(lambda k: (k + 0.37) * MIL)
springs = st.floats(1e-7, 5e-5)


@cache
def bracket() -> WorkedPlan:
    """0.155 in of sheets under a universal head."""
    sheets = ((0.040, "plain"), (0.025, "plain"), (0.090, "plain"))
    return through(*sheets, code="MS20470AD4-5.5")


def taught(offset_mm: float, mm_n: float) -> ShopTaught:
    """Heads that tell one offset and one spring, known well."""
    told = Taught(offset_mm, Basis.HEADS, 20, 0, (0.5 * MIL) ** 2)
    return ShopTaught({DIES: told}, {"Y": Spring(mm_n, mm_n, mm_n, OWN)})


def set_up(offset_mm: float, mm_n: float) -> SetUp:
    """The set-up of the bracket."""
    known = taught(offset_mm, mm_n)
    return set_up_of(bracket().worked, SHOP, 0, "Y", "air", taught=known)


def heads_mils(offset_mm: float, mm_n: float) -> dict[float, float]:
    """The head of every gap that the pieces can leave, both in thousandths."""
    worked = bracket().worked
    needs = needs_of(worked, worked.stacks.class_of[:1])
    counts = range(len(SHIMS) + 1)
    sums = [sum(used) for k in counts for used in combinations(SHIMS, k)]
    gaps = sorted({CLOSED - CUP - flat - shims for flat in FLATS for shims in sums})
    under = needs.under_mm[CENTRAL] - offset_mm
    many = np.array(gaps, dtype=float) * MIL
    one = needs.metal()
    metal = type(one)(*(np.repeat(column, len(gaps)) for column in vars(one).values()))
    heads = head_of_gap_mm(many, np.repeat(under, len(gaps)), metal, mm_n)
    return dict(zip(map(float, gaps), (heads / MIL).tolist(), strict=True))


@given(offsets, springs)
def test_the_search_stays_exact(offset_mm: float, mm_n: float) -> None:
    """The widest gap whose head keeps clear of both limits, else one in the band.

    Of gaps that a caliper does not tell apart, a thousandth, a narrower one may do.
    """
    found = set_up(offset_mm, mm_n)
    heads = heads_mils(offset_mm, mm_n)
    for margin in (SCATTER, 0.0):
        held = [
            gap for gap, head in heads.items() if 50 + margin <= head <= 70 - margin
        ]
        if held:
            assert found.gap_mm is not None
            assert max(held) - 1.001 <= found.gap_mm / MIL <= max(held) + 0.001
            break
    else:
        assert not found.is_range_in_band


@given(offsets, springs)
def test_the_head_told_is_that_of_the_gap(offset_mm: float, mm_n: float) -> None:
    """Its middle by the gap equation; the band lies evenly about it, over a scatter."""
    found = set_up(offset_mm, mm_n)
    assert found.gap_mm is not None
    assert found.head_mm is not None
    head = found.head_mm
    told = heads_mils(offset_mm, mm_n)[round(found.gap_mm / MIL)]
    assert head.central / MIL == pytest.approx(told, abs=1e-3)
    assert head.high - head.central == pytest.approx(head.central - head.low)
    assert (head.high - head.central) / MIL > 1.9 * SCATTER


@given(offsets, springs)
def test_an_offset_moves_the_gap_wanted_by_itself(
    offset_mm: float, mm_n: float
) -> None:
    """The head aimed at is the same, so is its force: only the offset is taken off."""
    moved = (
        set_up(0.0, mm_n).wanted_mm.central - set_up(offset_mm, mm_n).wanted_mm.central
    )
    assert moved == pytest.approx(offset_mm, abs=1e-9)
