"""What comes back: a view, what it is asked, its table and chart, and the jobs behind a row."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QMainWindow,
    QPushButton,
    QScrollArea,
    QSplitter,
    QStackedWidget,
    QTabBar,
    QVBoxLayout,
    QWidget,
)

from desk.base.errors import DeskError, InputError
from desk.base.progress import Watch
from desk.base.texts import Message, _, message, say
from desk.records.actions import Query
from desk.records.actions.recurrence import FindVisit, SeeVisitsBehind
from desk.records.views.recurrence import RepeatChoice, VisitsBehind
from desk.windows.kit.busy import Busy
from desk.windows.kit.geometry import keep_geometry
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.kit.prompts import Prompts
from desk.windows.recurrence.history_views import AgesView, LivesView
from desk.windows.recurrence.jobs_behind import VisitsPanel
from desk.windows.recurrence.outliers_view import WorthView
from desk.windows.recurrence.outputs import Papers, month_document
from desk.windows.recurrence.question_bar import QuestionBar
from desk.windows.recurrence.rates_view import RatesView
from desk.windows.recurrence.view_base import ChartedView, View
from desk.windows.recurrence.warm_up import make_ready_now
from desk.windows.recurrence.words import named
from desk.windows.work.change_note import ChangeNote
from desk.windows.work.thread_handoff import LongWork
from desk.windows.work.work_queue import WorkQueue

VIEWS: dict[str, tuple[Message, Callable[[WorkQueue], View]]] = {
    "rates": (message("Rates"), RatesView),
    "ages": (message("Failures against age"), AgesView),
    "lives": (message("Part life"), LivesView),
    "worth": (message("Worth a second look"), WorthView),
}
"""What can be looked at, and what shows it, built when it is first turned to."""
_UPPER_HIGH, _BEHIND_HIGH = 340, 200
_LINES_HIGH = 8
"""Lines of definitions that are seen at once."""


class RepeatsWindow(QMainWindow):
    """Shows one of the views at a time; a new choice ends the work on the one before.

    Signals:
        opened: the id of a visit to be opened.
    """

    opened = Signal(object)

    def __init__(self, queue: WorkQueue, prompts: Prompts, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("repeats")
        self.setWindowTitle(_("What comes back"))
        self._queue = queue
        self._asked: RepeatChoice | None = None
        self._shown: RepeatChoice | None = None
        self._under_way: LongWork | None = None
        self._behind_under_way: LongWork | None = None
        self._takes_focus = False
        self.papers = Papers(queue, prompts, self)
        self.choices = QuestionBar(queue)
        self.rates = RatesView(queue)
        self.views: dict[str, View] = {"rates": self.rates}
        self._build()
        self._connect()
        self.resize(1240, 720)
        keep_geometry(self, "repeats")
        self.rates.take_focus()
        self._turn_to(0)
        make_ready_now(queue, self)

    def _build(self) -> None:
        self.tabs = QTabBar()
        self.tabs.setObjectName("repeats_views")
        self.tabs.setAccessibleName(_("What is looked at"))
        self.tabs.setExpanding(False)
        self.tabs.setDrawBase(False)
        for place, (words, _made) in enumerate(VIEWS.values(), start=1):
            self.tabs.addTab(say(words))
            self.tabs.setTabToolTip(place - 1, f"Ctrl+{place}")
        self.stack = QStackedWidget()
        self._add(self.rates)
        self.behind = VisitsPanel()
        self.said = text_label(name="repeats_said", loud=True)
        self.busy = Busy()
        upper = QWidget()
        column = QVBoxLayout(upper)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.said)
        column.addWidget(self.stack, 1)
        halves = QSplitter(Qt.Orientation.Vertical)
        halves.setChildrenCollapsible(False)
        halves.addWidget(upper)
        halves.addWidget(self.behind)
        halves.setSizes([_UPPER_HIGH, _BEHIND_HIGH])
        halves.setStretchFactor(0, 2)
        halves.setStretchFactor(1, 1)
        inside = QWidget()
        layout = QVBoxLayout(inside)
        layout.setContentsMargins(10, 6, 10, 4)
        layout.setSpacing(6)
        layout.addWidget(self.tabs)
        layout.addWidget(self.choices)
        layout.addWidget(halves, 1)
        layout.addLayout(self._build_foot())
        layout.addWidget(self.definitions_area)
        layout.addWidget(self.busy)
        self.setCentralWidget(inside)
        self.statusBar().addPermanentWidget(ChangeNote(self._queue))

    def _build_foot(self) -> QHBoxLayout:
        self.how = QPushButton(_("How is this counted?"))
        self.how.setObjectName("repeats_how")
        self.how.setCheckable(True)
        self.left_out = text_label(name="repeats_foot")
        self.definitions = text_label(name="repeats_definitions")
        within = QWidget()
        column = QVBoxLayout(within)
        column.addWidget(self.left_out)
        column.addWidget(self.definitions)
        column.addStretch(1)
        self.definitions_area = QScrollArea()
        self.definitions_area.setAccessibleName(self.how.text())
        self.definitions_area.setWidgetResizable(True)
        self.definitions_area.setWidget(within)
        self.definitions_area.setFixedHeight(_LINES_HIGH * self.fontMetrics().lineSpacing())
        self.definitions_area.hide()
        self.trouble = text_label(name="repeats_trouble", loud=True)
        row = QHBoxLayout()
        row.addWidget(self.how)
        row.addWidget(self.trouble, 1)
        for name, words, keys, slot in (
            ("repeats_csv", _("Save as CSV"), "Ctrl+S", self._save),
            ("repeats_pdf", _("Print"), "Ctrl+P", self._print),
            ("repeats_month", _("Monthly summary"), "Ctrl+M", self._print_month),
        ):
            button = QPushButton(words)
            button.setObjectName(name)
            button.setToolTip(keys)
            button.clicked.connect(slot)
            QShortcut(QKeySequence(keys), self).activated.connect(button.click)
            row.addWidget(button)
        return row

    def _connect(self) -> None:
        self.tabs.currentChanged.connect(self._turn_to)
        for place in range(len(VIEWS)):
            keys = QShortcut(QKeySequence(f"Ctrl+{place + 1}"), self)
            keys.activated.connect(partial(self.tabs.setCurrentIndex, place))
        QShortcut(QKeySequence.StandardKey.Close, self).activated.connect(self.close)
        self.choices.chosen.connect(self._chosen)
        self.rates.go_on.clicked.connect(self._ask_for_people)
        self.behind.model.wanted.connect(self._ask_behind)
        self.behind.opened.connect(self._open)
        self.behind.narrow_asked.connect(self._narrow)
        self.how.toggled.connect(self.definitions_area.setVisible)
        self.how.toggled.connect(self.behind.setHidden)  # a small screen has room for one of them
        self.busy.stop_asked.connect(self._stopped)
        self.papers.written.connect(self._written)
        self.papers.failed.connect(self._failed)
        self._queue.changed.connect(self._look_again)

    def _add(self, view: View) -> None:
        self.stack.addWidget(view)
        view.marked.connect(partial(self._row_marked, view))

    @property
    def view(self) -> View:
        """The view that is turned to."""
        name = list(VIEWS)[self.tabs.currentIndex()]
        if name not in self.views:
            self.views[name] = VIEWS[name][1](self._queue)
            self._add(self.views[name])
        return self.views[name]

    def _turn_to(self, _place: int) -> None:
        """Show another view, asked what it was asked last."""
        view = self.view
        self.stack.setCurrentWidget(view)
        self._takes_focus = True
        self.said.setText("")
        self.behind.show_nothing()
        self.choices.show_for(view.groups, view.by, counts_repeats=view.counts_repeats)
        self.refresh()

    def _chosen(self) -> None:
        """Look anew where something else is chosen than what is shown or under way."""
        try:
            choice = self.choices.choice()
        except InputError:
            return
        if choice != self._asked:
            self._look_at(choice)

    def _look_again(self, _change: object) -> None:
        """Look anew at what is shown: what stands half typed is nobody's choice yet."""
        asked = self._asked or self._shown
        if asked is not None:
            self._look_at(replace(asked, as_of=self.choices.today()))

    def refresh(self) -> None:
        """Look anew at what is chosen; a slip is told under its line."""
        try:
            choice = self.choices.choice()
        except InputError:
            return
        self._look_at(choice)

    def _look_at(self, choice: RepeatChoice) -> None:
        self._stop()
        self._asked, view = choice, self.view
        if view.groups:
            view.by = choice.by
        self.trouble.setText("")
        if view is self.rates and self.rates.wants_asking(choice):
            self.said.setText(_("Nobody asked for people to be compared yet."))
            self.behind.show_nothing()
            return

        def show(answer: Any) -> None:  # noqa: ANN401 - each view has its own
            self.busy.end()
            self._under_way, self._shown = None, answer.choice
            view.show_answer(answer)
            self.said.setText(view.said)
            self.left_out.setText(view.left_out)
            self.left_out.setVisible(bool(view.left_out))
            self.definitions.setText(view.definitions)
            if self._takes_focus and not self.tabs.hasFocus():
                view.take_focus()
            self._takes_focus = False

        def query_of(watch: Watch) -> Any:  # noqa: ANN401
            return view.query(choice, watch)

        self.busy.begin(_("Looking through the visits:"))
        work = self._queue.ask_long(self, query_of, show, self._failed, self.busy.show_progress)
        self._under_way = work if work.is_awaited() else None

    def _stop(self) -> None:
        """Leave off what is under way."""
        self.busy.end()
        self._stop_behind()
        if self._under_way is not None:
            self._under_way.cancel()
            self._under_way = None

    def _stopped(self) -> None:
        self._stop()
        self._asked = None
        self.trouble.setText(_("Stopped. What stands here is what was chosen before."))

    def _ask_for_people(self) -> None:
        self.rates.people_asked = True
        self.refresh()

    def _row_marked(self, view: View) -> None:
        """Show the jobs behind the row that is marked, if its view is seen."""
        if view is not self.view:
            return
        line = view.marked_line() if isinstance(view, WorthView) else None
        if line is not None:
            self.behind.show_jobs(line.visits, line.cases)
        elif self._marked_group() is None:
            self.behind.show_nothing(self._nothing_marked())
        else:
            self._ask_behind(0)

    def _marked_group(self) -> tuple[str, str] | None:
        """Return key and label of the group whose jobs are shown."""
        view = self.view
        if not isinstance(view, RatesView | AgesView | LivesView):
            return None
        marked: list[Any] = list(view.marked_rows())
        if not marked:
            return None
        at = view.table.currentIndex()
        current: Any = view.model.row(at.row()) if at.isValid() else marked[0]
        row = current if current in marked else marked[0]
        return row.key, view.label(row)

    def _nothing_marked(self) -> str:
        view = self.view
        if not isinstance(view, ChartedView) or not view.model.rowCount():
            return _("The visits behind a figure stand here, once there is one.")
        return ""

    def _ask_behind(self, offset: int) -> None:
        group = self._marked_group()
        if group is None or self._shown is None:
            return
        self._stop_behind()
        key, label = group
        shown = self._shown

        def show(behind: VisitsBehind) -> None:
            self.busy.end()
            self._behind_under_way = None
            self.behind.show_page(named(label), behind)

        def query_of(watch: Watch) -> Query[VisitsBehind]:
            return SeeVisitsBehind(shown, key, offset=offset, watch=watch)

        self.busy.begin(_("Looking for the visits behind it:"))
        work = self._queue.ask_long(self, query_of, show, self._failed, self.busy.show_progress)
        self._behind_under_way = work if work.is_awaited() else None

    def _stop_behind(self) -> None:
        """Leave off looking for the jobs behind a row that is not marked any more."""
        if self._behind_under_way is not None:
            self._behind_under_way.cancel()
            self._behind_under_way = None

    def _narrow(self) -> None:
        group = self._marked_group()
        if group is not None:
            self.choices.narrow(*group)

    def _open(self, number: str) -> None:
        self._queue.ask(self, FindVisit(number), self.opened.emit, self._failed, key="open")

    def _save(self) -> None:
        told = self.view.told()
        if told is not None:
            self.papers.save(told)

    def _print(self) -> None:
        if self._shown is not None:
            self.papers.show(self.view.document(self._shown))

    def _print_month(self) -> None:
        self.papers.show(month_document(self.choices.today()))

    def _written(self, name: str) -> None:
        self.statusBar().showMessage(_("Saved as {name}.", name=name))

    def _failed(self, error: DeskError) -> None:
        self.busy.end()
        self._under_way = self._behind_under_way = self._asked = None
        if not (isinstance(error, InputError) and self.choices.show_error(error)):
            self.trouble.setText(f"{WRONG} {error}")
