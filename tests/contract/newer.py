"""The schema of a program that is one step ahead of this one."""

from __future__ import annotations

import shutil
from pathlib import Path

from rivetwright.record import migrate

AHEAD = "9999"
_STEP = '''"""A step that only these tests know."""

import sqlalchemy as sa
from alembic import op

from rivetwright.record.tables import make_triggers

revision = "{ahead}"
down_revision = "{newest}"


def upgrade():
    with op.batch_alter_table("facts", recreate="always") as batch:
        batch.add_column(
            sa.Column("tested", sa.String(8), nullable=False, server_default="")
        )
    {then}
'''


def schema_ahead(folder: Path, *, breaks_off: bool = False) -> Path:
    """A schema whose last step makes the table of facts anew, or breaks off in it."""
    schema = folder / ("breaks-off" if breaks_off else "ahead")
    shutil.copytree(migrate.SCHEMA, schema)
    steps = schema / "versions"
    newest = max(one.name[1:5] for one in steps.glob("s[0-9]*.py"))
    then = 'op.execute("no SQL")' if breaks_off else "make_triggers(op.get_bind())"
    step = _STEP.format(ahead=AHEAD, newest=newest, then=then)
    (steps / f"s{AHEAD}_tested.py").write_text(step, "utf-8")
    return schema
