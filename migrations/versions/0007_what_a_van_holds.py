"""What a van holds is summed from an index, since every answer of a visit asks for it."""

from __future__ import annotations

from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_index("ix_stock_movement_held", "stock_movement", ["van_of_id", "part_id", "pieces"])


def downgrade() -> None:
    op.drop_index("ix_stock_movement_held", "stock_movement")
