"""A layer between SQLite and the system that notes, or refuses, what is done to files.

It is registered in the very library that Python's own module uses, so that the
product opens its record as it always does. The system's layer does the work: only
its table of calls is copied and some of them replaced. Shared memory is passed on.
"""

from __future__ import annotations

import _sqlite3
import ctypes
import ctypes.util
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

from tests.fault.events import (
    Dropped,
    Event,
    Opened,
    Read,
    Removed,
    Synced,
    Truncated,
    Written,
)

FINE, READ_ONLY, FULL = 0, 8, 13
READ_FAULT, WRITE_FAULT, SYNC_FAULT = 266, 778, 1034

_NEW_SYNCS_FOLDER = 0x800 | 0x4000 | 0x80000  # main journal, super journal, WAL
_CREATES = 0x4
_VOID, _INT, _LONG = ctypes.c_void_p, ctypes.c_int, ctypes.c_int64

# A name is passed as its address: SQLite keeps it, and reads on behind its end.
_OPEN = ctypes.CFUNCTYPE(_INT, _VOID, _VOID, _VOID, _INT, _VOID)
_DELETE = ctypes.CFUNCTYPE(_INT, _VOID, ctypes.c_char_p, _INT)
_CLOSE = ctypes.CFUNCTYPE(_INT, _VOID)
_READ = ctypes.CFUNCTYPE(_INT, _VOID, _VOID, _INT, _LONG)
_WRITE = ctypes.CFUNCTYPE(_INT, _VOID, _VOID, _INT, _LONG)
_TRUNCATE = ctypes.CFUNCTYPE(_INT, _VOID, _LONG)
_SYNC = ctypes.CFUNCTYPE(_INT, _VOID, _INT)

_METHODS_V3 = "xClose xRead xWrite xTruncate xSync xFileSize xLock xUnlock"
_METHODS_V3 += " xCheckReservedLock xFileControl xSectorSize xDeviceCharacteristics"
_METHODS_V3 += " xShmMap xShmLock xShmBarrier xShmUnmap xFetch xUnfetch"
_METHODS_OF = {1: 12, 2: 16, 3: 18}  # calls in each version of the table
_LAYER_V3 = "xOpen xDelete xAccess xFullPathname xDlOpen xDlError xDlSym xDlClose"
_LAYER_V3 += " xRandomness xSleep xCurrentTime xGetLastError xCurrentTimeInt64"
_LAYER_V3 += " xSetSystemCall xGetSystemCall xNextSystemCall"


class _Methods(ctypes.Structure):
    """SQLite's table of calls on an open file, up to its third version."""

    _fields_ = (
        ("iVersion", _INT),
        *((name, _VOID) for name in _METHODS_V3.split()),
    )


class _Layer(ctypes.Structure):
    """SQLite's description of a file system, up to its third version."""

    _fields_ = (
        ("iVersion", _INT),
        ("szOsFile", _INT),
        ("mxPathname", _INT),
        ("pNext", _VOID),
        ("zName", ctypes.c_char_p),
        ("pAppData", _VOID),
        *((name, _VOID) for name in _LAYER_V3.split()),
    )


Judge = Callable[[Event], int]


def let_pass(event: Event) -> int:
    """Refuse nothing."""
    return FINE


def _library_path() -> str:
    """Where the SQLite library is that Python's module has loaded."""
    maps = Path("/proc/self/maps")
    if maps.exists():
        for line in maps.read_text(encoding="utf-8").splitlines():
            path = line.rpartition(" ")[2]
            if "libsqlite3" in path:
                return path
    return ctypes.util.find_library("sqlite3") or _sqlite3.__file__


class Shim:
    """The layer: notes events in `told`, asks `judge` what to answer to each.

    While it is on, nothing waits for the real disk: what a power cut would leave is
    worked out from the events, never taken from the disk itself.
    """

    def __init__(self) -> None:
        self.told: list[Event] = []
        self.judge: Judge = let_pass
        self.opened: dict[str, int] = {}
        self._paths: dict[int, str] = {}
        self._unsynced_names: set[str] = set()
        self._tables: dict[int, tuple[_Methods, _Methods]] = {}
        self._real_of: dict[int, _Methods] = {}
        self._library = ctypes.CDLL(_library_path())
        self._library.sqlite3_vfs_find.restype = _VOID
        self._library.sqlite3_vfs_find.argtypes = [ctypes.c_char_p]
        self._library.sqlite3_vfs_register.argtypes = [_VOID, _INT]
        self._real_place = self._library.sqlite3_vfs_find(None)
        self._real = _Layer.from_address(self._real_place)
        self._calls = {
            "xClose": _CLOSE(self._close),
            "xRead": _READ(self._read),
            "xWrite": _WRITE(self._write),
            "xTruncate": _TRUNCATE(self._truncate),
            "xSync": _SYNC(self._sync),
        }
        self._on_open, self._on_delete = _OPEN(self._open), _DELETE(self._delete)
        self._layer = _Layer()
        ctypes.memmove(
            ctypes.byref(self._layer), self._real_place, ctypes.sizeof(_Layer)
        )
        self._layer.zName = b"noted"
        self._layer.pNext = None
        self._layer.xOpen = ctypes.cast(self._on_open, _VOID).value
        self._layer.xDelete = ctypes.cast(self._on_delete, _VOID).value

    def put_on(self) -> None:
        """Make this layer the one that every new connection uses."""
        self._library.sqlite3_vfs_register(ctypes.byref(self._layer), 1)

    def take_off(self) -> None:
        """Give the system's layer back; open connections keep this one."""
        self._library.sqlite3_vfs_register(self._real_place, 1)

    def ask(self, event: Event) -> int:
        """What is to be answered to an event; noted only where it is done."""
        answer = self.judge(event)
        if answer == FINE:
            self.told.append(event)
        elif answer == SYNC_FAULT and isinstance(event, Synced):
            self.told.append(Dropped(event.path))
        return answer

    def _open(
        self, layer: int, name: int | None, file: int, flags: int, out: int
    ) -> int:
        path = os.fsdecode(ctypes.string_at(name)) if name else ""
        is_new = bool(path) and not os.path.exists(path)
        if is_new and flags & _CREATES:
            refused = self.judge(Opened(path, is_new))
            if refused:
                ctypes.memset(file, 0, ctypes.sizeof(_VOID))
                return refused
        answer = int(_OPEN(self._real.xOpen)(self._real_place, name, file, flags, out))
        if answer == FINE and path:
            self._watch(file, path)
            if flags & _CREATES:
                self.told.append(Opened(path, is_new))
            if is_new and flags & _NEW_SYNCS_FOLDER:
                self._unsynced_names.add(path)
        return answer

    def _watch(self, file: int, path: str) -> None:
        """Put our calls in place of the system's in an open file."""
        place = _VOID.from_address(file)
        real_place = int(place.value or 0)
        if real_place not in self._tables:
            real, ours = _Methods.from_address(real_place), _Methods()
            count = _METHODS_OF[min(real.iVersion, 3)]
            size = _Methods.xClose.offset + count * ctypes.sizeof(_VOID)
            ctypes.memmove(ctypes.byref(ours), real_place, size)
            for name, call in self._calls.items():
                setattr(ours, name, ctypes.cast(call, _VOID).value)
            self._tables[real_place] = (real, ours)
        real, ours = self._tables[real_place]
        self._paths[file], self._real_of[file] = path, real
        place.value = ctypes.addressof(ours)

    def _close(self, file: int) -> int:
        real = self._real_of.pop(file)
        self._paths.pop(file)
        return int(_CLOSE(real.xClose)(file))

    def _read(self, file: int, into: int, count: int, at: int) -> int:
        answer = self.judge(Read(self._paths[file], at))
        if answer != FINE:
            return answer
        return int(_READ(self._real_of[file].xRead)(file, into, count, at))

    def _write(self, file: int, source: int, count: int, at: int) -> int:
        content = ctypes.string_at(source, count)
        answer = self.ask(Written(self._paths[file], at, content))
        if answer == WRITE_FAULT:  # a fault in the midst: half of it is there
            half = count // 2
            _WRITE(self._real_of[file].xWrite)(file, source, half, at)
            self.told.append(Written(self._paths[file], at, content[:half]))
        if answer != FINE:
            return answer
        return int(_WRITE(self._real_of[file].xWrite)(file, source, count, at))

    def _truncate(self, file: int, length: int) -> int:
        answer = self.ask(Truncated(self._paths[file], length))
        if answer != FINE:
            return answer
        return int(_TRUNCATE(self._real_of[file].xTruncate)(file, length))

    def _sync(self, file: int, flags: int) -> int:
        path = self._paths[file]
        answer = self.ask(Synced(path, path in self._unsynced_names))
        if answer == FINE:
            self._unsynced_names.discard(path)
        return answer

    def _delete(self, layer: int, name: bytes, with_folder: int) -> int:
        path = os.fsdecode(name)
        if os.path.exists(path):
            answer = self.ask(Removed(path, bool(with_folder)))
            if answer != FINE:
                return answer
            self._unsynced_names.discard(path)
        real = _DELETE(self._real.xDelete)
        return int(real(self._real_place, name, 0))


@cache
def _shim() -> Shim:
    """The one layer of this process: SQLite keeps pointers into it for good."""
    return Shim()


@contextmanager
def noted_files(judge: Judge = let_pass) -> Iterator[Shim]:
    """Have SQLite go through the layer; close every connection before the end."""
    shim = _shim()
    shim.told, shim.judge = [], judge
    shim.put_on()
    try:
        yield shim
    finally:
        shim.take_off()
        shim.judge = let_pass
