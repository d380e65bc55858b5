"""Who may do what on a server: the owner, the program, and whoever makes safety copies.

The owner's account makes and upgrades the tables and is used for nothing else. The program's
account reads, adds and changes rows; it takes none away (they are withdrawn), and what is only
ever added it may not change either. The backup's account reads.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import sqlalchemy as sa

PASSING = ("half_typed", "search_text")
"""Tables whose rows are taken away: what is only typed so far, and what is derived."""


@dataclass(frozen=True, slots=True)
class Accounts:
    """The accounts of the desks, and those that run ``pg_dump``."""

    programs: tuple[str, ...] = ()
    backups: tuple[str, ...] = ()


def set_up_roles(connection: sa.Connection, *, program: str, backup: str) -> None:
    """Give the accounts of program and backup what they need in this database, and no more.

    Run it as the owner when the tables were made; it can be repeated, and every upgrade does so.
    The accounts have to be there (``CREATE ROLE … LOGIN``): making them is the server's
    administration, and so are their passwords.

    Args:
        connection: of the owner, in a transaction.
        program: the account of the desks.
        backup: the account that runs ``pg_dump``.
    """
    grant(connection, Accounts((program,), (backup,)))


def accounts_of(connection: sa.Connection) -> Accounts:
    """Return which accounts were given what, read from the table that every office has."""
    found = connection.exec_driver_sql(
        "SELECT rolname, bool_or(privilege_type = 'INSERT') FROM pg_class"
        " CROSS JOIN aclexplode(relacl) JOIN pg_roles ON pg_roles.oid = grantee"
        " WHERE pg_class.oid = to_regclass('public.shop') AND grantee <> relowner"
        " GROUP BY rolname ORDER BY rolname"
    ).all()
    return Accounts(
        tuple(name for name, writes in found if writes),
        tuple(name for name, writes in found if not writes),
    )


def grant(connection: sa.Connection, accounts: Accounts) -> None:
    """Give accounts what they need in the tables as they are now, and no more.

    Args:
        connection: of the owner, in a transaction.
        accounts: none of them changes nothing.
    """
    if accounts == Accounts():
        return
    quote = connection.dialect.identifier_preparer.quote_identifier
    database = quote(str(connection.exec_driver_sql("SELECT current_database()").scalar_one()))
    only_added = ", ".join(quote(table) for table in append_only(connection))
    statements = [
        f"REVOKE CONNECT, TEMPORARY ON DATABASE {database} FROM PUBLIC",
        "REVOKE CREATE ON SCHEMA public FROM PUBLIC",
        f"REVOKE ALL ON {_EVERYTHING} FROM PUBLIC",
    ]
    for name in accounts.programs:
        statements += _to_program(database, quote(name), only_added)
    for name in accounts.backups:
        statements += _to_read(database, quote(name))
    for statement in statements:
        connection.exec_driver_sql(statement)


def append_only(connection: sa.Connection) -> list[str]:
    """Return the tables whose rows are only ever added, as the database itself holds it."""
    found = connection.exec_driver_sql(
        "SELECT relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid"
        " JOIN pg_proc ON pg_proc.oid = tgfoid WHERE proname = 'append_only' ORDER BY relname"
    )
    return [str(table) for (table,) in found]


_EVERYTHING = "ALL TABLES IN SCHEMA public"


def _to_read(database: str, account: str) -> Iterator[str]:
    yield f"REVOKE ALL ON {_EVERYTHING} FROM {account}"
    yield f"GRANT CONNECT ON DATABASE {database} TO {account}"
    yield f"GRANT USAGE ON SCHEMA public TO {account}"
    yield f"GRANT SELECT ON {_EVERYTHING} TO {account}"


def _to_program(database: str, account: str, only_added: str) -> Iterator[str]:
    yield from _to_read(database, account)
    yield f"GRANT INSERT, UPDATE ON {_EVERYTHING} TO {account}"
    yield f"REVOKE UPDATE ON {only_added} FROM {account}"
    yield f"REVOKE INSERT, UPDATE ON alembic_version FROM {account}"
    yield f"GRANT DELETE ON {', '.join(PASSING)} TO {account}"
