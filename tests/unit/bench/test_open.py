"""Open plans and whole folders: what is refused stands beside what is read."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rivetwright.bench.open import (
    form_of,
    open_folder,
    open_plan,
    open_plans,
    project_files,
)
from rivetwright.errors import PlanRefused

PLAN = """\
format: rivetwright plan 1
project: {{id: 6f0f9a52-3f44-4c0e-9d43-0a51f2c8c101, name: Try Out}}
assembly: {{id: {id}, name: panel}}
unit: in
parts:
  11: {{title: skin, thickness: .032}}
  12: {{title: angle, thickness: .040}}
steps:
  s-1: {{title: rivet}}
rows:
  R1: {{count: 6, stack: [11, 12], callout: MS20470AD4-4, step: s-1}}
"""
BULLETIN = """\
format: rivetwright bulletin 1
id: {id}
title: thicker angle
assembly: {assembly}
based_on: {based_on}
parts:
  12: {{title: angle, thickness: {thick}}}
"""


def put_plan(folder: Path, name: str, id: str) -> Path:
    """A small plan in a folder."""
    file = folder / name
    file.write_text(PLAN.format(id=id), encoding="utf-8")
    return file


def put_bulletin(
    folder: Path,
    name: str = "z.yaml",
    id: str = "SB-1",
    assembly: str = "a",
    based_on: int = 1,
    thick: str = ".050",
) -> Path:
    """A bulletin that makes part 12 thicker."""
    text = BULLETIN.format(id=id, assembly=assembly, based_on=based_on, thick=thick)
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


def faults(folder: Path) -> list[str]:
    """What a folder's files were refused for, a line each."""
    return [str(one) for r in open_folder(folder).refused for one in r.faults]


def test_the_demo_is_opened_whole(root: Path) -> None:
    """Three assemblies in order of file name, the one after SB-07, and the shop."""
    project = open_folder(root / "examples" / "ostrel")
    keys = [assembly.key for assembly in project.assemblies]
    assert keys == ["aileron", "flap", "root-rib", "root-rib-sb-07"]
    assert project.name == "Ostrel Two"
    assert project.shop is not None
    assert project.refused == ()
    after = project.assemblies[-1]
    assert (after.bulletin and after.bulletin.id, after.file.name) == (
        "SB-07",
        "sb-07.yaml",
    )
    assert [len(a.worked_plan.worked.holes) for a in project.assemblies] == [
        *(172, 194, 110, 115)
    ]


def test_an_empty_folder_is_an_empty_project(tmp_path: Path) -> None:
    """Nothing is read and nothing refused; the folder lends its name."""
    project = open_folder(tmp_path)
    assert (project.assemblies, project.shop, project.refused) == ((), None, ())
    assert project.name == tmp_path.name


def test_a_broken_file_does_not_keep_the_others_away(tmp_path: Path) -> None:
    """The good plan is worked out; the broken one is told with its line."""
    put_plan(tmp_path, "good.yaml", "a")
    broken = tmp_path / "broken.yaml"
    broken.write_text(PLAN.format(id="b").replace(".032", "thin"), encoding="utf-8")
    project = open_folder(tmp_path)
    assert [assembly.key for assembly in project.assemblies] == ["a"]
    (refusal,) = project.refused
    (fault,) = refusal.faults
    assert (fault.file, fault.line) == (str(broken), 6)


def test_a_broken_shop_is_told_beside_the_plans(tmp_path: Path) -> None:
    """There is no shop then, and the plan is there all the same."""
    put_plan(tmp_path, "a.yaml", "a")
    shop = tmp_path / "shop.yaml"
    shop.write_text("format: rivetwright shop 1\ntools: 3\n", encoding="utf-8")
    project = open_folder(tmp_path)
    assert (project.shop, len(project.assemblies)) == (None, 1)
    assert {one.file for r in project.refused for one in r.faults} == {str(shop)}


def test_two_files_with_one_id(tmp_path: Path) -> None:
    """The first by name is taken, the copy refused, and both are named."""
    put_plan(tmp_path, "one.yaml", "a")
    copy = put_plan(tmp_path, "two.yaml", "a")
    project = open_folder(tmp_path)
    assert [assembly.file.name for assembly in project.assemblies] == ["one.yaml"]
    (line,) = faults(tmp_path)
    assert line.startswith(f"{copy}:0: assembly.id: found a, which one.yaml has too; ")


def test_a_misspelt_form_is_refused_and_not_passed_over(tmp_path: Path) -> None:
    """A plan that calls itself a plam is told, with its line."""
    file = tmp_path / "a.yaml"
    file.write_text(PLAN.format(id="a").replace("plan 1", "plam 1"), encoding="utf-8")
    (line,) = faults(tmp_path)
    assert line.startswith(f"{file}:1: format: ")


def test_files_of_others_are_passed_over(tmp_path: Path) -> None:
    """A list of ours, somebody else's YAML, a folder named like a file."""
    (tmp_path / "notes.yaml").write_text("- bring tape\n", encoding="utf-8")
    (tmp_path / "other.yaml").write_text("format: other 1\n", encoding="utf-8")
    (tmp_path / "plan.txt").write_text(PLAN.format(id="a"), encoding="utf-8")
    (tmp_path / "folder.yaml").mkdir()
    project = open_folder(tmp_path)
    assert (project.assemblies, project.refused) == ((), ())


@pytest.mark.parametrize(
    ("text", "form"),
    [
        ("format: rivetwright plan 1\n", "plan"),
        ('# mine\n\nformat: "rivetwright shop 1"\n', "shop"),
        ("\ufeffformat: rivetwright bulletin 1\n", "bulletin"),
        ("format: rivetwright\n", "plan"),
        ("format:\n", ""),
        ("title: no format\n", ""),
        ("", ""),
    ],
)
def test_form_is_read_from_the_format_line(
    tmp_path: Path, text: str, form: str
) -> None:
    """Quotes, remarks before it and a byte order mark do not hide it."""
    file = tmp_path / "a.yml"
    file.write_text(text, encoding="utf-8")
    assert form_of(file) == form


def test_both_endings_are_taken_in_order_of_name(tmp_path: Path) -> None:
    """a.yml and b.yaml are plans alike."""
    put_plan(tmp_path, "b.yaml", "b")
    put_plan(tmp_path, "a.yml", "a")
    names = [path.name for path in project_files(tmp_path)["plan"]]
    assert names == ["a.yml", "b.yaml"]


@pytest.mark.parametrize("is_file", [True, False])
def test_a_folder_that_is_none_is_refused(tmp_path: Path, is_file: bool) -> None:
    """A file, or nothing at all, where a folder should be."""
    place = tmp_path / "here"
    if is_file:
        place.write_text("", encoding="utf-8")
    found = "a file" if is_file else "nothing of that name"
    with pytest.raises(PlanRefused, match=f"folder: found {found}"):
        open_folder(place)


def test_bulletin_gives_the_plan_after_it(tmp_path: Path) -> None:
    """0.032 + 0.050 in: the grip after it, while the plan before it stays."""
    put_plan(tmp_path, "a.yaml", "a")
    put_plan(tmp_path, "b.yaml", "b")
    put_bulletin(tmp_path, assembly="b")
    project = open_folder(tmp_path)
    assert [one.key for one in project.assemblies] == ["a", "b", "b-sb-1"]
    grips = [one.worked_plan.worked.at("grip_mm", 0) for one in project.assemblies]
    assert grips == pytest.approx([0.072 * 25.4, 0.072 * 25.4, 0.082 * 25.4])
    assert project.assemblies[2].worked_plan.worked.plan.revision == 2


def test_bulletin_for_an_assembly_not_there(tmp_path: Path) -> None:
    """It is told with its line and with the assemblies that are there."""
    put_plan(tmp_path, "a.yaml", "a")
    file = put_bulletin(tmp_path, assembly="wing")
    (line,) = faults(tmp_path)
    assert line.startswith(f"{file}:4: assembly: found wing; allowed: one of the ")
    assert "(a)" in line


def test_bulletin_without_any_plan(tmp_path: Path) -> None:
    """Alone in a folder it has nothing to change, and says so."""
    put_bulletin(tmp_path)
    (line,) = faults(tmp_path)
    assert "assembly: found no plan to change" in line
    assert "none was read" in line


def test_a_mistake_in_a_bulletin_is_told_and_not_that_it_fits_no_plan(
    tmp_path: Path,
) -> None:
    """Plan a is tried first; the slip against b is what is told."""
    put_plan(tmp_path, "a.yaml", "a")
    put_plan(tmp_path, "b.yaml", "b")
    file = put_bulletin(tmp_path, assembly="b", thick="thin")
    (line,) = faults(tmp_path)
    assert line.startswith(f"{file}:7: parts.12.thickness: found thin; ")


def test_bulletin_against_another_revision(tmp_path: Path) -> None:
    """The rest of the folder stays open; both revisions are named."""
    put_plan(tmp_path, "a.yaml", "a")
    put_bulletin(tmp_path, based_on=3)
    project = open_folder(tmp_path)
    assert [one.key for one in project.assemblies] == ["a"]
    (line,) = faults(tmp_path)
    assert "based_on: found revision 3; allowed: revision 1. Compare " in line


def test_two_bulletins_with_one_id(tmp_path: Path) -> None:
    """The copy is refused: its plan would have the key of the first."""
    put_plan(tmp_path, "a.yaml", "a")
    put_bulletin(tmp_path, "y.yaml")
    put_bulletin(tmp_path, "z.yaml")
    (line,) = faults(tmp_path)
    assert ": id: found SB-1, which y.yaml has too; " in line


def test_plans_are_opened_together_or_not_at_all(tmp_path: Path) -> None:
    """Two missing files: both are told, the good one is not worked out."""
    good = put_plan(tmp_path, "a.yaml", "a")
    with pytest.raises(PlanRefused) as refused:
        open_plans([tmp_path / "x.yaml", good, tmp_path / "y.yaml"])
    names = [Path(fault.file).name for fault in refused.value.faults]
    assert names == ["x.yaml", "y.yaml"]


def test_bulletins_are_applied_one_after_the_other(tmp_path: Path) -> None:
    """The second is written against revision 2, which the first one makes."""
    plan = put_plan(tmp_path, "a.yaml", "a")
    first = put_bulletin(tmp_path, "1.yaml")
    second = put_bulletin(tmp_path, "2.yaml", id="SB-2", based_on=2, thick=".063")
    worked = open_plan(plan, [first, second]).worked
    assert worked.plan.revision == 3
    assert worked.at("grip_mm", 0) == pytest.approx((0.032 + 0.063) * 25.4)
    with pytest.raises(PlanRefused, match="based_on"):
        open_plan(plan, [second, first])


def test_progress_goes_on_over_all_files(tmp_path: Path) -> None:
    """It never falls, ends at the whole, and names the file being worked out."""
    files = [put_plan(tmp_path, f"{id}.yaml", id) for id in ("a", "b", "c")]
    told: list[tuple[str, int, int]] = []
    open_plans(files, progress=lambda *one: told.append(one))
    done = [count for _, count, _ in told]
    assert done == sorted(done)
    assert done[-1] == told[-1][2]
    assert list(dict.fromkeys(title.partition(":")[0] for title, _, _ in told)) == [
        *("a.yaml", "b.yaml", "c.yaml")
    ]


def test_progress_of_a_folder_counts_its_bulletins(root: Path, tmp_path: Path) -> None:
    """Three plans and a bulletin of the demo: four files, the last one ends it."""
    folder = tmp_path / "copy"
    shutil.copytree(root / "examples" / "ostrel", folder)
    told: list[tuple[str, int, int]] = []
    open_folder(folder, lambda *one: told.append(one))
    done = [count / whole for _, count, whole in told]
    assert done == sorted(done)
    assert (done[-1], told[-1][0]) == (1.0, "sb-07.yaml: done")
