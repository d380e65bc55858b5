"""The chain of the journal and its head, so that what is lost of it or foreign to it is found.

The chain of what stands already is filled in the order of its clocks.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from drawoff_migrations import journal_chain
from drawoff_migrations.column_types import Key

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
RULE = "uq_change_set_place"


def upgrade() -> None:
    op.add_column("change_set", sa.Column("place", WHOLE, nullable=True))
    op.add_column("change_set", sa.Column("follows", sa.LargeBinary(), nullable=True))
    op.add_column("here", sa.Column("generation", Key(), nullable=True))
    op.add_column("here", sa.Column("sets", WHOLE, server_default=sa.text("0"), nullable=False))
    op.add_column("here", sa.Column("head", sa.LargeBinary(), nullable=True))
    op.add_column(
        "here", sa.Column("log_began", WHOLE, server_default=sa.text("0"), nullable=False)
    )
    op.execute(
        "UPDATE change_set SET place = counted.place FROM"
        " (SELECT id, row_number() OVER (ORDER BY clock, device_id) AS place FROM change_set)"
        " AS counted WHERE counted.id = change_set.id"
    )
    op.execute("UPDATE here SET generation = device_id")
    journal_chain.fill(op.get_bind())
    if op.get_bind().dialect.name == "postgresql":  # it alters no table with links to be checked
        op.execute("SET CONSTRAINTS ALL IMMEDIATE")
        op.execute("SET CONSTRAINTS ALL DEFERRED")
    with op.batch_alter_table("change_set", table_kwargs={"sqlite_strict": True}) as batch:
        batch.alter_column("place", existing_type=WHOLE, nullable=False)
        batch.alter_column("follows", existing_type=sa.LargeBinary(), nullable=False)
        batch.create_unique_constraint(RULE, ["place"])
    with op.batch_alter_table("here", table_kwargs={"sqlite_strict": True}) as batch:
        batch.alter_column("generation", existing_type=Key(), nullable=False)
        batch.alter_column("head", existing_type=sa.LargeBinary(), nullable=False)


def downgrade() -> None:
    with op.batch_alter_table("here", table_kwargs={"sqlite_strict": True}) as batch:
        for column in ("generation", "sets", "head", "log_began"):
            batch.drop_column(column)
    with op.batch_alter_table("change_set", table_kwargs={"sqlite_strict": True}) as batch:
        batch.drop_constraint(RULE, type_="unique")
        batch.drop_column("place")
        batch.drop_column("follows")
