"""What a shop says of itself: its logo, its tax, the values that it goes by, its containers."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from drawoff_migrations.column_types import REAL, Instant, Key

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

_TYPED = ("usual_activation_typed", "timing_typed", "ceiling_typed", "tax_name")


def upgrade() -> None:
    for name in _TYPED:
        op.add_column("shop", sa.Column(name, sa.Text(), nullable=False, server_default=""))
    op.add_column("shop", sa.Column("tax_millionths", _whole(), nullable=True))
    op.create_table(
        "shop_logo",
        *_kept(),
        sa.Column("sha256", sa.Text(), nullable=False),
        *_links("shop_logo"),
        sa.ForeignKeyConstraint(
            ["sha256"], ["attachment_bytes.sha256"], name="fk_shop_logo_sha256",
            ondelete="RESTRICT", deferrable=True, initially="DEFERRED",
        ),
        sqlite_strict=True,
    )  # fmt: skip
    op.create_table(
        "container",
        *_kept(),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("volume_typed", sa.Text(), nullable=False),
        sa.Column("volume_m3", REAL, nullable=False),
        sa.Column("graduation_typed", sa.Text(), nullable=False, server_default=""),
        *_links("container"),
        sqlite_strict=True,
    )
    for table in ("shop_logo", "container"):
        op.create_index(f"ix_{table}_made_in", table, ["made_in"])


def _whole() -> sa.types.TypeEngine[int]:
    return sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def _kept() -> list[sa.Column[object]]:
    return [
        sa.Column("id", Key(), nullable=False),
        sa.Column("made_in", Key(), nullable=False),
        sa.Column("version", _whole(), nullable=False),
        sa.Column("withdrawn_at", Instant(), nullable=True),
    ]


def _links(table: str) -> list[sa.Constraint]:
    return [
        sa.PrimaryKeyConstraint("id", name=f"pk_{table}"),
        sa.ForeignKeyConstraint(
            ["made_in"], ["change_set.id"], name=f"fk_{table}_made_in",
            ondelete="RESTRICT", deferrable=True, initially="DEFERRED",
        ),
    ]  # fmt: skip


def downgrade() -> None:
    op.drop_table("container")
    op.drop_table("shop_logo")
    for name in (*_TYPED, "tax_millionths"):
        op.drop_column("shop", name)
