"""Pages asked for without a network."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import httpx
import pytest
from fastapi import FastAPI

from rivetwright.bench.open import Assembly, open_folder
from rivetwright.bench.workshop import Workshop
from rivetwright.web.app import create_app
from tests.unit.web.site import Site
from tests.worked_once import worked_once  # noqa: F401  (for every test)

Ask = Callable[..., httpx.Response]


def ask_of(app: FastAPI) -> Ask:
    """A function that asks an app for a page, by the name given or 127.0.0.1."""

    def ask(address: str, host: str = "127.0.0.1", **more: object) -> httpx.Response:
        async def once() -> httpx.Response:
            # The page of a mistake of ours is an answer too.
            transport = httpx.ASGITransport(app, raise_app_exceptions=False)
            base = f"http://{host}"
            async with httpx.AsyncClient(transport=transport, base_url=base) as client:
                return await client.get(address, **more)  # type: ignore[arg-type]

        return asyncio.run(once())

    return ask


@pytest.fixture(scope="session")
def demo_folder(root: Path) -> Path:
    """Where the demo's plan files are."""
    return root / "examples" / "ostrel"


@pytest.fixture(scope="session")
def ask(demo_folder: Path) -> Ask:
    """Ask the demo's pages."""
    return ask_of(create_app(demo_folder))


@pytest.fixture(scope="session")
def assemblies(demo_folder: Path) -> dict[str, Assembly]:
    """The demo's assemblies by their keys."""
    return {one.key: one for one in open_folder(demo_folder).assemblies}


@pytest.fixture(scope="session")
def begun(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo whose record was begun; to be copied, not written in."""
    folder = tmp_path_factory.mktemp("begun") / "ostrel"
    shutil.copytree(demo_folder, folder)
    workshop = Workshop(folder)
    workshop.begin()
    workshop.close()
    return folder


@pytest.fixture
def site(begun: Path, tmp_path: Path) -> Iterator[Site]:
    """The pages of a copy of the demo whose record was begun."""
    folder = tmp_path / "ostrel"
    shutil.copytree(begun, folder)
    workshop = Workshop(folder)
    yield Site(create_app(workshop), workshop)
    workshop.close()
