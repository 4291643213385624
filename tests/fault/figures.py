"""How often is killed in what, and what is noted of a run.

RIVETWRIGHT_KILLS names how often in all; `python3 run.py fault` kills 1,000 times.
"""

from __future__ import annotations

import json
import os
import time
from collections import Counter
from dataclasses import dataclass

from tests.conftest import ROOT
from tests.fault.child import Ended
from tests.fault.told import FIGURES

KILLS = int(os.environ.get("RIVETWRIGHT_KILLS") or 60)


@dataclass(frozen=True)
class Work:
    """A kind of work to be killed in.

    `share` of all kills; a child lives so many seconds or events of the disk at most;
    so many kills hit one record.
    """

    share: float
    seconds: float
    events: int
    kills_a_record: int = 15


KINDS = {
    "marks": Work(0.35, 0.15, 400),
    "serve": Work(0.05, 0.5, 0),
    "photos": Work(0.2, 0.3, 300),
    "backups": Work(0.2, 0.4, 400, 8),
    "upgrade": Work(0.1, 0.3, 260, 1),
    "begin": Work(0.05, 0.0, 330, 1),
    "restore": Work(0.05, 0.0, 40, 1),
}


class Figures:
    """What is told of a run: how many kills, what was acknowledged, how long."""

    def __init__(self, job: str) -> None:
        self.kills = max(round(KILLS * KINDS[job].share), 1)
        self._job = job
        self._told = Counter[str]()
        self._began = time.monotonic()

    def count(self, ended: Ended) -> None:
        """Take in one kill."""
        self._told.update(what for what, _ in ended.told)

    def keep(self) -> None:
        """Note the figures of a run that held, where a person finds them."""
        FIGURES[self._job] = {
            "kills": self.kills,
            "acknowledged": sum(self._told.values()),
            "lost": 0,
            "seconds": round(time.monotonic() - self._began, 1),
        }
        path = ROOT / "build" / "fault.json"
        path.parent.mkdir(exist_ok=True)
        path.write_text(json.dumps(FIGURES, indent=1) + "\n", encoding="utf-8")
