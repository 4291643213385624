"""Bring the store's schema up to this program's; facts are never touched by it."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from rivetwright.errors import StoreRefused

SCHEMA = Path(__file__).parent / "schema"


def _settings(connection: Connection) -> Config:
    config = Config()
    config.set_main_option("script_location", str(SCHEMA))
    config.attributes["connection"] = connection
    return config


def schema_of(connection: Connection) -> str:
    """The schema a store has; empty where it has none yet."""
    return MigrationContext.configure(connection).get_current_revision() or ""


def newest_schema(connection: Connection) -> str:
    """The schema this program writes."""
    return ScriptDirectory.from_config(_settings(connection)).get_current_head() or ""


def needs_upgrade(connection: Connection) -> bool:
    """Whether a store has a schema, and an older one than this program's.

    Raises:
        StoreRefused: its schema is one this program does not know.
    """
    have, want = schema_of(connection), newest_schema(connection)
    known = {
        step.revision
        for step in ScriptDirectory.from_config(_settings(connection)).walk_revisions()
    }
    if have and have not in known:
        raise StoreRefused(
            asked="open the record",
            found=f"schema {have}, made by a newer program",
            allowed=f"schema {want} or older",
            do="bring this program up to date; the record was not changed",
        )
    return bool(have) and have != want


def upgrade(connection: Connection) -> None:
    """Run every step that the store has not had; all of them or none.

    Raises:
        StoreRefused: its schema is newer than this program's.
    """
    needs_upgrade(connection)
    if schema_of(connection) != newest_schema(connection):
        command.upgrade(_settings(connection), "head")


def drift(connection: Connection) -> list[object]:
    """Differences between the tables as they are and as `record.tables` has them."""
    from alembic.autogenerate import compare_metadata

    from rivetwright.record.tables import metadata

    context = MigrationContext.configure(connection)
    return list(compare_metadata(context, metadata))
