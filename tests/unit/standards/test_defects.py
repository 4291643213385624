"""The table of defects."""

from __future__ import annotations

from rivetwright.standards.defects import defects


def test_each_defect_has_a_verdict() -> None:
    """Twenty-two observations, each once, each with a verdict."""
    seen = [looked.value for looked in defects()]
    assert len({defect.observation for defect in seen}) == len(seen) == 22
    assert all(defect.verdict for defect in seen)
