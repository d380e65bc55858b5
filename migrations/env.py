"""Alembic's entry: it runs on the one connection that the program hands over."""

from __future__ import annotations

from alembic import context

from desk.records.tables import map_all

connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=map_all().metadata,
    render_as_batch=connection.dialect.name == "sqlite",
    compare_type=True,
    compare_server_default=True,
    transaction_per_migration=False,
)
with context.begin_transaction():
    context.run_migrations()
