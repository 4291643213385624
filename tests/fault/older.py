"""A record of the present schema, and a schema that is one step newer.

The step makes the tables of facts and snapshots anew, which is the most that a step
can do to them: every page is written, and a table made anew has lost its guards.
"""

from __future__ import annotations

import shutil
from pathlib import Path

from rivetwright.record import migrate
from tests.fault.made_facts import made_facts
from tests.fault.opened import open_store

FACTS = 60
_STEP = '''"""A step that only these tests know."""

import sqlalchemy as sa
from alembic import op

from rivetwright.record.tables import make_triggers

revision = "9999"
down_revision = "{newest}"


def upgrade():
    for table in ("snapshots", "facts"):
        with op.batch_alter_table(table, recreate="always") as batch:
            batch.add_column(
                sa.Column("tested", sa.String(8), nullable=False, server_default="")
            )
    make_triggers(op.get_bind())
'''


def newer_schema(folder: Path) -> Path:
    """The product's schema and one step more, in a folder of its own."""
    schema = folder / "schema"
    shutil.copytree(migrate.SCHEMA, schema)
    steps = schema / "versions"
    newest = max(one.name[1:5] for one in steps.glob("s[0-9]*.py"))
    (steps / "s9999_tested.py").write_text(_STEP.format(newest=newest), "utf-8")
    return schema


def older_record(folder: Path, device: str) -> None:
    """A record that was closed before the newer schema was known."""
    with open_store(folder / "record" / "record.sqlite") as store:
        store.append(made_facts(device, FACTS))
