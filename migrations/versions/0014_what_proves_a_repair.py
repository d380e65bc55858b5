"""What proves a repair: that a visit owes it, and why something is neither measured nor seen."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from drawoff_migrations.column_types import Flag

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

REASONS = (
    "unproven_outlet_temperature",
    "unproven_tightness",
    "unproven_co_in_room",
    "unproven_relief_valve",
)


def upgrade() -> None:
    op.add_column(
        "visit", sa.Column("owes_proof", Flag(), server_default=sa.false(), nullable=False)
    )
    for name in REASONS:
        op.add_column(
            "visit", sa.Column(name, sa.Text(), server_default=sa.text("''"), nullable=False)
        )


def downgrade() -> None:
    for name in reversed(REASONS):
        op.drop_column("visit", name)
    op.drop_column("visit", "owes_proof")
