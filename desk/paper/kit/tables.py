"""Tables on paper: repeated heads, hairlines between rows, rows that may go on overleaf."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, Flowable, Table, TableStyle

from desk.paper.kit import fonts
from desk.paper.kit.page import CELL, FINE, HEAD_CELL, INK, LEAST_PAGE, LINE, SOFT, SectionHeading
from desk.paper.kit.text import Markup, escape, paragraph

type Cell = Flowable | Markup

_AIR = 2.4
_HAIR = 0.1

# Cells name a font even where a paragraph sets its own; without this it is one not embedded.
_FONT = ("FONTNAME", (0, 0), (-1, -1), fonts.REGULAR)


class _Splitting(Table):  # type: ignore[misc]  # ReportLab is not typed
    """A table whose rows stay whole unless one alone is too high for a page."""

    def split(self, width: float, height: float) -> list[Flowable]:
        """Split between rows; inside a row only at the top of a page; leave no row alone."""
        self.splitInRow = int(height >= LEAST_PAGE)
        parts = list(super().split(width, height))
        if len(parts) > 1 and _rows_of(parts[-1]) == 1 and _rows_of(parts[0]) > 1:
            above = sum(_heights_of(self)[: self.repeatRows + _rows_of(parts[0]) - 1])
            fewer = list(super().split(width, above + _HAIR))
            # The row that gives company overleaf would fit here, under heads of its own.
            return [fewer[0], CondPageBreak(height), *fewer[1:]] if fewer else parts
        return parts


def ruled_table(
    heads: Sequence[str],
    rows: Sequence[Sequence[Cell]],
    widths: Sequence[float],
    *,
    style: ParagraphStyle = CELL,
    numbers: Sequence[int] = (),
    air: float = _AIR,
) -> Table:
    """Set rows under their heads.

    Args:
        heads: what stands over each column, repeated on every page.
        rows: cells; markup is set as a paragraph.
        widths: of the columns, in points.
        style: of the cells' text.
        numbers: the columns set flush right.
        air: above and below the text of a row, in points.
    """
    right = ParagraphStyle("right", parent=style, alignment=2)
    right_head = ParagraphStyle("right-head", parent=HEAD_CELL, alignment=2)
    body = [
        [_cell(cell, right if column in numbers else style) for column, cell in enumerate(row)]
        for row in rows
    ]
    top = [
        paragraph(escape(head), right_head if column in numbers else HEAD_CELL)
        for column, head in enumerate(heads)
    ]
    table = _Splitting(
        [top, *body], colWidths=list(widths), repeatRows=1, splitInRow=1, hAlign="LEFT"
    )
    table.setStyle(_RULES)
    table.setStyle(
        TableStyle(
            [("TOPPADDING", (0, 1), (-1, -1), air), ("BOTTOMPADDING", (0, 1), (-1, -1), air)]
        )
    )
    return table


def with_first_row(table: Table, width: float) -> Flowable:
    """Return what goes overleaf where a table's heads and its first row do not fit any more.

    It stands before the name of the table's section, which would be left alone otherwise.
    """
    table.wrapOn(None, width, LEAST_PAGE)
    needed = sum(_heights_of(table)[: table.repeatRows + 1]) + SectionHeading.HEIGHT + _HAIR
    return CondPageBreak(min(needed, LEAST_PAGE))


def columns(cells: Sequence[Sequence[Flowable]], widths: Sequence[float]) -> Table:
    """Set blocks side by side, tops level, without lines."""
    table = _Splitting(
        [[list(cell) for cell in cells]], colWidths=list(widths), splitInRow=1, hAlign="LEFT"
    )
    table.setStyle(
        TableStyle(
            [
                _FONT,
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-2, -1), 10),
                ("TOPPADDING", (0, 0), (-1, -1), 0),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
            ]
        )
    )
    return table


def facts_table(facts: Sequence[tuple[str, Sequence[Markup]]], width: float) -> Table:
    """Set what is known as label and one or more values, leaving out what is not known.

    A value that stands alone takes the room of all.
    """
    known = [(label, values) for label, values in facts if any(values)]
    across = max((len(values) for _label, values in known), default=1)
    table = _Splitting(
        [
            [
                paragraph(escape(label), _FACT),
                *(paragraph(value, FINE) for value in values),
                *[""] * (across - len(values)),
            ]
            for label, values in known
        ],
        colWidths=[width * 0.3, *[width * 0.7 / across] * across],
        splitInRow=1,
        hAlign="LEFT",
    )
    table.setStyle(_CLOSE)
    alone = [row for row, (_label, values) in enumerate(known) if len(values) < across]
    table.setStyle(TableStyle([("SPAN", (1, row), (-1, row)) for row in alone]))
    return table


def _heights_of(table: Table) -> list[float]:
    return list(table._rowHeights)  # noqa: SLF001 - ReportLab says them nowhere else


def _rows_of(table: Table) -> int:
    """Return how many rows stand under the heads."""
    return len(_heights_of(table)) - int(table.repeatRows)


def _cell(cell: Cell, style: ParagraphStyle) -> Flowable:
    return cell if isinstance(cell, Flowable) else paragraph(cell, style)


_FACT = ParagraphStyle("fact", parent=FINE, textColor=SOFT)

_CLOSE = TableStyle(
    [
        ("LEADING", (0, 0), (-1, -1), 1),  # of the cells that another cell covers
        ("FONTSIZE", (0, 0), (-1, -1), 1),
        _FONT,
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 6),
        ("TOPPADDING", (0, 0), (-1, -1), 0.4),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0.4),
    ]
)

_RULES = TableStyle(
    [
        _FONT,
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 6),
        ("RIGHTPADDING", (-1, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), _AIR),
        ("BOTTOMPADDING", (0, 0), (-1, -1), _AIR),
        ("LINEBELOW", (0, 0), (-1, 0), 0.7, INK),
        ("LINEBELOW", (0, 1), (-1, -1), 0.3, LINE),
    ]
)
