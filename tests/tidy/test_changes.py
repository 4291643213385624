"""News for the next release stands in fragments of known kinds."""

from __future__ import annotations

import re

from tests.tidy.tree import ROOT

KINDS = ("numbers-that-change", "record", "added", "changed", "fixed", "removed")
NAME = re.compile(rf"[a-z0-9-]+\.({'|'.join(KINDS)})\.md")


def test_fragments_are_named_by_their_kind() -> None:
    """A fragment is called <subject>.<kind>.md and says something."""
    fragments = [p for p in (ROOT / "changes").iterdir() if p.name != "README.md"]
    for path in fragments:
        assert NAME.fullmatch(path.name), path.name
        assert path.read_text(encoding="utf-8").strip(), path.name


def test_changelog_names_the_version_or_what_comes() -> None:
    """The changelog begins with its title and has a section for what comes next."""
    text = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    assert text.startswith("# Changelog\n")
    assert "\n## Unreleased\n" in text
