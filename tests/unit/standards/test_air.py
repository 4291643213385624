"""Figures of the air line, in the project's own units."""

from __future__ import annotations

import pytest

from rivetwright.errors import OutsideTable
from rivetwright.standards.air import air_figure
from rivetwright.standards.source import Status
from rivetwright.standards.spread import Spread


@pytest.mark.parametrize(
    ("quantity", "central"),
    [
        ("atmosphere", 14.7 * 6.894757293168361),
        ("hose roughness", 0.0015),
        ("pipe roughness", 0.045),
        ("ram bore", 50.8),
        ("ram stroke", 101.6),
        ("gun air", 4 * 0.3048**3 / 60),
        ("coupler Cv", 1.1),
        ("hold", 1.0),
    ],
)
def test_printed_units_become_the_project_s(quantity: str, central: float) -> None:
    """psi to kPa, um and in to mm, cfm to m3/s; Cv and seconds stay."""
    assert air_figure(quantity).value.central == pytest.approx(central)


def test_what_is_known_sharply_has_no_range() -> None:
    """The laboratory's atmosphere is READ; a dead band is judged."""
    assert air_figure("atmosphere").value.is_sharp
    assert air_figure("atmosphere").status is Status.READ
    band = air_figure("regulator dead band")
    assert band.status is Status.JUDGEMENT
    assert band.value.low < band.value.high


def test_the_hose_range_holds_both_sources() -> None:
    """0.80 to 1.53 times a smooth hose: the printed figures disagree by twice."""
    assert air_figure("hose loss against smooth").value == Spread(0.80, 1.0, 1.53)


def test_a_figure_that_is_not_there_is_refused() -> None:
    """The message names what the table has."""
    with pytest.raises(OutsideTable, match=r"filter Cv.*coupler Cv"):
        air_figure("filter Cv")
