"""Worth a second look: what chance does not explain, in sentences, each with its jobs."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QListView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
)

from desk.base.progress import Watch
from desk.base.texts import _, plural, say
from desk.records.actions import Query
from desk.records.actions.recurrence import SeeWorthALook
from desk.records.views.recurrence import LookLine, RepeatChoice, WorthALook
from desk.records.views.result_table import OUTLIER_COLUMNS, ResultTable, outlier_row
from desk.trade.scheduling.booking_text import say_day
from desk.windows.documents.model import Document
from desk.windows.kit.item_models import Line, LineModel
from desk.windows.recurrence.outputs import worth_document
from desk.windows.recurrence.view_base import View
from desk.windows.work.work_queue import WorkQueue

_MARGIN = 8
_QUIET = 0.9


class LookDelegate(QStyledItemDelegate):
    """Draws a line's sentence bold, its evidence under it, and its caution small."""

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw one line.

        Args:
            painter: what is drawn with; it is left as it was.
            option: where the line lies, its palette, and whether it is marked.
            index: of what is drawn; only the ground where it holds no line.
        """
        line = _line_at(index)
        marked = QStyleOptionViewItem(option)
        self.initStyleOption(marked, index)
        marked.text = ""
        style = option.widget.style()
        style.drawControl(style.ControlElement.CE_ItemViewItem, marked, painter, option.widget)
        if line is None:
            return
        role = QPalette.ColorRole
        chosen = bool(option.state & option.state.State_Selected)
        painter.save()
        painter.setPen(option.palette.color(role.HighlightedText if chosen else role.Text))
        for text, font, place in _places(line, option.font, option.rect):
            painter.setFont(font)
            painter.drawText(place, _WRAPPED, text)
        painter.restore()

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the room that the three texts take in the width of the list."""
        line = _line_at(index)
        view = option.widget
        wide = view.viewport().width() if isinstance(view, QListView) else option.rect.width()
        if line is None:
            return super().sizeHint(option, index)
        places = _places(line, option.font, QRect(0, 0, wide, 10_000))
        return QSize(wide, places[-1][2].bottom() + _MARGIN)


_WRAPPED = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)


def _line_at(index: QModelIndex | QPersistentModelIndex) -> LookLine | None:
    model = index.model()
    value = model.line(index.row()).value if isinstance(model, LineModel) else None
    return value if isinstance(value, LookLine) else None


def _places(line: LookLine, font: QFont, room: QRect) -> list[tuple[str, QFont, QRect]]:
    """Return the texts of a line with their letters and where they stand."""
    bold, small = QFont(font), QFont(font)
    bold.setWeight(QFont.Weight.DemiBold)
    small.setPixelSize(max(round(font.pixelSize() * _QUIET), 1))
    inside = room.adjusted(_MARGIN, _MARGIN, -_MARGIN, 0)
    found: list[tuple[str, QFont, QRect]] = []
    top = inside.top()
    for text, letters in ((line.sentence, bold), (line.evidence, font), (line.caution, small)):
        said = say(text)
        space = QRect(inside.left(), top, inside.width(), 10_000)
        place = QFontMetrics(letters).boundingRect(space, _WRAPPED, said)
        found.append((said, letters, QRect(inside.left(), top, inside.width(), place.height())))
        top += place.height() + 2
    return found


class LookList(QListView):
    """A list of lines as high as their texts in its width."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Break the texts anew."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()


class WorthView(View):
    """The list, the line that stands for most jobs first."""

    counts_repeats = True

    def __init__(self, _queue: WorkQueue) -> None:
        super().__init__()
        self.setObjectName("repeats_worth")
        self.answer: WorthALook | None = None
        self.model = LineModel()
        self.list = LookList()
        self.list.setObjectName("repeats_worth_list")
        self.list.setAccessibleName(_("Worth a second look"))
        self.list.setWordWrap(True)
        self.list.setAlternatingRowColors(True)
        self.list.setModel(self.model)
        self._delegate = LookDelegate(self.list)
        self.list.setItemDelegate(self._delegate)
        self.list.selectionModel().currentChanged.connect(self._moved)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.list)

    def query(self, choice: RepeatChoice, watch: Watch) -> Query[WorthALook]:
        """Ask for the lines."""
        return SeeWorthALook(choice, watch)

    def show_answer(self, answer: WorthALook) -> None:
        """Show the lines, the first one marked."""
        self.answer = answer
        self.said = _all_in_all(answer)
        self.definitions = _(
            "Appliances are held against others of their kind, models in hard water against the"
            " same in softer water, parts against other parts, and streets against their own past."
            " Looking at many was corrected for."
        )
        self.model.show_lines([Line(_spoken(line), line) for line in answer.lines])
        if answer.lines:
            self.list.setCurrentIndex(self.model.index(0))
        else:
            self.marked.emit()

    def marked_line(self) -> LookLine | None:
        """Return the line that is marked."""
        return _line_at(self.list.currentIndex())

    def take_focus(self) -> None:
        """Put the keys into the list."""
        self.list.setFocus()

    def document(self, choice: RepeatChoice) -> Document[WorthALook]:
        """Return the pages of a choice."""
        return worth_document(choice)

    def told(self) -> ResultTable | None:
        """Return the lines as they are shown, with the numbers of their jobs."""
        if self.answer is None:
            return None
        rows = tuple(
            {**outlier_row(line), "visits": " ".join(visit.number for visit in line.visits)}
            for line in self.answer.lines
        )
        columns = (*OUTLIER_COLUMNS, "visits")
        return ResultTable(head={}, lines=(), rows=rows, columns=columns, tail={})

    def _moved(self, _now: QModelIndex, _before: QModelIndex) -> None:
        self.marked.emit()


def _all_in_all(answer: WorthALook) -> str:
    """Say how many lines there are, or what will stand here."""
    since = say_day(answer.choice.since or answer.as_of)
    if not answer.looked_at:
        return _(
            "No job was finished since {since}. What chance does not explain stands here once"
            " there is something to look at.",
            since=since,
        )
    if not answer.lines:
        return _(
            "Chance explains all that was seen of {looked_at} appliances, models, parts and"
            " streets since {since}. What it does not explain stands here.",
            looked_at=answer.looked_at,
            since=since,
        )
    return plural(
        "{count} thing that chance does not explain, of {looked_at} looked at since {since}.",
        "{count} things that chance does not explain, of {looked_at} looked at since {since}.",
        len(answer.lines),
        looked_at=answer.looked_at,
        since=since,
    )


def _spoken(line: LookLine) -> str:
    return "\n".join(say(text) for text in (line.sentence, line.evidence, line.caution))
