"""What stands typed in a window and is not handed in yet, so that a power cut loses none of it."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from drawoff_migrations.column_types import Instant

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "half_typed",
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("field", sa.Text(), nullable=False),
        sa.Column("typed", sa.Text(), nullable=False),
        sa.Column("at", Instant(), nullable=False),
        sa.PrimaryKeyConstraint("place", "field", name="pk_half_typed"),
        sqlite_strict=True,
    )


def downgrade() -> None:
    op.drop_table("half_typed")
