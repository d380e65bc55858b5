"""What the box on top looks through: a row's folded words, and the indexes over them.

Every upgrade fills it anew from the rows themselves (``desk.records.search.indexed_words.rebuild``).
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from drawoff_migrations.column_types import Key

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
INDEXES = {
    "search_word": "tokenize = 'unicode61', prefix = '1 2'",
    "search_part": "tokenize = 'trigram'",
}
_GONE = "INSERT INTO {name}({name}, rowid, folded) VALUES ('delete', old.id, old.folded);"
_COME = "INSERT INTO {name}(rowid, folded) VALUES (new.id, new.folded);"


def upgrade() -> None:
    op.create_table(
        "search_text",
        sa.Column("id", WHOLE, autoincrement=False, nullable=False),
        sa.Column("row_id", Key(), nullable=False),
        sa.Column("opens_id", Key(), nullable=False),
        sa.Column("folded", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_search_text"),
        sa.UniqueConstraint("row_id", name="uq_search_text_row_id"),
        sqlite_strict=True,
    )
    if op.get_bind().dialect.name == "postgresql":
        op.execute("CREATE EXTENSION IF NOT EXISTS pg_trgm")
        op.execute(
            "CREATE INDEX ix_search_text_folded ON search_text USING gin (folded gin_trgm_ops)"
        )
        return
    for name, options in INDEXES.items():
        op.execute(
            f"CREATE VIRTUAL TABLE {name} USING fts5("
            f"folded, content = 'search_text', content_rowid = 'id', {options})"
        )
    _follow()


def _follow() -> None:
    """Keep the indexes in step with the table, in the same transaction."""
    gone = "".join(_GONE.format(name=name) for name in INDEXES)
    come = "".join(_COME.format(name=name) for name in INDEXES)
    for act, body in (("INSERT", come), ("DELETE", gone), ("UPDATE", gone + come)):
        op.execute(
            f"CREATE TRIGGER search_text_{act.lower()} AFTER {act} ON search_text BEGIN {body} END"
        )


def downgrade() -> None:
    if op.get_bind().dialect.name == "sqlite":
        for name in INDEXES:
            op.execute(f"DROP TABLE {name}")
    op.drop_table("search_text")
