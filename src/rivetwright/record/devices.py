"""Who may come in: paired devices, one-time codes, links to read.

Only hashes of codes and tokens are kept, so that the file gives nobody a way in.
"""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import Connection

from rivetwright.errors import NotAllowed
from rivetwright.record.database import Database, told
from rivetwright.record.order import write_utc
from rivetwright.record.store import Store

OWNER, MARKS, READS = "owner", "marks", "reads"
CODE_BYTES, TOKEN_BYTES, ID_BYTES = 16, 32, 8
CODE_MINUTES, LINK_DAYS = 10, 30
NAME_MAX = 80


@dataclass(frozen=True)
class Device:
    """A device that was paired; `shut_at` is empty while it may come in."""

    id: str
    name: str
    person: str
    role: str
    paired_at: str
    until: str
    seen_at: str
    shut_at: str


_CODE = "SELECT role, person, until, used_at FROM pair_codes WHERE code_hash = ?"
_COLUMNS = "id, name, person, role, paired_at, until, seen_at, shut_at"


class Doors:
    """Codes and devices of one store."""

    def __init__(self, store: Store) -> None:
        self.store = store

    def _now(self, **later: int) -> str:
        return write_utc(self.store.clock() + timedelta(**later))

    def make_code(self, role: str, person: str, minutes: int = CODE_MINUTES) -> str:
        """A code that pairs one device, once, for some minutes."""
        code = secrets.token_urlsafe(CODE_BYTES)
        line = (_hash(code), role, person, self._now(minutes=minutes), "")
        with self.store.transaction("make a code") as (connection, database):
            database.put(
                connection,
                "INSERT INTO pair_codes (code_hash, role, person, until, used_at) "
                "VALUES (?, ?, ?, ?, ?)",
                [line],
            )
        return code

    def is_open(self, code: str) -> bool:
        """Whether a code can still pair a device."""
        asked = "SELECT until, used_at FROM pair_codes WHERE code_hash = ?"
        with told("look at a code"), self.store.database.reading() as connection:
            found = self.store.database.ask(connection, asked, _hash(code))
        return bool(found) and not found[0][1] and found[0][0] > self._now()

    def pair(self, code: str, name: str) -> tuple[Device, str]:
        """Pair a device by a code, which is used up; gives the device's token.

        Raises:
            NotAllowed: the code is unknown, used, or too old.
        """
        with self.store.transaction("pair a device") as (connection, database):
            found = database.ask(connection, _CODE, _hash(code))
            if not found or found[0][3] or found[0][2] <= self._now():
                raise NotAllowed(
                    asked="pair this device",
                    found="a code that is unknown, used, or too old",
                    allowed=f"a code used once within {CODE_MINUTES} minutes",
                    do="make a new one on the laptop's page Devices",
                )
            used = "UPDATE pair_codes SET used_at = ? WHERE code_hash = ?"
            database.put(connection, used, [(self._now(), _hash(code))])
            role, person = found[0][:2]
            return self._add(connection, database, name, person, role, "")

    def add(
        self, name: str, person: str, role: str, days: int = 0
    ) -> tuple[Device, str]:
        """A device let in without a code: the laptop itself, or a link to read."""
        until = self._now(days=days) if days else ""
        with self.store.transaction("let a device in") as (connection, database):
            return self._add(connection, database, name, person, role, until)

    def _add(
        self,
        connection: Connection,
        database: Database,
        name: str,
        person: str,
        role: str,
        until: str,
    ) -> tuple[Device, str]:
        token = secrets.token_urlsafe(TOKEN_BYTES)
        now = self._now()
        named = " ".join(name.split())[:NAME_MAX] or "a device"
        device = Device(
            secrets.token_hex(ID_BYTES), named, person, role, now, until, now, ""
        )
        line = (device.id, named, person, role, _hash(token), now, until, now, "")
        database.put(
            connection,
            "INSERT INTO devices (id, name, person, role, token_hash, paired_at, "
            "until, seen_at, shut_at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            [line],
        )
        return device, token

    def device_of(self, token: str) -> Device | None:
        """The device a token belongs to; None where it may not come in."""
        asked = f"SELECT {_COLUMNS} FROM devices WHERE token_hash = ?"
        with told("look at a device"), self.store.database.reading() as connection:
            found = self.store.database.ask(connection, asked, _hash(token))
        if not found:
            return None
        device = Device(*found[0])
        is_over = bool(device.until) and device.until <= self._now()
        return None if device.shut_at or is_over else device

    def seen(self, device: Device) -> None:
        """Note that a device was here."""
        noted = "UPDATE devices SET seen_at = ? WHERE id = ?"
        with self.store.transaction("note a device") as (connection, database):
            database.put(connection, noted, [(self._now(), device.id)])

    def shut_out(self, device: str) -> bool:
        """Let a device in no longer; False where it is unknown."""
        there = {one.id for one in self.devices()}
        shut = "UPDATE devices SET shut_at = ? WHERE id = ? AND shut_at = ''"
        with self.store.transaction("shut a device out") as (connection, database):
            database.put(connection, shut, [(self._now(), device)])
        return device in there

    def devices(self) -> list[Device]:
        """Every device that was ever let in, newest first."""
        asked = f"SELECT {_COLUMNS} FROM devices ORDER BY paired_at DESC, id"
        with told("list the devices"), self.store.database.reading() as connection:
            return [
                Device(*line) for line in self.store.database.ask(connection, asked)
            ]


def _hash(secret: str) -> str:
    """What is kept of a code or token; both are long and random, so no salt."""
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()
