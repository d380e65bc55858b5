"""Who may do what on a server: the owner, the program, and whoever makes safety copies.

The owner's account makes and upgrades the tables and is used for nothing else. The program's
account reads, adds and changes rows; it takes none away (they are withdrawn), and what is only
ever added it may not change either. The backup's account reads.
"""

from __future__ import annotations

from collections.abc import Sequence

import sqlalchemy as sa

PASSING = ("half_typed", "search_text")
"""Tables whose rows are taken away: what is only typed so far, and what is derived."""


def set_up_roles(connection: sa.Connection, *, program: str, backup: str) -> None:
    """Give the accounts of program and backup what they need in this database, and no more.

    Run it as the owner, after the tables were made and after every upgrade; it can be repeated.
    The accounts have to be there (``CREATE ROLE … LOGIN``): making them is the server's
    administration, and so are their passwords.

    Args:
        connection: of the owner, in a transaction.
        program: the account of the desks.
        backup: the account that runs ``pg_dump``.
    """
    quote = connection.dialect.identifier_preparer.quote_identifier
    name = connection.exec_driver_sql("SELECT current_database()").scalar_one()
    only_added = [quote(table) for table in append_only(connection)]
    for statement in _statements(quote(str(name)), quote(program), quote(backup), only_added):
        connection.exec_driver_sql(statement)


def append_only(connection: sa.Connection) -> list[str]:
    """Return the tables whose rows are only ever added, as the database itself holds it."""
    found = connection.exec_driver_sql(
        "SELECT relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid"
        " JOIN pg_proc ON pg_proc.oid = tgfoid WHERE proname = 'append_only' ORDER BY relname"
    )
    return [str(table) for (table,) in found]


def _statements(database: str, program: str, backup: str, only_added: Sequence[str]) -> list[str]:
    everything = "ALL TABLES IN SCHEMA public"
    return [
        f"REVOKE CONNECT, TEMPORARY ON DATABASE {database} FROM PUBLIC",
        "REVOKE CREATE ON SCHEMA public FROM PUBLIC",
        f"REVOKE ALL ON {everything} FROM PUBLIC, {program}, {backup}",
        f"GRANT CONNECT ON DATABASE {database} TO {program}, {backup}",
        f"GRANT USAGE ON SCHEMA public TO {program}, {backup}",
        f"GRANT SELECT, INSERT, UPDATE ON {everything} TO {program}",
        f"REVOKE UPDATE ON {', '.join(only_added)} FROM {program}",
        f"REVOKE INSERT, UPDATE ON alembic_version FROM {program}",
        f"GRANT DELETE ON {', '.join(PASSING)} TO {program}",
        f"GRANT SELECT ON {everything} TO {backup}",
    ]
