"""Pages and schemas that are made from the code are those the code makes now."""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.engines.checks import CHECKS
from rivetwright.engines.rules import REGISTRY, TABLE
from scripts.write_docs import pages, write

MADE = pages()
MADE_FROM_RULES = [path for path in MADE if path != "docs/command-line.md"]


@pytest.mark.parametrize("path", MADE_FROM_RULES)
def test_page_is_the_one_the_code_makes(root: Path, path: str) -> None:
    """Run python -m scripts.write_docs after a rule, check or text changed."""
    assert (root / path).read_text("utf-8") == MADE[path]


def test_every_code_has_a_page_and_stands_in_the_list(root: Path) -> None:
    """One page per code, no page for a code that is gone, all of them listed."""
    folder = root / "docs" / "findings"
    assert {page.stem for page in folder.glob("*.md")} == {*CHECKS, "README"}
    index = (folder / "README.md").read_text("utf-8")
    assert [code for code in CHECKS if f"]({code}.md)" not in index] == []


@pytest.mark.parametrize("code", CHECKS)
def test_page_of_a_code_has_every_heading(code: str) -> None:
    """Checked, why, example, what to do, how sure: none is left out."""
    for heading in (
        "What is checked",
        "Why it matters",
        "Example",
        "What to do",
        "How sure",
    ):
        assert f"**{heading}.**" in MADE[f"docs/findings/{code}.md"], heading


def test_every_quantity_has_its_place_on_the_page() -> None:
    """Each rule's name is an anchor of docs/quantities.md, once."""
    page = MADE["docs/quantities.md"]
    twice = [r.output for r in REGISTRY if page.count(f'<a id="{r.output}"></a>') != 1]
    assert twice == []


def test_looked_up_quantities_name_their_documents() -> None:
    """No looked-up quantity says only that its row is given."""
    sections = MADE["docs/quantities.md"].split('### <a id="')[1:]
    told = {section.partition('"')[0]: section for section in sections}
    looked_up = [r.output for r in REGISTRY if r.kind == TABLE and r.witness]
    assert [name for name in looked_up if "row is given" in told[name]] == []


def test_writing_removes_the_page_of_a_code_that_is_gone(tmp_path: Path) -> None:
    """A stale page would tell of a finding that nothing gives any more."""
    stale = tmp_path / "docs" / "findings" / "GONE-01.md"
    stale.parent.mkdir(parents=True)
    stale.write_text("stale", "utf-8")
    write(tmp_path)
    assert not stale.exists()
    assert (tmp_path / "docs" / "findings" / "EDGE-01.md").exists()
