"""Every threat in the page about security names a test that is there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

USUAL = "tests/unit/web/test_security.py"
ROW = re.compile(r"^\| (?P<threat>[^|]+) \| [^|]+ \| `(?P<test>[^`]+)` \|$", re.M)
ASKED = (
    *("Unpaired", "Replay", "Cross-site", "Script in", "Path in", "Huge", "bomb"),
    *("Another origin", "Guessing codes", "Guessing tokens", "rebinding", "Framing"),
    *("Formula", "picture", "Inline script"),
)


def named_in(file: Path) -> set[str]:
    """Names of the tests of a file."""
    tree = ast.parse(file.read_text("utf-8"))
    return {part.name for part in tree.body if isinstance(part, ast.FunctionDef)}


def test_each_threat_has_its_test(root: Path) -> None:
    """The named function stands in the named file."""
    page = (root / "docs" / "security.md").read_text("utf-8")
    rows = ROW.findall(page)
    assert len(rows) > 20
    for threat, named in rows:
        file, _, name = named.rpartition("::")
        assert name in named_in(root / (file or USUAL)), threat


def test_no_threat_is_forgotten(root: Path) -> None:
    """Each kind of threat that was thought of has a line."""
    page = (root / "docs" / "security.md").read_text("utf-8")
    threats = " ".join(threat for threat, _ in ROW.findall(page))
    assert [word for word in ASKED if word not in threats] == []
