"""Words are found on a server by an index of whole words, however short what was typed.

Trigrams know nothing of one or two letters, and of three only that they stand somewhere. Each word
carries the group of its row, so that PostgreSQL knows how often it stands in that group.
"""

from __future__ import annotations

from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

SEARCH_WORDS = """
CREATE FUNCTION search_words(id bigint, folded text) RETURNS tsvector
LANGUAGE sql IMMUTABLE STRICT PARALLEL SAFE RETURN array_to_tsvector(
    string_to_array(
        (id >> 40)::text || ':' || replace(
            regexp_replace(folded, '([^ ]{100})[^ ]+', '\\1', 'g'),
            ' ',
            ' ' || (id >> 40)::text || ':'
        ),
        ' '
    )
)
"""
"""What stands beyond the hundredth letter of a word is left out: an index row has to be short."""


def upgrade() -> None:
    if op.get_bind().dialect.name == "postgresql":
        op.execute(SEARCH_WORDS)
        op.execute(
            "CREATE INDEX ix_search_text_words ON search_text USING gin (search_words(id, folded))"
        )


def downgrade() -> None:
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP INDEX ix_search_text_words")
        op.execute("DROP FUNCTION search_words(bigint, text)")
