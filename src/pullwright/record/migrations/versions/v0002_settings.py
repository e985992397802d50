"""Settings with their history."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "v0002"
down_revision = "v0001"


def upgrade() -> None:
    """Make the table that keeps every value a setting ever had."""
    op.create_table(
        "settings",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("value", sa.Text, nullable=False),
        sa.Column("who", sa.String(80), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_settings"),
    )
    op.create_index("ix_settings_name", "settings", ["name"])
