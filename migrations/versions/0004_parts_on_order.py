"""Parts that were asked for: for a visit that waits for them, or for the shelf."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from drawoff_migrations.column_types import Day, Instant, Key

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
_LINKS = {
    "made_in": "change_set.id",
    "part_id": "part.id",
    "visit_id": "visit.id",
}


def upgrade() -> None:
    op.create_table(
        "part_order",
        sa.Column("id", Key(), nullable=False),
        sa.Column("part_id", Key(), nullable=True),
        sa.Column("name", sa.Text(), nullable=False, server_default=""),
        sa.Column("pieces", WHOLE, nullable=False),
        sa.Column("visit_id", Key(), nullable=True),
        sa.Column("ordered_on", Day(), nullable=True),
        sa.Column("came_on", Day(), nullable=True),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        sa.CheckConstraint("pieces > 0", name="ck_part_order_some"),
        sa.PrimaryKeyConstraint("id", name="pk_part_order"),
        *(
            sa.ForeignKeyConstraint(
                [column], [target], name=f"fk_part_order_{column}",
                ondelete="RESTRICT", deferrable=True, initially="DEFERRED",
            )
            for column, target in _LINKS.items()
        ),
        sqlite_strict=True,
    )  # fmt: skip
    for column in ("made_in", "part_id", "visit_id"):
        op.create_index(f"ix_part_order_{column}", "part_order", [column])


def downgrade() -> None:
    op.drop_table("part_order")
