"""A finding is answered on the page: it stays, and no longer stops."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from rivetwright.bench.evening import evening
from rivetwright.bench.workshop import Workshop
from rivetwright.web.app import create_app

ADDRESS = "/assembly/aileron"
FINDING = "LENGTH-01 A11:1"
# No bar goes in behind the flanges of the last holes of the end ribs.
NO_TOOL = [f"REACH-01 {row}:1" for row in ("A23", "A24", "A25", "A26")]


@pytest.fixture
def workshop(demo_folder: Path, tmp_path: Path) -> Iterator[Workshop]:
    """A copy of the demo whose record was begun."""
    folder = tmp_path / "ostrel"
    shutil.copytree(demo_folder, folder)
    opened = Workshop(folder)
    opened.begin()
    yield opened
    opened.close()


def ask(workshop: Workshop, *, data: dict[str, object] | None = None) -> httpx.Response:
    """The page of the aileron, or its answer form sent."""

    async def once() -> httpx.Response:
        transport = httpx.ASGITransport(create_app(workshop))
        async with httpx.AsyncClient(
            transport=transport, base_url="http://127.0.0.1"
        ) as client:
            if data is None:
                return await client.get(ADDRESS)
            return await client.post(f"{ADDRESS}/answer", data=data)

    return asyncio.run(once())


def form(workshop: Workshop, **more: object) -> dict[str, object]:
    """The form as it is filled in."""
    return {
        "finding": [FINDING],
        "answer": "Use the -3.5; the drawing will be corrected.",
        "by": "kit supplier",
        "document": "letter of 2026-11-30",
        "saw": workshop.position(),
    } | more


def test_answered_finding_stays_and_no_longer_stops(workshop: Workshop) -> None:
    """A11 stops, and what no tool reaches; afterwards nothing, and it is shown."""
    key = "aileron"
    before = workshop.now().assembly(key).worked_plan
    assert before.stops
    assert ask(workshop, data=form(workshop)).status_code == 303
    assert workshop.now().assembly(key).worked_plan.stops
    assert ask(workshop, data=form(workshop, finding=NO_TOOL)).status_code == 303
    after = workshop.now().assembly(key).worked_plan
    assert len(after.findings) == len(before.findings)
    assert not after.stops
    page = ask(workshop).text
    assert "kit supplier answered:" in page
    assert "letter of 2026-11-30" in page
    runs = evening(workshop, key, "aileron-6").runs
    assert [(run.row, run.count) for run in runs] == [("A11", 36)]


def test_answer_without_words_is_refused(workshop: Workshop) -> None:
    """Who said it is needed; nothing is recorded."""
    before = workshop.position()
    assert ask(workshop, data=form(workshop, by=" ")).status_code == 422
    assert workshop.position() == before


def test_stale_answer_is_refused(workshop: Workshop) -> None:
    """Somebody recorded since the page was loaded: look again first."""
    old = form(workshop, saw=1)
    answer = ask(workshop, data=old)
    assert answer.status_code == 409
    assert "decide again" in answer.text


def test_unknown_finding_is_refused(workshop: Workshop) -> None:
    """A finding that the plan no longer has."""
    answer = ask(workshop, data=form(workshop, finding=["LENGTH-01 Z9:1"]))
    assert answer.status_code == 404
