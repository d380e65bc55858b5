"""In which order deeds were done: a logical clock, so that no computer's clock decides it.

What stands already keeps the order that it had, which was that of its keys.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
RULE = "uq_change_set_clock_device_id"


def upgrade() -> None:
    op.add_column("device", sa.Column("clock", WHOLE, server_default=sa.text("0"), nullable=False))
    op.add_column("change_set", sa.Column("clock", WHOLE, nullable=True))
    op.execute(
        "UPDATE change_set SET clock = counted.place FROM"
        " (SELECT id, row_number() OVER (ORDER BY id) AS place FROM change_set) AS counted"
        " WHERE counted.id = change_set.id"
    )
    op.execute("UPDATE device SET clock = (SELECT coalesce(max(clock), 0) FROM change_set)")
    with op.batch_alter_table("change_set", table_kwargs={"sqlite_strict": True}) as batch:
        batch.alter_column("clock", existing_type=WHOLE, nullable=False)
        batch.create_unique_constraint(RULE, ["clock", "device_id"])


def downgrade() -> None:
    with op.batch_alter_table("change_set", table_kwargs={"sqlite_strict": True}) as batch:
        batch.drop_constraint(RULE, type_="unique")
        batch.drop_column("clock")
    op.drop_column("device", "clock")
