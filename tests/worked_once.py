"""Folders worked out once for all tests of a process, not once for each test.

Reading and working out know no clock and keep nothing: the same files give the same
plans. So a test's own copy of the demo gets the plans of the first copy.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from unittest.mock import patch

import pytest

from rivetwright.bench import workshop
from rivetwright.bench.open import ENDINGS, Project, open_folder
from rivetwright.cli import main
from rivetwright.engines.plan import work_out
from rivetwright.engines.worked import Progress

Written = tuple[tuple[str, bytes], ...]

_KNOWN: dict[Written, Project] = {}
_work_out_once = lru_cache(maxsize=256)(work_out)


def written(folder: Path) -> Written:
    """Names and contents of the files that are read as plan, shop or bulletin."""
    files = sorted(path for path in folder.iterdir() if path.suffix in ENDINGS)
    return tuple((path.name, path.read_bytes()) for path in files)


def open_once(folder: Path, progress: Progress | None = None) -> Project:
    """A folder as `open_folder` gives it; what was refused is read each time."""
    try:
        files = written(folder)
    except OSError:
        return open_folder(folder, progress)
    if files not in _KNOWN:
        opened = open_folder(folder, progress)
        if opened.refused:
            return opened
        _KNOWN[files] = opened
    return _lying_in(folder, _KNOWN[files])


def _lying_in(folder: Path, project: Project) -> Project:
    """The same project in another folder."""
    assemblies = (
        replace(one, file=folder / one.file.name) for one in project.assemblies
    )
    return replace(project, folder=folder, assemblies=tuple(assemblies))


@pytest.fixture(scope="module", autouse=True)
def worked_once() -> Iterator[None]:
    """While the tests of a file run, workshops work out what is not known yet."""
    with (
        patch.object(main, "open_folder", open_once),
        patch.object(workshop, "open_folder", open_once),
        patch.object(workshop, "work_out", _work_out_once),
    ):
        yield
