"""Checks as registered, how findings are gathered, and that limits are limits."""

from __future__ import annotations

import numpy as np
import pytest

from rivetwright.engines.checks import CHECKS, Finding, check, masks
from rivetwright.engines.plan import WorkedPlan
from rivetwright.engines.rules import HOLE, REGISTRY
from rivetwright.engines.worked import Worked
from rivetwright.model.plan import SKETCHED, Part
from rivetwright.model.severity import Severity
from rivetwright.standards.source import Status
from tests.unit.engines.small import EIGHTH_MM, box, codes, holes_with, row, worked

CODE = "MS20470AD4-4"
D = EIGHTH_MM
WIDE = ((-500.0, 500.0), (-500.0, 500.0))


@pytest.mark.parametrize("code", CHECKS)
def test_every_check_is_a_page_of_known_columns(code: str) -> None:
    """Five paragraphs in a fixed order; its columns and replaced codes are known."""
    one = CHECKS[code]
    headings = (
        "What is checked:",
        "Why it matters:",
        "Example:",
        "What to do:",
        "How sure:",
    )
    places = [one.page.find(f"\n{heading}") for heading in headings]
    assert places == sorted(places)
    assert places[0] > 0
    assert one.title
    for name in (one.quantity, one.limit, *one.fields):
        assert REGISTRY[name]
    assert set(one.over) <= set(CHECKS)


def test_code_used_twice_is_our_own_mistake() -> None:
    """A second check of the same code stops the program at once."""

    def again(_: Worked) -> np.ndarray:
        """A check."""
        return np.zeros(0, dtype=bool)

    register = check(
        "EDGE-01", Severity.STOP, level=HOLE, quantity="grip_mm", limit="grip_mm"
    )
    with pytest.raises(AssertionError, match="used twice"):
        register(again)


def at_edge(*distances: float, code: str = CODE, **more: float) -> WorkedPlan:
    """Holes at these distances from the lower edge, far from each other."""
    places = [(40.0 * k, d) for k, d in enumerate(distances)]
    layers = [box("a", (-500, 500), (0, 500)), box("b", *WIDE)]
    return worked(row("R", code, *places, **more), layers=layers)  # type: ignore[arg-type]


def test_edge_limits_hold_their_ends() -> None:
    """1.5 D and 2 D themselves are enough; two millionths less are not."""
    ends = at_edge(1.5 * D, 2 * D, 1.5 * D - 2e-6, 2 * D - 2e-6)
    assert holes_with(ends, "EDGE-01") == {"R:3"}
    assert holes_with(ends, "EDGE-02") == {"R:1", "R:4"}


def test_only_flush_rivets_are_noted_under_2_5_d() -> None:
    """2.4 D: a note for a flush rivet, nothing for a universal one."""
    assert "EDGE-03" in codes(at_edge(2.4 * D, code="MS20426AD4-4"))
    assert "EDGE-03" not in codes(at_edge(2.4 * D))


def test_uncertain_place_never_stops() -> None:
    """1.4 D as measured to half a millimetre may be 1.56 D: a check, no stop."""
    sure, unsure = at_edge(1.4 * D), at_edge(1.4 * D, place_tolerance_mm=0.5)
    assert "EDGE-01" in codes(sure)
    assert "EDGE-01" not in codes(unsure)
    assert "EDGE-02" in codes(unsure)


def pair(apart: float, **more: float) -> set[str]:
    """Codes at two 1/8 universal holes so far apart."""
    layers = [box("a", *WIDE), box("b", *WIDE)]
    one = row("R", CODE, (0.0, 0.0), (apart, 0.0), **more)  # type: ignore[arg-type]
    return {code for code in codes(worked(one, layers=layers)) if code[:5] == "PITCH"}


def test_pitch_limits() -> None:
    """3 D is enough, under it a check; under two head circles, .250 in, an overlap."""
    assert pair(3 * D) == set()
    assert pair(3 * D - 2e-6) == {"PITCH-01"}
    assert pair(6.35) == {"PITCH-01"}
    assert pair(6.35 - 2e-6) == {"PITCH-02"}
    assert pair(3 * D - 0.2, place_tolerance_mm=0.5) == set()


def test_row_distance_limit() -> None:
    """2.5 D across is enough, a little less is not."""
    layers = [box("a", *WIDE), box("b", *WIDE)]
    for across, is_found in ((2.5 * D, False), (2.5 * D - 2e-6, True)):
        one = row("A", CODE, (0.0, 0.0), (40.0, 0.0))
        two = row("B", CODE, (20.0, across), (60.0, across))
        found = worked(one, two, layers=layers)
        assert ("ROW-01" in codes(found)) == is_found


def test_flat_beside_a_bend_limit() -> None:
    """1/8 universal needs .125 in of flat: D + thickness 1 mm from the bend line."""
    for v, is_found in ((D + 1.0, False), (D + 1.0 - 2e-6, True)):
        layers = [box("a", (0, 100), (0, 50), bends=("v0",)), box("b", *WIDE)]
        found = worked(row("R", CODE, (50, v)), layers=layers)
        assert ("CLEAR-01" in codes(found)) == is_found


def test_thinner_sheet_under_the_shop_head_is_a_note() -> None:
    """1.2 over 1.0 is noted; 1.0 over 1.2, or equal, is not; blind rivets never."""
    parts = [Part("thick", "t", 1.2), Part("thin", "t", 1.0)]
    for stack, is_found in (
        (("thick", "thin"), True),
        (("thin", "thick"), False),
        (("thin", "thin"), False),
    ):
        sheets = [(part, "plain") for part in stack]
        found = worked(row("R", CODE, stack=sheets), parts=parts)
        assert ("SHOP-01" in codes(found)) == is_found


def test_wrong_drill_is_told_and_the_right_one_is_not() -> None:
    """No. 40 for a 1/8 rivet; No. 30; a drill within the printed limits of 3/32."""
    sheets = [("a", "plain"), ("b", "plain")]
    for code, drill_in, is_found in (
        (CODE, 0.098, True),
        (CODE, 0.1285, False),
        ("MS20470AD3-3", 0.096, False),
        ("MS20470AD3-3", 0.104, True),
    ):
        found = worked(row("R", code, stack=sheets, drill_mm=drill_in * 25.4))
        assert ("HOLE-01" in codes(found)) == is_found


def test_sketched_row_is_asked_to_be_measured_and_not_judged() -> None:
    """1 D from the edge by eye: PLACE-01 alone."""
    found = at_edge(D, places=SKETCHED)  # type: ignore[arg-type]
    assert holes_with(found, "PLACE-01") == {"R:1"}
    assert not {code for code in codes(found) if code.startswith("EDGE")}


def test_one_finding_per_row_and_equal_figures() -> None:
    """Two holes at 1 D and one at 1.2 D: two findings, holes in order."""
    found = at_edge(D, 1.2 * D, D)
    stops = [f.holes for f in found.findings if f.code == "EDGE-01"]
    assert stops == [(0, 2), (1,)]


def test_finding_carries_figures_witness_and_source() -> None:
    """What was found, what is allowed, which edge, and where the limit is from."""
    (stop,) = [f for f in at_edge(D).findings if f.code == "EDGE-01"]
    assert stop.severity is Severity.STOP
    assert stop.fields["edge_distance_mm"] == pytest.approx(D)
    assert stop.fields["edge_ratio"] == pytest.approx(1.0)
    assert stop.fields["witness_part"] == "a"
    assert stop.source.document
    assert stop.source.status is Status.READ


def test_replaced_checks_stay_silent_at_those_holes_alone() -> None:
    """EDGE-01 stands over EDGE-02 at its own hole; the other hole keeps EDGE-02."""
    found = at_edge(D, 1.8 * D)
    told = masks(found.worked)
    assert told["EDGE-01"].tolist() == [True, False]
    assert told["EDGE-02"].tolist() == [False, True]


def test_stops_come_first_and_say_so() -> None:
    """A plan with one stop among notes stops; a clean one does not."""
    stopped, clean = at_edge(D), at_edge(40.0)
    assert stopped.stops
    assert stopped.findings[0].severity is Severity.STOP
    assert not clean.stops


def test_findings_are_equal_by_what_they_say() -> None:
    """The same check at the same holes of the same plan is the same finding."""
    found = at_edge(D)
    one = found.findings[0]
    assert one == Finding(found.worked, CHECKS[one.code], one.holes)
