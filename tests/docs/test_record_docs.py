"""The page about the record says what the kinds of fact themselves say."""

from __future__ import annotations

from pathlib import Path

from rivetwright.record.kinds import ALL_KINDS, field_names
from scripts.page_of_record import record_page


def test_page_is_the_one_the_kinds_make(root: Path) -> None:
    """Run python -m scripts.write_docs after a kind of fact changed."""
    assert (root / "docs" / "record.md").read_text("utf-8") == record_page()


def test_every_kind_and_field_is_on_the_page() -> None:
    """Each kind has its section with each of its fields."""
    page = record_page()
    for kind in ALL_KINDS:
        _, _, section = page.partition(f"### {kind.name}\n")
        section = section.partition("\n### ")[0]
        assert section, kind.name
        assert [n for n in field_names(kind) if f"| `{n}` |" not in section] == []
