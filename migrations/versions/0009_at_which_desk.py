"""A deed says at which desk it was done, so that no desk takes back what another did."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column(
        "change_set", sa.Column("desk", sa.Text(), server_default=sa.text("''"), nullable=False)
    )


def downgrade() -> None:
    op.drop_column("change_set", "desk")
