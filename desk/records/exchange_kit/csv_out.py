"""Writing one line a row in the columns that the same kind of file is read by."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from sqlalchemy.orm import Session

from desk.base.csv_cells import write_csv
from desk.base.files import Output, whole_file
from desk.records.exchange_kit.columns import Columns
from desk.records.office.office import Office


def export_lines(
    office: Office,
    path: Output,
    columns: Columns,
    lines_of: Callable[[Session], Iterable[Mapping[str, str]]],
) -> int:
    """Write a CSV of what a look gives, each line by its columns' ids.

    Args:
        office: open.
        path: the file to write, ``-`` for standard output.
        columns: of the kind of file, in their order.
        lines_of: gives the lines.

    Returns:
        How many lines were written.

    Raises:
        InputError, OutageError: the file cannot be written; nothing is left behind.
    """
    with office.read() as session, whole_file(path) as stream:
        lines = ([line[column.field] for column in columns.each] for line in lines_of(session))
        return write_csv(stream, columns.headings, lines)
