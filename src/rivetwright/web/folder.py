"""The folder of an aircraft, worked out and kept until a file in it changes."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from threading import Lock

from rivetwright.bench.open import (
    Assembly,
    Project,
    form_of,
    open_folder,
)
from rivetwright.errors import NotFound, PlanRefused, Refusal, nearest_hint

PLAN_ENDINGS = (".yaml", ".yml")

# Time and size of a file as they stand on disk.
Seen = dict[Path, tuple[int, int]]


@dataclass(frozen=True)
class Opened:
    """The folder as it was read, when that was, and files that say no format."""

    project: Project
    read_at: datetime
    unread: tuple[Path, ...]

    def assembly(self, key: str) -> Assembly:
        """One assembly by its key.

        Raises:
            PlanRefused: it is not there, and files of the folder were refused.
            NotFound: no plan of the folder has it.
        """
        keys = [one.key for one in self.project.assemblies]
        for one in self.project.assemblies:
            if one.key == key:
                return one
        if self.project.refused:
            # Most likely the file that was just changed: its mistakes say more.
            refused = self.project.refused
            raise PlanRefused([fault for one in refused for fault in one.faults])
        raise NotFound(
            asked=f"open the assembly {key}",
            found=f"no plan of it in the folder {self.project.folder.name}",
            allowed=f"one of: {', '.join(keys) or 'none was read'}"
            + nearest_hint(key, keys),
            do="choose one from the list of assemblies",
        )


class PlanFolder:
    """Opens a folder when asked, again only when a file in it changed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._lock = Lock()
        self._seen: Seen = {}
        self._digest = b""
        self._opened: Opened | None = None

    def now(self) -> Opened:
        """The folder as it stands on disk.

        Time and size are looked at each time, the contents only where these moved.

        Raises:
            Refusal: the folder, or a file in it, cannot be read.
        """
        with self._lock:
            try:
                return self._look()
            except OSError as problem:
                raise Refusal(
                    asked=f"read the folder {self.folder}",
                    found=f"{problem.strerror or problem}: {problem.filename}",
                    allowed="a folder whose plan files this program may read",
                    do="mend the folder or the rights of the file, then load again",
                ) from problem

    def _look(self) -> Opened:
        seen = {path: _stamp(path) for path in _written_files(self.folder)}
        if self._opened and seen == self._seen:
            return self._opened
        digest = _digest(seen)
        if not self._opened or digest != self._digest:
            read_at = datetime.now().astimezone()
            unread = tuple(path for path in seen if not form_of(path))
            self._opened = Opened(open_folder(self.folder), read_at, unread)
        self._seen, self._digest = seen, digest
        return self._opened


def _written_files(folder: Path) -> list[Path]:
    """Every file of the folder that may be a plan, a shop or a bulletin."""
    return sorted(
        path
        for path in folder.iterdir()
        if path.suffix in PLAN_ENDINGS and path.is_file()
    )


def _stamp(path: Path) -> tuple[int, int]:
    stat = path.stat()
    return stat.st_mtime_ns, stat.st_size


def _digest(seen: Seen) -> bytes:
    """SHA-256 over names and contents of the files."""
    whole = hashlib.sha256()
    for path in seen:
        whole.update(path.name.encode() + b"\0")
        whole.update(hashlib.sha256(path.read_bytes()).digest())
    return whole.digest()
