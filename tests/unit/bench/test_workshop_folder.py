"""A folder is read when it changed, and only then; broken files are told."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from rivetwright.bench.workshop import Workshop
from rivetwright.errors import NotFound, PlanRefused, Refusal
from rivetwright.web.pages.project import starting_plan


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with one small plan."""
    (tmp_path / "panel.yaml").write_text(starting_plan(), encoding="utf-8")
    return tmp_path


def test_unchanged_folder_is_read_once(folder: Path) -> None:
    """Asked twice, the same worked-out plan is given."""
    plans = Workshop(folder)
    assert plans.now() is plans.now()


def test_touched_file_with_the_same_words_is_not_read_again(folder: Path) -> None:
    """A new time on the file alone changes nothing."""
    plans = Workshop(folder)
    first = plans.now()
    os.utime(folder / "panel.yaml", ns=(1, 1))
    assert plans.now() is first


def test_changed_file_is_read_again(folder: Path) -> None:
    """Eight holes, then nine."""
    plans = Workshop(folder)
    first = plans.now()
    file = folder / "panel.yaml"
    file.write_text(starting_plan().replace("count: 8", "count: 9"), encoding="utf-8")
    again = plans.now()
    assert again.read_at > first.read_at
    counts = [
        len(one.assembly("panel").worked_plan.worked.holes) for one in (first, again)
    ]
    assert counts == [8, 9]


def test_new_and_removed_files_are_noticed(folder: Path) -> None:
    """A second assembly comes and goes."""
    plans = Workshop(folder)
    plans.now()
    other = starting_plan().replace("id: panel", "id: lid")
    (folder / "lid.yaml").write_text(other, encoding="utf-8")
    assert [one.key for one in plans.now().project.assemblies] == ["lid", "panel"]
    (folder / "panel.yaml").unlink()
    assert [one.key for one in plans.now().project.assemblies] == ["lid"]


def test_file_that_says_no_format_is_named(folder: Path) -> None:
    """It is neither read nor forgotten."""
    (folder / "notes.yaml").write_text("rivets: many\n", encoding="utf-8")
    assert [path.name for path in Workshop(folder).now().unread] == ["notes.yaml"]


def test_unknown_assembly_is_refused_with_the_nearest(folder: Path) -> None:
    """`pannel` is not there; `panel` is."""
    with pytest.raises(NotFound) as refused:
        Workshop(folder).now().assembly("pannel")
    assert "nearest: panel" in refused.value.allowed


def test_assembly_of_a_broken_file_is_refused_with_its_lines(folder: Path) -> None:
    """Who had the page open learns what is wrong with the file, not that it is gone."""
    file = folder / "panel.yaml"
    broken = starting_plan().replace("unit: in", "unit: furlong")
    file.write_text(broken, encoding="utf-8")
    line = broken.splitlines().index("unit: furlong") + 1
    with pytest.raises(PlanRefused) as refused:
        Workshop(folder).now().assembly("panel")
    assert [(fault.line, fault.field) for fault in refused.value.faults] == [
        (line, "unit")
    ]


def test_folder_that_went_away_is_told(tmp_path: Path) -> None:
    """Its name and what to do stand in the refusal."""
    with pytest.raises(Refusal) as refused:
        Workshop(tmp_path / "gone").now()
    assert "gone" in refused.value.asked
    assert refused.value.do
