"""What a warranty desk and a licensing office ask for: altitude, what treats the water, a claim."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

ADDED = (
    ("premises", "altitude_typed"),
    ("premises", "water_treatment"),
    ("premises", "recirculation"),
    ("visit", "warranty_claim"),
)


def upgrade() -> None:
    for table, column in ADDED:
        op.add_column(
            table, sa.Column(column, sa.Text(), server_default=sa.text("''"), nullable=False)
        )


def downgrade() -> None:
    for table, column in ADDED:
        op.drop_column(table, column)
