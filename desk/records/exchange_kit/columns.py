"""What the columns of another program's file stand for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from desk.base.errors import InputError
from desk.base.text_folding import fold
from desk.base.texts import Message, message

SHORT = 200
LONG = 20_000
"""Characters that fit in a line, and where somebody writes freely."""


@dataclass(frozen=True, slots=True)
class CsvColumn:
    """A column that a file may have.

    Attributes:
        field: its id, as ``--match`` names it.
        heading: what stands above it in our own files.
        says: what stands in it.
        also: other headings that plainly mean it, as bare letters.
        most: characters that may stand in it; what is short may be in an index.
    """

    field: str
    heading: str
    says: Message
    also: tuple[str, ...] = ()
    most: int = SHORT

    def is_meant_by(self, heading: str) -> bool:
        """Return whether a heading plainly means this column."""
        return bare(heading) in {bare(self.field), bare(self.heading), *self.also}


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns of one kind of file.

    Attributes:
        kind: the word for the kind in a command.
        each: in the order of our own files.
        needed: of each of these groups, one column has to be there.
        filled: in these, something has to stand in every row.
    """

    kind: str
    each: tuple[CsvColumn, ...]
    needed: tuple[tuple[str, ...], ...]
    filled: tuple[str, ...] = ()

    @property
    def headings(self) -> tuple[str, ...]:
        """Return what stands above the columns of our own files."""
        return tuple(column.heading for column in self.each)

    def heading_of(self, field: str) -> str:
        """Return what stands above a field in our own files."""
        return next(column.heading for column in self.each if column.field == field)

    def check_lengths(self, values: Mapping[str, str]) -> None:
        """See that nothing in a row is longer than fits.

        Raises:
            InputError: something is.
        """
        for column in self.each:
            if len(values.get(column.field, "")) > column.most:
                raise InputError(
                    message(
                        "{heading} is longer than {most} characters",
                        heading=column.heading,
                        most=column.most,
                    )
                )

    def field_of(self, heading: str) -> str:
        """Return the field that a heading plainly stands for, or ""."""
        return next((each.field for each in self.each if each.is_meant_by(heading)), "")

    def matched(self, headings: Sequence[str], matches: Mapping[str, str]) -> tuple[str, ...]:
        """Return the field of each column of a file, "" for one that is not used.

        Args:
            headings: of the file.
            matches: headings, each with the field it stands for ("" for none), where it is not
                what it plainly says.

        Raises:
            InputError: a match names no heading or no field, two columns stand for one field, or
                a column that is needed is not there.
        """
        known = {column.field for column in self.each}
        for heading, field in matches.items():
            if heading not in headings:
                raise InputError(message("The file has no heading “{heading}”.", heading=heading))
            if field and field not in known:
                raise InputError(
                    message("“{field}” is no field of {kind}.", field=field, kind=self.kind)
                )
        fields = tuple(matches.get(heading, self.field_of(heading)) for heading in headings)
        self._check(fields)
        return fields

    def _check(self, fields: Sequence[str]) -> None:
        for column in self.each:
            if fields.count(column.field) > 1:
                raise InputError(
                    message("Two columns stand for {heading}; use one.", heading=column.heading)
                )
        for group in self.needed:
            if not set(group) & set(fields):
                headings = ", ".join(map(self.heading_of, group))
                raise InputError(
                    message(
                        "No heading stands for {headings}; say which does with --match.",
                        headings=headings,
                    )
                )


def bare(heading: str) -> str:
    """Return the letters and digits of a heading, folded."""
    return "".join(sign for sign in fold(heading) if sign.isalnum())
