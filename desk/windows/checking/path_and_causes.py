"""The two lists beside the check: the path so far, and the causes that are left."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import QFont, QFontInfo, QFontMetrics, QPainter, QPalette
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
)

from desk.base.texts import _
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.model import in_language
from desk.windows.theme.tokens import SHEET_TARGET

type Index = QModelIndex | QPersistentModelIndex
ROW = Qt.ItemDataRole.UserRole + 1

_SMALLER = 0.88
VERY_LIKELY, LIKELY, POSSIBLE = 0.5, 0.2, 0.03


@dataclass(frozen=True, slots=True)
class PathRow:
    """One line with a smaller one under it.

    Attributes:
        key: what is behind it.
        head: the first line.
        detail: the second line.
        struck: True where it no longer counts.
        share: length of its bar from 0 to 1; None where it has none.
    """

    key: str
    head: str
    detail: str
    struck: bool = False
    share: float | None = None


class RowModel(QAbstractListModel):
    """Rows that are shown and never changed in place."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[PathRow, ...] = ()

    def show_rows(self, rows: tuple[PathRow, ...]) -> None:
        """Show other rows; the same ones leave the view as it is."""
        if rows == self._rows:
            return
        self.beginResetModel()
        self._rows = rows
        self.endResetModel()

    def rows(self) -> tuple[PathRow, ...]:
        """Return the rows."""
        return self._rows

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Return how many rows there are."""
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return a row, or its words for whoever cannot see it."""
        if not index.isValid() or not 0 <= index.row() < len(self._rows):
            return None
        row = self._rows[index.row()]
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return f"{row.head}. {row.detail}"
        return row if role == ROW else None


MOST_HEIGHTS = 2_000
"""So many heights of texts are remembered; an office has fewer questions than that."""


class RowDelegate(QStyledItemDelegate):
    """Draws a row: its head, its detail, and its bar."""

    MARGIN = 6
    BAR = 8

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._heights: dict[tuple[str, int, str, str, bool], int] = {}

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw one row.

        Args:
            painter: what is drawn with; it is left as it was.
            option: where the row lies, its palette, and whether it is marked.
            index: of a :class:`PathRow`; anything else is left blank.
        """
        row = index.data(ROW)
        if not isinstance(row, PathRow):
            return
        painter.save()
        palette = option.palette
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        if chosen:
            painter.fillRect(option.rect, palette.highlight())
        ink = QPalette.ColorRole.HighlightedText if chosen else QPalette.ColorRole.Text
        painter.setPen(palette.color(ink))
        area = option.rect.adjusted(self.MARGIN, self.MARGIN, -self.MARGIN, -self.MARGIN)
        head, detail = self._fonts(option.font, row)
        painter.setFont(head)
        used = painter.drawText(area, _WRAPPED, row.head)
        if not chosen:
            painter.setPen(palette.color(QPalette.ColorRole.PlaceholderText))
        painter.setFont(detail)
        rest = area.adjusted(0, used.height() + 1, 0, 0)
        used = painter.drawText(rest, _WRAPPED, row.detail)
        if row.share is not None:
            self._bar(
                painter,
                rest.adjusted(0, used.height() + 3, 0, 0),
                row.share,
                palette,
                ink=ink if chosen else None,
            )
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(option.rect.adjusted(1, 1, -2, -2))
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return what a row needs at the width of its list."""
        row = index.data(ROW)
        view = self.parent()
        if not isinstance(row, PathRow) or not isinstance(view, QListView):
            return QSize(SHEET_TARGET, SHEET_TARGET)
        width = view.viewport().width()
        height = self._text_height(option.font, row, width)
        height += self.BAR + 3 if row.share is not None else 0
        return QSize(width, max(height, SHEET_TARGET))

    def _text_height(self, font: QFont, row: PathRow, width: int) -> int:
        """Return what the texts of a row need; lists are shown again and again, mostly the same."""
        key = (font.key(), width, row.head, row.detail, row.struck)
        if key not in self._heights:
            if len(self._heights) > MOST_HEIGHTS:
                self._heights.clear()
            room = QRect(0, 0, max(width - 2 * self.MARGIN, 40), 10_000)
            texts = zip(self._fonts(font, row), (row.head, row.detail), strict=True)
            self._heights[key] = (2 * self.MARGIN + 2) + sum(
                QFontMetrics(one).boundingRect(room, _WRAPPED, text).height() for one, text in texts
            )
        return self._heights[key]

    @staticmethod
    def _fonts(font: QFont, row: PathRow) -> tuple[QFont, QFont]:
        head, detail = QFont(font), QFont(font)
        detail.setPixelSize(round(QFontInfo(font).pixelSize() * _SMALLER))
        head.setWeight(QFont.Weight.Normal if row.struck else QFont.Weight.DemiBold)
        head.setStrikeOut(row.struck)
        return head, detail

    def _bar(
        self,
        painter: QPainter,
        area: QRect,
        share: float,
        palette: QPalette,
        *,
        ink: QPalette.ColorRole | None,
    ) -> None:
        full = QRectF(area.left() + 0.5, area.top() + 0.5, area.width() - 1, self.BAR - 1)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(palette.color(ink or QPalette.ColorRole.Mid))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(full, self.BAR / 2, self.BAR / 2)
        is_likely = share >= LIKELY
        role = QPalette.ColorRole.Link if is_likely else QPalette.ColorRole.Mid
        filled = palette.color(ink or role)  # on a chosen line in the letters' own colour
        painter.setPen(filled)
        painter.setBrush(filled)
        full.setWidth(max(self.BAR, full.width() * share))
        painter.drawRoundedRect(full, self.BAR / 2, self.BAR / 2)


_WRAPPED = int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)


class RowList(QListView):
    """A list of rows that breaks lines and grows with what it holds."""

    def __init__(self, name: str, title: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setAccessibleName(title)
        self.rows = RowModel()
        self.setModel(self.rows)
        self.setItemDelegate(RowDelegate(self))
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setMinimumHeight(2 * SHEET_TARGET)
        self.setMinimumWidth(220)

    def key_at(self, index: QModelIndex) -> str:
        """Return what is behind a row."""
        row = index.data(ROW)
        return row.key if isinstance(row, PathRow) else ""


def path_rows(sheet: VisitSheet) -> tuple[PathRow, ...]:
    """Return the answers so far in order; those that no longer follow come after them, struck."""
    rows = []
    for number, check in enumerate(sheet.report.checks, 1):
        said = " – ".join(part for part in (check.answer_text, check.reason, check.note) if part)
        if check.superseded:
            said = _("✖ no longer counts: {answer}", answer=said)
        elif check.by_suggestion:
            said = _("➜ suggested: {answer}", answer=said)
        head = check.question if check.superseded else f"{number}. {check.question}"
        rows.append(PathRow(check.check, head, said, struck=check.superseded))
    return tuple(rows)


def cause_rows(sheet: VisitSheet) -> tuple[PathRow, ...]:
    """Return the causes still possible, likeliest first, then those ruled out with the check."""
    checklist = sheet.checklist
    if checklist is None:
        return ()
    left, out = [], []
    in_vain = sheet.walk.in_vain if sheet.walk else ()
    for suspect in sheet.suspects:
        name = in_language(checklist.causes[suspect.id].name)
        if suspect.ruled_out_by is None:
            said = likelihood(suspect.probability)
            if suspect.id in in_vain:
                said = _("{likely}; mended, which did not help", likely=said)
            left.append(PathRow(suspect.id, name, said, share=suspect.probability))
        else:
            by = in_language(checklist.check(suspect.ruled_out_by).title)
            out.append(
                PathRow(suspect.id, name, _("✖ ruled out by: {check}", check=by), struck=True)
            )
    return (*left, *out)


def basis_words(sheet: VisitSheet) -> str:
    """Say what the likeliest cause rests on before any answer; "" where nothing is ranked."""
    if sheet.learnt is None or sheet.checklist is None or not sheet.suspects:
        return ""
    likeliest = sheet.suspects[0].id
    return _(
        "{cause}: {basis}",
        cause=in_language(sheet.checklist.causes[likeliest].name),
        basis=sheet.learnt.basis(likeliest),
    )


def likelihood(probability: float) -> str:
    """Say how likely a cause is, in a word."""
    if probability >= VERY_LIKELY:
        return _("very likely")
    if probability >= LIKELY:
        return _("likely")
    return _("possible") if probability >= POSSIBLE else _("unlikely")
