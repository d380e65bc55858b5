"""What a visit is charged: the shop's rule, the visit's own, further lines, a part's price."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from drawoff_migrations.column_types import Flag, Instant, Key

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
IN_SHOP_BEFORE = ("tax_name", "tax_millionths")


def _rule() -> list[sa.Column[object]]:
    """Return how work is charged: the same columns in the shop's row and in a visit's."""
    return [
        sa.Column("hourly_cents", WHOLE, nullable=True),
        sa.Column("step_minutes", WHOLE, server_default=sa.text("1"), nullable=False),
        sa.Column("call_out_cents", WHOLE, nullable=True),
        sa.Column("tax_name", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("tax_millionths", WHOLE, nullable=True),
        sa.Column("second_tax_name", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("second_tax_millionths", WHOLE, nullable=True),
        sa.Column("prices_with_tax", Flag(), server_default=sa.false(), nullable=False),
        sa.Column("labour_taxed", Flag(), server_default=sa.true(), nullable=False),
        sa.Column("tax_on_each_line", Flag(), server_default=sa.false(), nullable=False),
    ]


def _new_in_shop() -> list[sa.Column[object]]:
    charges = sa.Column("charges", Flag(), server_default=sa.false(), nullable=False)
    return [charges, *(column for column in _rule() if column.name not in IN_SHOP_BEFORE)]


def upgrade() -> None:
    for column in _new_in_shop():
        op.add_column("shop", column)
    op.add_column("part_used", sa.Column("price_cents", WHOLE, nullable=True))
    _create(
        "visit_charging",
        sa.Column("minutes", WHOLE, nullable=True),
        sa.Column("call_out", Flag(), nullable=False),
        *_rule(),
    )
    _create(
        "further_charge",
        sa.Column("words", sa.Text(), server_default=sa.text("''"), nullable=False),
        sa.Column("cents", WHOLE, nullable=False),
        sa.Column("is_taxed", Flag(), nullable=False),
    )


def _create(table: str, *columns: sa.Column[object]) -> None:
    links = {"made_in": "change_set.id", "visit_id": "visit.id"}
    op.create_table(
        table,
        sa.Column("id", Key(), nullable=False),
        sa.Column("visit_id", Key(), nullable=False),
        *columns,
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", WHOLE, nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
        *(
            sa.ForeignKeyConstraint(
                [column], [target], name=f"fk_{table}_{column}",
                ondelete="RESTRICT", deferrable=True, initially="DEFERRED",
            )
            for column, target in links.items()
        ),
        sa.PrimaryKeyConstraint("id", name=f"pk_{table}"),
        sqlite_strict=True,
    )  # fmt: skip
    for column in links:
        op.create_index(f"ix_{table}_{column}", table, [column])


def downgrade() -> None:
    op.drop_table("further_charge")
    op.drop_table("visit_charging")
    op.drop_column("part_used", "price_cents")
    for column in reversed(_new_in_shop()):
        op.drop_column("shop", column.name)
