"""What is done to a disk, as one list of events in their order."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Opened:
    """A file was opened for writing; `is_new` where it was not there before."""

    path: str
    is_new: bool


@dataclass(frozen=True)
class Written:
    """Bytes were handed to the system for a place in a file."""

    path: str
    at: int
    content: bytes


@dataclass(frozen=True)
class Read:
    """Bytes were asked for; it changes nothing, so it is judged and not noted."""

    path: str
    at: int


@dataclass(frozen=True)
class Truncated:
    """A file was cut to a length."""

    path: str
    length: int


@dataclass(frozen=True)
class Synced:
    """A file's content was forced to disk; `with_folder`: its name too."""

    path: str
    with_folder: bool = False


@dataclass(frozen=True)
class Dropped:
    """A sync failed: what waited is shown on reading, and will never be on disk."""

    path: str


@dataclass(frozen=True)
class FolderMade:
    """A folder was made."""

    path: str


@dataclass(frozen=True)
class FolderSynced:
    """The names in a folder were forced to disk."""

    path: str


@dataclass(frozen=True)
class Renamed:
    """A file got another name, in place of what had that name."""

    path: str
    new: str


@dataclass(frozen=True)
class Removed:
    """A name was taken away; `with_folder`: and that was forced to disk."""

    path: str
    with_folder: bool = False


@dataclass(frozen=True)
class Acknowledged:
    """The product said that something is kept: what, and its name."""

    what: str
    named: str


Event = (
    Opened
    | Written
    | Read
    | Truncated
    | Synced
    | Dropped
    | FolderMade
    | FolderSynced
    | Renamed
    | Removed
    | Acknowledged
)
