"""Where a photograph stands among those of its visit; until it is moved, by its age."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    op.add_column(
        "attachment",
        sa.Column("place", WHOLE, server_default=sa.text("0"), nullable=False),
    )


def downgrade() -> None:
    op.drop_column("attachment", "place")
