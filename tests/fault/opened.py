"""A record opened as the product opens it, with this machine's clock."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from rivetwright.record import store
from rivetwright.record.store import Clock, Store


def utc_now() -> datetime:
    """The time now."""
    return datetime.now(UTC)


def open_store(
    place: Path, *, clock: Clock = utc_now, read_only: bool = False
) -> Store:
    """Open a record."""
    return store.open_store(place, clock=clock, read_only=read_only)
