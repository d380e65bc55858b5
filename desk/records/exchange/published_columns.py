"""The columns of each CSV file, as they are published in ``shared/schemas/``.

The form is that of the W3C's *Metadata Vocabulary for Tabular Data* (Recommendation, 17 December
2015; from memory), which other programs can read; ``titles`` are the headings that are known.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from desk.base import paths
from desk.records.exchange import appliances, parts, visits
from desk.records.exchange.customer_fields import COLUMNS
from desk.records.exchange_kit.columns import Columns

_CUSTOMERS = Columns(
    "customers",
    tuple(replace(column, also=()) for column in COLUMNS),
    (("name",),),
    filled=("name",),
)
_KINDS = (appliances.COLUMNS, _CUSTOMERS, parts.COLUMNS, visits.COLUMNS)


def published_metadata(kind: str) -> Path:
    """Return where the columns of a kind are published."""
    return paths.bundled("shared", "schemas", f"{kind}.csv-metadata.json")


def metadata() -> dict[str, dict[str, Any]]:
    """Return the metadata of each kind of file, by its word in a command."""
    return {columns.kind: _of_kind(columns) for columns in _KINDS}


def _of_kind(columns: Columns) -> dict[str, Any]:
    needed = "; ".join(" or ".join(map(columns.heading_of, group)) for group in columns.needed)
    return {
        "@context": ["http://www.w3.org/ns/csvw", {"@language": "en"}],
        "url": f"{columns.kind}.csv",
        "dc:title": columns.kind.capitalize(),
        "dc:description": f"A file that comes in needs these columns: {needed}.",
        "tableSchema": {
            "columns": [
                {
                    "name": column.field,
                    "titles": [column.heading, *column.also],
                    "dc:description": str(column.says),
                    "required": column.field in columns.filled,
                }
                for column in columns.each
            ]
        },
    }
