"""Alembic's entry: it runs on the one connection that the program hands over."""

from __future__ import annotations

from alembic import context

from desk.records.tables import map_all

connection = context.config.attributes["connection"]


def _is_a_records(name: str | None, kind: str, _parents: object) -> bool:
    """Leave what is only derived out of the comparison of tables and migrations."""
    return kind != "table" or not (name or "").startswith("search_")


context.configure(
    connection=connection,
    target_metadata=map_all().metadata,
    render_as_batch=connection.dialect.name == "sqlite",
    include_name=_is_a_records,
    compare_type=True,
    compare_server_default=True,
    transaction_per_migration=False,
)
with context.begin_transaction():
    context.run_migrations()
