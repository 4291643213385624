"""A server that tells when it is ready."""

from __future__ import annotations

import threading

import uvicorn


class Running(uvicorn.Server):
    """A server that tells when it is ready."""

    def __init__(self, settings: uvicorn.Config) -> None:
        super().__init__(settings)
        self.ready = threading.Event()

    async def startup(self, sockets: list[object] | None = None) -> None:
        """Start, and say so."""
        await super().startup(sockets)  # type: ignore[arg-type]
        self.ready.set()
