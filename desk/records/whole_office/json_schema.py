"""The JSON schema of everything that goes out, made from the tables themselves.

``python -m desk.records.whole_office.json_schema`` writes it into ``shared/schemas/``, where it is
published with the columns of each CSV beside it. A test holds the published one to the tables,
and what comes in is held to the published one. JSON Schema draft 2020-12
(json-schema.org/draft/2020-12).
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa

from desk.base import paths
from desk.base.files import Target, write_file
from desk.records.database.column_types import Day, Flag, Instant, Key, Written
from desk.records.whole_office.dump import FORMAT, all_tables

if TYPE_CHECKING:
    from jsonschema_rs import Validator

FIRST, LAST = "first_line", "last_line"
_DRAFT = "https://json-schema.org/draft/2020-12/schema"
_MOST_WHOLE = 2**63
_HEX = "[0-9a-f]"
_TYPES: tuple[tuple[type[Any], dict[str, object]], ...] = (
    (
        Key,
        {
            "type": "string",
            "format": "uuid",
            "pattern": f"^{_HEX}{{8}}(-{_HEX}{{4}}){{3}}-{_HEX}{{12}}$",
        },
    ),
    (
        Instant,
        {
            "type": "string",
            "format": "date-time",
            "pattern": r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{6}\+00:00$",
        },
    ),
    (Day, {"type": "string", "format": "date", "pattern": r"^\d{4}-\d{2}-\d{2}$"}),
    (Flag, {"type": "boolean"}),
    (
        sa.LargeBinary,
        {
            "type": "string",
            "contentEncoding": "base64",
            "pattern": "^([A-Za-z0-9+/]{4})*([A-Za-z0-9+/]{2}(==|[A-Za-z0-9+/]=))?$",
        },
    ),
    (Written, {"type": "string"}),
    (sa.Text, {"type": "string"}),
    (sa.Double, {"type": "number"}),
    (sa.Integer, {"type": "integer", "minimum": -_MOST_WHOLE, "maximum": _MOST_WHOLE - 1}),
)
"""What a column of a type may hold; the first that fits counts."""


def published() -> Path:
    """Return where the schema is published."""
    return paths.bundled("shared", "schemas", "everything.schema.json")


def schema_of_tables() -> dict[str, Any]:
    """Return the JSON schema of the lines, as the tables of this program make it."""
    tables = {name: _of_table(table) for name, table in all_tables().items()}
    definitions = {FIRST: _first(), **tables, LAST: _last()}
    return {
        "$schema": _DRAFT,
        "$id": f"urn:drawoff:everything:{FORMAT}",
        "title": "A line of a whole office",
        "description": (
            "JSON lines in UTF-8. The first line names the format, the last counts the rows and "
            "gives the SHA-256 of every byte before it. Between them one object a row: tables by "
            "name, rows by key."
        ),
        "oneOf": [{"$ref": f"#/$defs/{name}"} for name in definitions],
        "$defs": definitions,
    }


def _object(properties: dict[str, Any]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def _first() -> dict[str, Any]:
    number = {"type": "integer", "minimum": 1}
    tables = number | {"description": "The number of the newest migration of the tables."}
    return _object({"drawoff": {"const": "everything"}, "format": number, "tables": tables})


def _last() -> dict[str, Any]:
    fingerprint = {"type": "string", "pattern": f"^{_HEX}{{64}}$"}
    return _object({"rows": {"type": "integer", "minimum": 0}, "sha256": fingerprint})


def _of_table(table: sa.Table) -> dict[str, Any]:
    columns = {column.name: _of_column(column) for column in table.columns}
    return _object({"table": {"const": table.name}, **columns})


def _of_column(column: sa.Column[Any]) -> dict[str, Any]:
    held = dict(next(said for kind, said in _TYPES if isinstance(column.type, kind)))
    if words := _words_of(column):
        held["enum"] = list(words)
    if column.nullable:
        held["type"] = [held["type"], "null"]
    return held


def _words_of(column: sa.Column[Any]) -> tuple[str, ...]:
    """Return the words that a column may hold, () where it may hold any."""
    for constraint in column.table.constraints:
        if constraint.info.get("column") == column.name:
            words: tuple[str, ...] = constraint.info["words"]
            return words
    return ()


@cache
def validators() -> dict[str, Validator]:
    """Return what checks a line against the published schema: by table, FIRST and LAST."""
    import jsonschema_rs

    schema = json.loads(published().read_bytes())
    return {
        name: jsonschema_rs.validator_for({"$schema": schema["$schema"], **each})
        for name, each in schema["$defs"].items()
    }


def publish() -> None:
    """Write the schema of the tables, and the columns of each CSV, to where they are published."""
    from desk.records.exchange.published_columns import metadata, published_metadata

    write_file(Target(published(), replace=True), _as_text(schema_of_tables()))
    for kind, said in metadata().items():
        write_file(Target(published_metadata(kind), replace=True), _as_text(said))


def _as_text(said: dict[str, Any]) -> bytes:
    return json.dumps(said, indent=1, ensure_ascii=False).encode() + b"\n"


if __name__ == "__main__":
    publish()
