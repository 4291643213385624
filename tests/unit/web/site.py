"""The pages of a copy of the demo, asked for from the laptop or from elsewhere."""

from __future__ import annotations

import asyncio
import json

import httpx
from fastapi import FastAPI

from rivetwright.bench.workshop import Workshop
from rivetwright.model.plan import HoleRange
from rivetwright.record.devices import LINK_DAYS, MARKS, READS, Doors
from rivetwright.web.doors import Network, network_addresses
from rivetwright.web.senders import DEVICE_COOKIE

LAPTOP, PHONE = "127.0.0.1", "192.168.7.20"
NETWORK = "192.168.7.2"
# An address of this machine that is not the laptop's own: one of the network, or
# where there is none, another one that every machine has.
HERE_TOO = next(iter(network_addresses()), "127.0.0.2")
MARK = {"X-Rivetwright": "mark"}


class Site:
    """The pages of a copy of the demo, asked for from the laptop or from elsewhere."""

    def __init__(self, app: FastAPI, workshop: Workshop) -> None:
        self.app = app
        self.workshop = workshop
        app.state.gate.network = Network((NETWORK,), (), 8766)
        assert workshop.store is not None
        self.doors = Doors(workshop.store)

    def ask(
        self,
        method: str,
        address: str,
        *,
        by: str = LAPTOP,
        host: str = "",
        token: str = "",
        **more: object,
    ) -> httpx.Response:
        """One request; from the network's address unless the laptop asks."""
        named = host or (LAPTOP if by == LAPTOP else NETWORK)
        cookies = {DEVICE_COOKIE: token} if token else {}

        async def once() -> httpx.Response:
            transport = httpx.ASGITransport(
                self.app, raise_app_exceptions=False, client=(by, 5000)
            )
            async with httpx.AsyncClient(
                transport=transport, base_url=f"http://{named}", cookies=cookies
            ) as client:
                return await client.request(method, address, **more)  # type: ignore[arg-type]

        return asyncio.run(once())

    def phone(self, role: str = MARKS) -> str:
        """The token of a paired device."""
        return self.doors.add("phone", "builder", role)[1]

    def link(self) -> str:
        """The token of a link that only reads."""
        return self.doors.add("inspector", "", READS, days=LINK_DAYS)[1]

    def mark(self, number: int = 1, **body: object) -> dict[str, object]:
        """A mark: rivets set in A17, or what is given."""
        ids = self.workshop.hole_ids("aileron")
        holes = list(ids.ranges(ids.holes.indices(HoleRange("A17", 1, 6))))
        said = {"holes": holes, "callout": "MS20426AD3-3"} | body
        return {
            "fact": 1,
            "id": f"{number:032x}",
            "kind": "rivets-set",
            "version": 1,
            "assembly": "aileron",
            "device_seq": number,
            "happened": "2026-11-25T12:00:00.000Z",
            "revision": 1,
            "saw": 158,
            "body": said,
        }

    def send(
        self, *marks: object, by: str = PHONE, token: str = "", **headers: str
    ) -> httpx.Response:
        """Marks as the page's script sends them."""
        own = {name.replace("_", "-"): value for name, value in headers.items()}
        text = json.dumps({"marks": marks})
        return self.ask(
            "POST", "/api/marks", by=by, token=token, content=text, headers=MARK | own
        )
