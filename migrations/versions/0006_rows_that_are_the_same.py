"""A row that was entered twice points at the one that stays; the day an appliance was replaced."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from drawoff_migrations.column_types import Day, Key

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

ENTERED_TWICE = ("customer", "premises", "appliance")


def upgrade() -> None:
    for table in ENTERED_TWICE:
        with op.batch_alter_table(table, table_kwargs={"sqlite_strict": True}) as batch:
            batch.add_column(sa.Column("joined_into_id", Key(), nullable=True))
            if table == "appliance":
                batch.add_column(sa.Column("replaced_on", Day(), nullable=True))
            batch.create_foreign_key(
                f"fk_{table}_joined_into_id", table, ["joined_into_id"], ["id"],
                ondelete="RESTRICT", deferrable=True, initially="DEFERRED",
            )  # fmt: skip
            batch.create_index(f"ix_{table}_joined_into_id", ["joined_into_id"])


def downgrade() -> None:
    for table in ENTERED_TWICE:
        with op.batch_alter_table(table, table_kwargs={"sqlite_strict": True}) as batch:
            batch.drop_index(f"ix_{table}_joined_into_id")
            batch.drop_constraint(f"fk_{table}_joined_into_id", type_="foreignkey")
            batch.drop_column("joined_into_id")
            if table == "appliance":
                batch.drop_column("replaced_on")
