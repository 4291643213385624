"""Facts, documents, snapshots, devices, pairing codes."""

import sqlalchemy as sa
from alembic import op

from rivetwright.record.tables import make_triggers

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

_BIG = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make every table, and guard what is kept for good."""
    op.create_table(
        "facts",
        sa.Column("project", sa.String(200), primary_key=True),
        sa.Column("seq", _BIG, primary_key=True, autoincrement=False),
        sa.Column("id", sa.String(32), nullable=False),
        sa.Column("assembly", sa.String(200), nullable=False),
        sa.Column("device", sa.String(200), nullable=False),
        sa.Column("device_seq", _BIG, nullable=False),
        sa.Column("arrived", sa.String(24), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("stored", sa.LargeBinary(), nullable=False),
        sa.UniqueConstraint("project", "id", name="one_fact_an_id"),
    )
    op.create_index("facts_of_assembly", "facts", ["project", "assembly", "seq"])
    op.create_index("facts_of_device", "facts", ["project", "device", "device_seq"])
    op.create_table(
        "documents",
        sa.Column("digest", sa.String(64), primary_key=True),
        sa.Column("media", sa.String(100), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
    )
    op.create_table(
        "snapshots",
        sa.Column("project", sa.String(200), primary_key=True),
        sa.Column("seq", _BIG, primary_key=True, autoincrement=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("last_place", sa.String(500), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
    )
    _doors()
    make_triggers(op.get_bind())


def _doors() -> None:
    """Who may come in."""
    op.create_table(
        "devices",
        sa.Column("id", sa.String(64), primary_key=True),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("person", sa.String(200), nullable=False),
        sa.Column("role", sa.String(20), nullable=False),
        sa.Column("token_hash", sa.String(64), nullable=False, unique=True),
        sa.Column("paired_at", sa.String(24), nullable=False),
        sa.Column("until", sa.String(24), nullable=False),
        sa.Column("seen_at", sa.String(24), nullable=False),
        sa.Column("shut_at", sa.String(24), nullable=False),
    )
    op.create_table(
        "pair_codes",
        sa.Column("code_hash", sa.String(64), primary_key=True),
        sa.Column("role", sa.String(20), nullable=False),
        sa.Column("person", sa.String(200), nullable=False),
        sa.Column("until", sa.String(24), nullable=False),
        sa.Column("used_at", sa.String(24), nullable=False),
    )
