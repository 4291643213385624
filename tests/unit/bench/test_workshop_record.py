"""A folder and its record: begun once, read again after a break, shared by threads."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from rivetwright.bench.workshop import Workshop
from rivetwright.errors import NotFound, PlanRefused, StoreRefused
from rivetwright.intake.plan_file import read_plan_text
from rivetwright.web.pages.project import starting_plan
from tests.unit.bench.conftest import Clock, Phone


@pytest.fixture
def panel(tmp_path: Path, clock: Clock) -> Iterator[Workshop]:
    """A folder with one small plan whose record was begun."""
    folder = tmp_path / "panel"
    folder.mkdir()
    (folder / "panel.yaml").write_text(starting_plan(), "utf-8")
    opened = Workshop(folder, clock=clock)
    opened.begin()
    yield opened
    opened.close()


def set_rivet(workshop: Workshop, phone: Phone, number: int) -> None:
    """Set one rivet of the panel, as the plan has it."""
    holes = workshop.hole_ids("panel").holes
    answer = phone.record(
        "rivets-set", holes.name(number - 1), key="panel", callout=str(holes.callout(0))
    )
    assert answer.refused == ()


def test_folder_without_a_record_works(demo_copy: Path, clock: Clock) -> None:
    """Nothing is written, and what had happened is what the files say."""
    bare = Workshop(demo_copy, clock=clock)
    assert not bare.has_record
    assert bare.position() == 0
    assert bare.state().assemblies == {}
    opening = bare.now().assembly("aileron").worked_plan.worked.plan.opening
    assert opening.done
    assert not (demo_copy / "record").exists()
    with pytest.raises(NotFound, match="no record"):
        bare.append([])


def test_closed_and_opened_again_it_says_the_same(
    panel: Workshop, clock: Clock
) -> None:
    """The evening after: the same rivets, the same position."""
    set_rivet(panel, Phone(panel), 1)
    before, position = panel.state(), panel.position()
    panel.close()
    again = Workshop(panel.folder, clock=clock)
    try:
        assert again.has_record
        assert again.position() == position
        assert again.state() == before
    finally:
        again.close()


def test_second_program_on_one_folder_is_refused(panel: Workshop, clock: Clock) -> None:
    """Two writers would each think to be alone."""
    with pytest.raises(StoreRefused):
        Workshop(panel.folder, clock=clock)
    set_rivet(panel, Phone(panel), 1)


def test_plan_file_is_kept_with_the_record(panel: Workshop) -> None:
    """The very bytes that were issued, whatever becomes of the file."""
    file = panel.folder / "panel.yaml"
    issued = file.read_bytes()
    file.write_bytes(issued + b"# changed\n")
    digest = panel.state().assembly("panel").revision_digest
    assert panel.document(digest) == ("application/yaml", issued)
    assert panel.document("0" * 64) is None


def test_broken_plan_file_leads_away_from_no_record(
    panel: Workshop, clock: Clock
) -> None:
    """The only plan is broken: the record is still read, now and when opened again."""
    set_rivet(panel, Phone(panel), 1)
    position, project = panel.position(), panel.project_id
    (panel.folder / "panel.yaml").write_text("format: rivetwright plan 1\n", "utf-8")
    assert panel.position() == position
    panel.close()
    again = Workshop(panel.folder, clock=clock)
    try:
        assert (again.project_id, again.position()) == (project, position)
        with pytest.raises(PlanRefused):
            again.now().assembly("panel")
    finally:
        again.close()


def test_plan_of_another_aircraft_beside_it(panel: Workshop, clock: Clock) -> None:
    """A file that comes first by name, of another project, changes no record."""
    project = panel.project_id
    other = starting_plan().replace("id: panel", "id: lid")
    other = other.replace(project, "11111111-2222-4333-8444-555555555555")
    assert project not in other
    (panel.folder / "a.yaml").write_text(other, "utf-8")
    panel.close()
    again = Workshop(panel.folder, clock=clock)
    try:
        assert again.project_id == project
        assert again.state().assembly("panel").revision == 1
    finally:
        again.close()


def test_no_plan_is_no_record(tmp_path: Path, clock: Clock) -> None:
    """An empty folder: nothing to keep a record of, and none is made."""
    with pytest.raises(NotFound, match="no plan"):
        Workshop(tmp_path, clock=clock).begin()
    assert not (tmp_path / "record").exists()


def test_position_grows_with_each_fact(panel: Workshop) -> None:
    """What live pages wait for."""
    phone = Phone(panel)
    first = panel.position()
    for n in (1, 2, 3):
        set_rivet(panel, phone, n)
        assert panel.position() == first + n == panel.state().position


def test_shared_database_holds_two_folders(tmp_path: Path, clock: Clock) -> None:
    """One database, two aircraft, each with its own record."""
    place = str(tmp_path / "shared.sqlite")
    found = []
    written = read_plan_text(starting_plan()).project.id
    for k in (1, 2):
        folder = tmp_path / str(k)
        folder.mkdir()
        project = f"{k}1111111-2222-4333-8444-555555555555"
        text = starting_plan().replace(written, project)
        (folder / "panel.yaml").write_text(text, "utf-8")
        opened = Workshop(folder, place, clock)
        opened.begin()
        found.append((opened.is_shared, opened.project_id, opened.position()))
        opened.close()
    (_, first, count), (_, second, other_count) = found
    assert first != second
    assert count == other_count
    assert all(is_shared for is_shared, _, _ in found)


def test_many_threads_mark_and_read(panel: Workshop) -> None:
    """Eight phones set a hole each while pages read: eight rivets, none odd."""

    def one(k: int) -> int:
        set_rivet(panel, Phone(panel, f"phone-{k}"), k)
        worked = panel.now().assembly("panel").worked_plan.worked
        return int(worked.holes.is_set.sum())

    with ThreadPoolExecutor(8) as threads:
        seen = list(threads.map(one, range(1, 9)))
    assert all(count >= 1 for count in seen)
    assert int(panel.now().assembly("panel").worked_plan.worked.holes.is_set.sum()) == 8
    assert panel.state().flags == []
