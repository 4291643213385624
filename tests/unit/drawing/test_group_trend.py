"""The picture of a group: its heads, its limits, changes as rings, alarms pointed."""

from __future__ import annotations

from rivetwright.drawing.group_trend import group_trend_svg
from rivetwright.engines.learning.drift import Alarm
from rivetwright.engines.learning.told import DiesTold, HeadsTold, Raised
from tests.unit.bench.test_head_groups import MADE_BY, group, head
from tests.unit.drawing.pictures import of_class, read


def test_a_group_is_drawn_with_changes_and_alarm() -> None:
    """Five heads; gap changed before the third, alarm at the fifth; .045 is outside."""
    heads = [
        head(k, height, die_gap_mm=6.9 if k < 2 else 6.6)
        for k, height in enumerate((0.060, 0.061, 0.062, 0.045, 0.064))
    ]
    raised = Raised(Alarm(4, 3, 0.1), "A5:1", "A4:2", stands=True)
    told = HeadsTold(by_dies={MADE_BY.dies: DiesTold((raised,))})
    picture = read(group_trend_svg(group(*heads, told=told)))
    drawn = of_class(picture, "head")
    assert [one.get("data-hole") for one in drawn] == [
        *("A3:1", "A3:2", "A4:1", "A4:2", "A5:1")
    ]
    assert [one.get("data-at") for one in of_class(picture, "changed")] == ["2"]
    assert [one.get("data-at") for one in of_class(picture, "alarm")] == ["4"]
    words = " ".join(e.text or "" for e in picture.iter())
    assert "Outside: A4:2." in words
    assert "1 before A4:1: gap .260 in." in words
    assert "Limits of MIL-R-47196A." in words
    assert "Heads of pneumatic squeezer, yoke Y2: MS20470AD4" in words
