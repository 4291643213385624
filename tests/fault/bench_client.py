"""A phone at the bench that posts marks and photos to the served pages."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import httpx

from rivetwright.record.fact import Fact, as_json
from rivetwright.record.kinds import PhotoTaken
from tests.fault.jobs import made_picture
from tests.fault.made_facts import made_fact

ASSEMBLY, BROWSER = "root-rib", "0badcafe"
DEVICE = f"laptop-{BROWSER}"  # what the server calls this browser
PHOTO_EVERY = 7


@dataclass
class BenchClient:
    """Marks in their order; `kept` are the ids that the server acknowledged."""

    made: int = 0
    kept: set[str] = field(default_factory=set)
    waiting: list[Fact] = field(default_factory=list)

    def _line(self, url: str) -> httpx.Client:
        return httpx.Client(
            base_url=url,
            headers={"X-Rivetwright": "mark", "Origin": url},
            cookies={"rivetwright_browser": BROWSER},
            timeout=30,
        )

    def work(self, url: str) -> None:
        """Post until the server is gone; what was not answered waits."""
        with self._line(url) as line:
            try:
                self._send(line, self.waiting)
                while True:
                    self.waiting = self.make(1 + self.made % 4)
                    self._send(line, self.waiting)
            except httpx.TransportError:
                return

    def empty(self, url: str) -> None:
        """Post what waits, and nothing new."""
        with self._line(url) as line:
            self._send(line, self.waiting)

    def make(self, count: int) -> list[Fact]:
        """The next so many marks, some of them photos."""
        made = []
        for number in range(self.made + 1, self.made + count + 1):
            fact = replace(made_fact(DEVICE, number), assembly=ASSEMBLY, revision=0)
            if number % PHOTO_EVERY == 0:  # digest and size are the server's to say
                fact = replace(fact, body=PhotoTaken("", "", 0, caption="set"))
            made.append(fact)
        self.made += count
        return made

    def _send(self, line: httpx.Client, facts: Sequence[Fact]) -> None:
        marks = [one for one in facts if not isinstance(one.body, PhotoTaken)]
        said = {"marks": [mark_of(one) for one in marks]}
        self._take(line.post("/api/marks", json=said))
        for fact in facts:
            if isinstance(fact.body, PhotoTaken):
                picture = made_picture(DEVICE, fact.device_seq)
                mark = json.dumps(mark_of(fact))
                files = {"file": ("photo.jpg", picture, "image/jpeg")}
                self._take(line.post("/api/photo", files=files, data={"mark": mark}))
        self.waiting = []

    def _take(self, answer: httpx.Response) -> None:
        said = answer.raise_for_status().json()
        assert said["refused"] == []
        self.kept.update(one["id"] for one in said["kept"])


def mark_of(fact: Fact) -> dict[str, Any]:
    """A fact as a phone sends it: who sends is not its own to say."""
    said = as_json(fact)
    if isinstance(fact.body, PhotoTaken):
        said["body"] = {"caption": fact.body.caption}
    return {
        name: value
        for name, value in said.items()
        if name not in ("project", "person", "device")
    }
