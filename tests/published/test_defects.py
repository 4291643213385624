"""The table of rivet defects; sources per row, READ unless the row says less."""

from __future__ import annotations

from collections.abc import Callable

from rivetwright.standards.defects import defects

Printed = Callable[[str], list[dict[str, str]]]


def test_defects_are_whole(printed: Printed) -> None:
    """Every observation and verdict stands as transcribed, in the same order."""
    rows = [(row["observation"], row["verdict"]) for row in printed("defects")]
    assert rows == [
        (looked.value.observation, looked.value.verdict) for looked in defects()
    ]


def test_defects_name_their_source() -> None:
    """Each row names a document; an inferred action is JUDGEMENT, not READ."""
    for looked in defects():
        assert looked.source.document
        if "fault listed" in looked.value.verdict:
            assert looked.status == "JUDGEMENT"
