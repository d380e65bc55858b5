"""What the window that imports customers reads of a file, looks up and hands in."""

from __future__ import annotations

from desk.records.database.keys import KeyMaker
from desk.records.exchange.customer_fields import (
    Values,
    check_fields,
    check_rows,
    field_of,
    values_of,
)
from desk.records.exchange.customer_staging import Staged
from desk.records.exchange.customers import StageCustomers, TakeCustomersOver, read_customers
from desk.records.exchange_kit.csv_read import Refusal, Sheet
from desk.records.exchange_kit.intake import Imported

__all__ = [
    "Imported",
    "KeyMaker",
    "Refusal",
    "Sheet",
    "StageCustomers",
    "Staged",
    "TakeCustomersOver",
    "Values",
    "check_fields",
    "check_rows",
    "field_of",
    "read_customers",
    "values_of",
]
