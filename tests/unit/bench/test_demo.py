"""A copy of the demo to work in."""

from __future__ import annotations

from pathlib import Path

import pytest

from rivetwright.bench.demo import copy_demo
from rivetwright.errors import Refusal


def test_demo_is_copied_whole(root: Path, tmp_path: Path) -> None:
    """Three assemblies, the shop and the bulletin, byte for byte."""
    examples = root / "examples" / "ostrel"
    copied = copy_demo(examples, tmp_path / "build" / "demo")
    assert [path.name for path in copied] == [
        "aileron.yaml",
        "flap.yaml",
        "root-rib.yaml",
        "sb-07.yaml",
        "shop.yaml",
    ]
    for path in copied:
        assert path.read_bytes() == (examples / path.name).read_bytes()


def test_a_file_somebody_works_in_stays(root: Path, tmp_path: Path) -> None:
    """Only what is missing is copied."""
    (tmp_path / "flap.yaml").write_text("mine", "utf-8")
    copied = copy_demo(root / "examples" / "ostrel", tmp_path)
    assert "flap.yaml" not in [path.name for path in copied]
    assert (tmp_path / "flap.yaml").read_text("utf-8") == "mine"
    assert copy_demo(root / "examples" / "ostrel", tmp_path) == []


def test_no_demo_to_copy_is_refused(tmp_path: Path) -> None:
    """Run in another folder it says where the demo is, and makes nothing."""
    with pytest.raises(Refusal, match="no plan files in"):
        copy_demo(tmp_path / "nowhere", tmp_path / "demo")
    assert not (tmp_path / "demo").exists()
