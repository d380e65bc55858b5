"""Whether an appliance's cover seals its combustion chamber, as far as anybody has looked."""

from __future__ import annotations

from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    # In one statement, which both engines know: SQLite adds no rule to a table that is there.
    op.execute(
        "ALTER TABLE appliance ADD COLUMN cover_seals TEXT DEFAULT '' NOT NULL"
        " CONSTRAINT ck_appliance_cover_seals"
        " CHECK (cover_seals IN ('', 'seals', 'does_not_seal'))"
    )


def downgrade() -> None:
    op.drop_column("appliance", "cover_seals")
