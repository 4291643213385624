"""The README's ten lines run, and print what it says they print."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path


def test_readme_example_prints_what_it_says(root: Path) -> None:
    """The first code block, run as it stands, prints the block that follows it."""
    text = (root / "README.md").read_text("utf-8")
    code = re.search(r"```python\n(.*?)```", text, re.DOTALL)
    printed = re.search(r"```text\n(.*?)```", text, re.DOTALL)
    assert code is not None
    assert printed is not None
    done = subprocess.run(
        [sys.executable, "-c", code[1]],
        cwd=root,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == printed[1]


def test_readme_opens_with_the_job(root: Path) -> None:
    """The first paragraph states what it is, for whom, and that it only advises."""
    paragraph = (root / "README.md").read_text("utf-8").split("\n\n")[1]
    for word in ("riveting plan and record", "at home", "drawings", "It advises"):
        assert word in paragraph.replace("\n", " ")


def test_readme_links_lead_somewhere(root: Path) -> None:
    """Every file that a page of the documentation names is there."""
    for page in [root / "README.md", *(root / "docs").rglob("*.md")]:
        for target in re.findall(r"\]\(([^)#:]+)\)", page.read_text("utf-8")):
            assert (page.parent / target).exists(), f"{page.name}: {target}"
