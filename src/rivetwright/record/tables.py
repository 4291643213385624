"""The tables of the store, and the triggers that keep facts from being changed."""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Column,
    Connection,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    UniqueConstraint,
    text,
)

metadata = MetaData()
_BIG = BigInteger().with_variant(Integer, "sqlite")

# One line a fact. What stands beside `stored` follows from it, to be found by.
facts = Table(
    "facts",
    metadata,
    Column("project", String(200), primary_key=True),
    Column("seq", _BIG, primary_key=True, autoincrement=False),
    Column("id", String(32), nullable=False),
    Column("assembly", String(200), nullable=False),
    Column("device", String(200), nullable=False),
    Column("device_seq", _BIG, nullable=False),
    Column("arrived", String(24), nullable=False),
    Column("digest", String(64), nullable=False),
    Column("stored", LargeBinary, nullable=False),
    UniqueConstraint("project", "id", name="one_fact_an_id"),
    Index("facts_of_assembly", "project", "assembly", "seq"),
    Index("facts_of_device", "project", "device", "device_seq"),
)
# Plan files and bulletins as they were issued, by the digest of their bytes.
documents = Table(
    "documents",
    metadata,
    Column("digest", String(64), primary_key=True),
    Column("media", String(100), nullable=False),
    Column("content", LargeBinary, nullable=False),
)
# Folded states: a cache, thrown away whenever wanted.
snapshots = Table(
    "snapshots",
    metadata,
    Column("project", String(200), primary_key=True),
    Column("seq", _BIG, primary_key=True, autoincrement=False),
    Column("digest", String(64), nullable=False),
    Column("last_place", String(500), nullable=False),
    Column("content", LargeBinary, nullable=False),
)
# Who may come in. No fact: what a device did stands in the facts, under its id.
devices = Table(
    "devices",
    metadata,
    Column("id", String(64), primary_key=True),
    Column("name", String(200), nullable=False),
    Column("person", String(200), nullable=False),
    Column("role", String(20), nullable=False),
    Column("token_hash", String(64), nullable=False, unique=True),
    Column("paired_at", String(24), nullable=False),
    Column("until", String(24), nullable=False),
    Column("seen_at", String(24), nullable=False),
    Column("shut_at", String(24), nullable=False),
)
pair_codes = Table(
    "pair_codes",
    metadata,
    Column("code_hash", String(64), primary_key=True),
    Column("role", String(20), nullable=False),
    Column("person", String(200), nullable=False),
    Column("until", String(24), nullable=False),
    Column("used_at", String(24), nullable=False),
)

KEPT_FOR_GOOD = ("facts", "documents")
_REFUSAL = "the record is never changed: a correction is a new fact"


def triggers_of(table: str) -> tuple[str, str]:
    """Names of the two triggers that guard a table."""
    return f"{table}_never_changed", f"{table}_never_removed"


def make_triggers(connection: Connection) -> None:
    """Guard facts and documents, anew after every change of the schema.

    A table that is rebuilt loses its triggers without a word, so each step of the
    schema ends with this.
    """
    is_sqlite = connection.dialect.name == "sqlite"
    if not is_sqlite:
        connection.execute(
            text(
                "CREATE OR REPLACE FUNCTION never_changed() RETURNS trigger AS $$ "
                f"BEGIN RAISE EXCEPTION '{_REFUSAL}'; END $$ LANGUAGE plpgsql"
            )
        )
    for table in KEPT_FOR_GOOD:
        for name, deed in zip(triggers_of(table), ("UPDATE", "DELETE"), strict=True):
            if is_sqlite:
                connection.execute(text(f"DROP TRIGGER IF EXISTS {name}"))
                made = (
                    f"CREATE TRIGGER {name} BEFORE {deed} ON {table} "
                    f"BEGIN SELECT RAISE(ABORT, '{_REFUSAL}'); END"
                )
            else:
                connection.execute(text(f"DROP TRIGGER IF EXISTS {name} ON {table}"))
                made = (
                    f"CREATE TRIGGER {name} BEFORE {deed} ON {table} "
                    "FOR EACH ROW EXECUTE FUNCTION never_changed()"
                )
            connection.execute(text(made))


def absent_triggers(connection: Connection) -> list[str]:
    """Guards that are not there; empty when all is well."""
    wanted = [name for table in KEPT_FOR_GOOD for name in triggers_of(table)]
    is_sqlite = connection.dialect.name == "sqlite"
    asked = (
        "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        if is_sqlite
        else "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal"
    )
    there = {str(name) for (name,) in connection.execute(text(asked))}
    return [name for name in wanted if name not in there]
