"""What became of a danger, whom to call from outside, and what was pressed by mistake."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from drawoff_migrations.column_types import Instant

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

NEW_WORDS = (
    ("visit", "danger_outcome"),
    ("visit", "danger_outcome_by"),
    ("visit", "danger_found"),
    ("check_result", "mistake"),
    ("shop", "emergency_phone"),
    ("shop", "gas_supplier_phone"),
)


def upgrade() -> None:
    for table, name in NEW_WORDS:
        words = sa.Column(name, sa.Text(), server_default=sa.text("''"), nullable=False)
        op.add_column(table, words)
    op.add_column("visit", sa.Column("danger_outcome_at", Instant(), nullable=True))


def downgrade() -> None:
    op.drop_column("visit", "danger_outcome_at")
    for table, name in reversed(NEW_WORDS):
        op.drop_column(table, name)
