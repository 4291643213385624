"""Verdicts on heads, by every named source, and a hole off square.

PUBLISHED limits, each set as its table has it: MIL-R-47196A (SECOND-HAND for 3/32 and
1/8, the rest FROM MEMORY), MIL-HDBK-5H p. 8-9 (READ), the wartime fighter handbook, a
Canadian course note and a pocket handbook (quoted), the nominal 1.5 D x 0.5 D. The
verdicts are DERIVED from the limits by hand. TM 10-5410-221-14/1 (READ): a .002 feeler
over more than 40 % of the rim. DERIVED: the lean of 2 degrees.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from rivetwright.engines.heads.entry import Head, Look
from rivetwright.engines.heads.seen import Level
from rivetwright.engines.heads.square import off_square
from rivetwright.engines.heads.verdict import Standing, against, judge
from rivetwright.standards.head_checks import head_check
from rivetwright.standards.shop_heads import MIL_HDBK, NOMINAL, limit_sets
from rivetwright.standards.source import Status
from rivetwright.standards.table import read_table
from tests.unit.engines.heads_made import IN, called

MIL_R = "MIL-R-47196A"
PASSES, FAILS = Standing.PASSES, Standing.FAILS
# Small, usual and large rivets with a length for two sheets of .032.
CODES = {
    "1/16": "MS20470AD2-2.5",
    "3/32": "MS20470AD3-3",
    "1/8": "MS20470AD4-3.5",
    "5/32": "MS20470AD5-5",
    "3/16": "MS20470AD6-5",
    "1/4": "MS20470AD8-7",
}


def stands(width_in: str, height_in: str, limit_set: str, code: str = "") -> Standing:
    """How a head [in] stands against a set, sizes exact."""
    head = Head(float(Fraction(width_in)) * IN, float(Fraction(height_in)) * IN)
    return against(head, called(code or CODES["1/8"]), limit_set).standing


@pytest.mark.parametrize(
    ("width", "height", "mil_r", "mil_hdbk"),
    [
        ("0.164", "0.051", PASSES, PASSES),
        ("0.162", "0.060", FAILS, FAILS),
        ("0.170", "0.049", FAILS, PASSES),
        ("0.170", "0.071", FAILS, PASSES),
    ],
)
def test_w4_heads_of_1_8(
    width: str, height: str, mil_r: Standing, mil_hdbk: Standing
) -> None:
    """Limits .163 and .050 to .070 against 1.3 D = .1625 and 0.3 D = .0375."""
    assert stands(width, height, MIL_R) is mil_r
    assert stands(width, height, MIL_HDBK) is mil_hdbk


def test_w4_head_of_7050() -> None:
    """7050, 1/8: .170 wide is under 1.4 D = .175; .175 is enough, 2117 needs .1625."""
    of_7050 = "MS20470E4-3.5"
    assert stands("0.170", "0.060", MIL_HDBK, of_7050) is FAILS
    assert stands("0.175", "0.060", MIL_HDBK, of_7050) is PASSES
    assert stands("0.170", "0.060", MIL_HDBK) is PASSES


def _ends(row_cells: dict[str, str]) -> list[tuple[str, str, bool]]:
    """Each printed end of a row as width, height and whether it is a least one."""
    wide, high = row_cells["width_min_in"], row_cells["height_min_in"]
    ends = [(wide, high, True)]
    ends.append((row_cells["width_max_in"] or wide, high, False))
    ends.append((wide, row_cells["height_max_in"] or high, False))
    return ends


@pytest.mark.parametrize("label", [row.label for row in read_table("shop_heads").rows])
def test_every_printed_row_passes_at_its_ends_and_fails_beyond(label: str) -> None:
    """A head at each printed limit passes, .001 beyond it does not.

    The wartime handbook's single figures pass exactly and are otherwise a target.
    """
    (row,) = [one for one in read_table("shop_heads").rows if one.label == label]
    cells, code = dict(row.cells), CODES[row.cells["rivet_dia_in"]]
    limit_set = cells["set"]
    is_target = cells["width_min_in"] == cells["width_max_in"]
    beyond = Standing.OFF_TARGET if is_target else FAILS
    for width, height, _ in _ends(cells):
        assert stands(width, height, limit_set, code) is PASSES
    thin = str(Fraction(cells["width_min_in"]) - Fraction("0.001"))
    low = str(Fraction(cells["height_min_in"]) - Fraction("0.001"))
    high = str(Fraction(cells["height_max_in"]) + Fraction("0.001"))
    assert stands(thin, cells["height_min_in"], limit_set, code) is beyond
    assert stands(cells["width_min_in"], low, limit_set, code) is beyond
    assert stands(cells["width_min_in"], high, limit_set, code) is beyond
    if cells["width_max_in"]:
        wide = str(Fraction(cells["width_max_in"]) + Fraction("0.001"))
        assert stands(wide, cells["height_min_in"], limit_set, code) is beyond


@pytest.mark.parametrize("dia", ["3/32", "1/8", "5/32", "3/16", "1/4"])
def test_rules_in_d_pass_at_their_ends_and_fail_below(dia: str) -> None:
    """MIL-HDBK-5H 1.3 D by 0.3 D; the nominal rule 1.5 D by 0.5 D."""
    for limit_set, wide_d, high_d in (
        (MIL_HDBK, "1.3", "0.3"),
        (NOMINAL, "1.5", "0.5"),
    ):
        wide, high = (Fraction(one) * Fraction(dia) for one in (wide_d, high_d))
        less = Fraction("0.001")
        assert stands(str(wide), str(high), limit_set, CODES[dia]) is PASSES
        assert stands(str(wide - less), str(high), limit_set, CODES[dia]) is FAILS
        assert stands(str(wide), str(high - less), limit_set, CODES[dia]) is FAILS


def test_every_set_is_held_against_a_head() -> None:
    """No named source is left out, and each tells its own status."""
    verdict = judge(Head(0.194 * IN, 0.060 * IN), called())
    found = {one.limit_set: one for one in (verdict.chosen, *verdict.others)}
    assert set(found) == set(limit_sets())
    statuses = {name: one.source.status for name, one in found.items() if one.source}
    assert statuses[MIL_R] is Status.SECOND_HAND
    assert statuses[MIL_HDBK] is Status.READ
    assert statuses["wartime handbook"] is Status.READ


def test_feeler_of_tm_10_5410_221_14_1() -> None:
    """.002 in going in over more than 40 % of the rim; READ."""
    feeler, share = head_check("feeler"), head_check("share of the rim")
    assert feeler.value == Fraction("0.002") * Fraction(254, 10)
    assert share.value == Fraction(2, 5)
    assert feeler.status is Status.READ

    def at(rim: float) -> Level:
        looks = frozenset({Look.GAP_HEAD})
        head = Head(0.194 * IN, 0.060 * IN, looks=looks, gap_mm=0.0508, gap_share=rim)
        return judge(head, called()).remarks[0].level

    assert at(0.41) is Level.REPLACE
    assert at(0.40) is Level.ASK


def test_quarter_of_the_head_of_mil_std_403c() -> None:
    """Paragraph 5.2.7.5 as quoted: up to 1/4 of the head's height; SECOND-HAND."""
    quarter = head_check("tool mark")
    assert quarter.value == Fraction(1, 4)
    assert quarter.status is Status.SECOND_HAND


def test_collar_of_tm_9_2320_363_34_2() -> None:
    """Page 22-21: within .020 in of the head's top; READ."""
    collar = head_check("collar")
    assert collar.value == Fraction("0.020") * Fraction(254, 10)
    assert collar.status is Status.READ


@pytest.mark.parametrize(
    ("grip", "shift", "tilt", "left"),
    [("0.25", "0.0087", "0.80", "0.0052"), ("0.064", "0.0022", "3.13", "0")],
)
def test_w24_two_degrees_off_square(
    grip: str, shift: str, tilt: str, left: str
) -> None:
    """1/8 in .1285 under a .25 head, 2 degrees, to the printed rounding.

    Grip .25: shift .0087, wedge .0087, free tilt .80, left .25 x tan 1.198 = .0052,
    over .002: the feeler goes in. Grip .064: 3.13 free, nothing left.
    """
    sizes = (0.125 * IN, 0.1285 * IN, float(grip) * IN, 0.25 * IN)
    found = off_square(*sizes, 2.0)
    assert found.shift_mm / IN == pytest.approx(float(shift), abs=0.00005)
    assert found.wedge_mm / IN == pytest.approx(0.0087, abs=0.00005)
    assert found.tilt_deg == pytest.approx(float(tilt), abs=0.005)
    assert found.left_mm / IN == pytest.approx(float(left), abs=0.00005)
    assert found.needs_feeler == (grip == "0.25")
