"""The shop's own checks: the list, the form of one, how the technician sees it, what is wrong."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QModelIndex, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListView,
    QMainWindow,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from desk.base import texts
from desk.base.errors import DeskError
from desk.base.texts import Message, _, message, say
from desk.records.actions.shop import SeeInUse
from desk.trade.content.findings import ContentFinding, ContentItem
from desk.trade.content.in_use import InUse
from desk.trade.content.model import in_language
from desk.trade.content.shop_store import Raw
from desk.windows.kit.fields import ChoiceLine
from desk.windows.kit.geometry import keep_geometry
from desk.windows.kit.item_models import Line, LineModel
from desk.windows.kit.labels import WRONG, text_label
from desk.windows.kit.words import saved_words
from desk.windows.own_checks.form import CAUSE_WORDS, CheckForm
from desk.windows.own_checks.preview import Preview
from desk.windows.own_checks.store_jobs import CAUSES, CAUTIONS, Keeping, OwnEntry, Seen, shelf_of
from desk.windows.work.work_queue import WorkQueue

STATES: dict[str, tuple[str, Message]] = {
    "replaced": ("◆", message("in your own words")),
    "new": ("✚", message("your own")),
    "draft": ("✎", message("draft, not used yet")),
}
"""A state is a word with a shape; a check as it comes with the program has none."""

MOST_SEEN = 4
"""So many of the things that are wrong are seen at once; the others are scrolled to."""
_FRAME = 4


class OwnChecksWindow(QMainWindow):
    """The list on the left, the form in the middle, the card on the right, what is wrong above."""

    def __init__(self, queue: WorkQueue, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setObjectName("own_checks")
        self.setWindowTitle(_("The shop's own checks"))
        self._queue = queue
        self._keeping: Keeping | None = None
        self._in_use: InUse | None = None
        self._seen: Seen | None = None
        self._asked = 0
        self._findings: tuple[ContentFinding, ...] = ()
        self._build()
        self._build_keys()
        queue.ask(self, SeeInUse(), self._know, self._failed, key="in_use")

    def _build(self) -> None:
        self.which = ChoiceLine("which_list", _("List"), ())
        self.which.settled.connect(self._other_list)
        self.lines = LineModel()
        self.list = _list_of(self.lines, "checks_of_list", _("Checks of the list"))
        self.list.selectionModel().currentChanged.connect(self._marked)
        self.form, self.preview = CheckForm(self._queue), Preview()
        self.form.written.connect(self._put)
        self.form.half_typed.refused.connect(self._failed)
        self.found = LineModel()
        self.findings = _list_of(self.found, "findings", _("What is wrong"))
        self.findings.activated.connect(self._go_to)
        self.findings.clicked.connect(self._go_to)
        self.said = text_label(_("The checks are being read."), "own_said", loud=True)
        self.saved = text_label(name="saved")
        self.saved.setWordWrap(False)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.addLayout(self._buttons())
        column.addWidget(self.said)
        column.addWidget(self.findings)
        column.addWidget(self._parts(), 1)
        self.setCentralWidget(inside)
        self.statusBar().addPermanentWidget(self.saved)
        self.resize(1280, 720)
        keep_geometry(self, "own_checks")

    def _parts(self) -> QSplitter:
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.which)
        column.addWidget(self.list, 1)
        parts = QSplitter()
        for part, share in ((left, 3), (self.form, 4), (self.preview, 4)):
            parts.addWidget(part)
            parts.setStretchFactor(parts.count() - 1, share)
        parts.setChildrenCollapsible(False)
        parts.setHandleWidth(14)
        parts.setSizes([340, 460, 460])
        return parts

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        self.verbs: dict[str, QPushButton] = {}
        for name, words, slot in (
            ("own_new", _("New check before this one"), self._begin),
            ("own_take", _("Make it your own"), self._make_own),
            ("own_out", _("Take yours out"), self._take_out),
            ("own_back", _("Take back"), self._take_back),
            ("own_again", _("Do again"), self._do_again),
            ("own_check", _("Check everything"), self.check_everything),
        ):
            button = QPushButton(words)
            button.setObjectName(name)
            button.clicked.connect(slot)
            row.addWidget(button)
            self.verbs[name] = button
        row.addStretch(1)
        return row

    def _build_keys(self) -> None:
        for keys, slot in (
            ("Ctrl+N", self._begin),
            ("Ctrl+E", self._make_own),
            ("Ctrl+Z", self._take_back),
            ("Ctrl+Shift+Z", self._do_again),
            ("F5", self.check_everything),
            ("Ctrl+L", self.list.setFocus),
        ):
            QShortcut(QKeySequence(keys), self).activated.connect(slot)

    def _know(self, in_use: InUse) -> None:
        """Begin with the list that is worked for most calls."""
        self._in_use, self._keeping = in_use, Keeping(in_use.folder)
        lists = tuple(
            (key, in_language(one.title)) for key, one in in_use.content.checklists.items()
        )
        self.which.offer((*lists, (CAUSES, _("Causes")), (CAUTIONS, _("Cautions"))))
        self._look(self.which.text(), focus="list")

    def _look(self, list_id: str, check_id: str = "", *, focus: str = "") -> None:
        keeping = self._keeping
        if keeping is not None:
            self._ask(lambda: keeping.look(list_id, check_id), focus=focus)

    def _ask(self, call: Callable[[], Seen], *, focus: str = "", writes: bool = False) -> None:
        """Have something done beside the window; an answer that is out of date is dropped."""
        self._asked += 1
        answer = _Answer(self, self._asked, focus=focus, writes=writes)
        self._queue.work(self, call, answer.take, self._failed)

    def show_seen(self, seen: Seen, asked: int, *, focus: str) -> None:
        """Show what came of it, unless something else was asked since.

        Args:
            seen: all that the window shows.
            asked: the number of the question that it answers.
            focus: where the keys go: ``form``, ``list``, or "" for where they are.
        """
        if asked != self._asked or self._in_use is None:
            return
        self._seen, self._findings = seen, seen.findings
        self._show_list(seen)
        opened = seen.opened
        self.form.setVisible(opened is not None)
        self.preview.setVisible(opened is not None)
        if opened is not None:
            self.form.show_opened(opened, seen)
            mine = [one for one in seen.findings if one.item == opened.entry.item]
            self.form.show_findings(mine)
            cautions = dict(self._in_use.content.cautions)
            self.preview.show_shown(opened.shown, seen.checklist, cautions)
        self._show_findings(seen)
        self._show_verbs(opened.entry if opened else None)
        if focus == "form":
            self.form.take_focus()
        elif focus:
            self.list.setFocus()
        QTimer.singleShot(0, self, self._see_marked)  # when what is below has its height

    def _show_list(self, seen: Seen) -> None:
        lines = [Line(_line(entry), entry.item.id) for entry in seen.entries]
        marked = seen.opened.entry.item.id if seen.opened else ""
        if [self.lines.line(row) for row in range(self.lines.rowCount())] != lines:
            self.list.selectionModel().blockSignals(True)
            self.lines.show_lines(lines)
            self.list.selectionModel().blockSignals(False)
        row = self.lines.row_of(marked)
        if row >= 0 and self.list.currentIndex().row() != row:
            self.list.selectionModel().blockSignals(True)
            self.list.setCurrentIndex(self.lines.index(row))
            self.list.selectionModel().blockSignals(False)
            self.list.viewport().update()

    def _see_marked(self) -> None:
        self.list.scrollTo(self.list.currentIndex())

    def _show_findings(self, seen: Seen) -> None:
        findings = seen.findings
        self.found.show_lines(
            [Line(f"{WRONG} {say(one.sentence)}", at) for at, one in enumerate(findings)]
        )
        self.findings.setVisible(bool(findings))
        row = self.findings.sizeHintForRow(0)
        self.findings.setFixedHeight(min(len(findings), MOST_SEEN) * row + 2 * _FRAME)
        own = sum(entry.state in {"replaced", "new"} for entry in seen.entries)
        if seen.refused == "nothing":
            sentence = _("There is nothing more here to take back or to do again.")
        elif seen.refused:
            sentence = _("▲ Others need what was to go; nothing was changed.")
        elif findings and seen.is_used:
            sentence = texts.plural(
                "▲ {count} thing is wrong with this draft; it is not used before it is mended.",
                "▲ {count} things are wrong with this draft; it is not used before they are.",
                len(findings),
            )
        elif findings:
            sentence = texts.plural(
                "▲ {count} thing is wrong; none of your own checks is used before it is mended.",
                "▲ {count} things are wrong; none of your own checks is used before they are.",
                len(findings),
            )
        elif own:
            sentence = texts.plural(
                "✔ All is sound: {count} of these is your own.",
                "✔ All is sound: {count} of these are your own.",
                own,
            )
        else:
            sentence = _(
                "Everything here is as it came. Choose one and make it your own, or begin a new"
                " one."
            )
        self.said.setText(sentence)

    def _show_verbs(self, entry: OwnEntry | None) -> None:
        state = entry.state if entry else ""
        words = {CAUSES: _("New cause"), CAUTIONS: _("New caution")}
        shelf = self.which.text()
        self.verbs["own_new"].setText(words.get(shelf, _("New check before this one")))
        self.verbs["own_new"].setEnabled(shelf in words or bool(state))
        self.verbs["own_take"].setEnabled(state == "shipped")
        self.verbs["own_out"].setEnabled(state in {"replaced", "new", "draft"})

    def _other_list(self) -> None:
        self.form.flush()
        self._look(self.which.text())

    def _marked(self, index: QModelIndex, _before: QModelIndex) -> None:
        if index.isValid():
            self.form.flush()
            self._look(self.which.text(), str(self.lines.line(index.row()).value))

    def _go_to(self, index: QModelIndex) -> None:
        """Open the check that a finding is about."""
        finding = self._findings[index.row()]
        item = finding.item
        if item is not None and item.kind != "list":
            self.which.put(shelf_of(item))
            self._look(shelf_of(item), item.id)

    def _item(self) -> ContentItem | None:
        opened = self._seen.opened if self._seen else None
        return opened.entry.item if opened else None

    def _put(self, raw: Raw) -> None:
        keeping, item = self._keeping, self._item()
        if keeping is not None and item is not None:
            self._ask(lambda: keeping.put(item, raw), writes=True)

    def _begin(self) -> None:
        keeping, item = self._keeping, self._item()
        shelf = self.which.text()
        if keeping is None:
            return
        if shelf == CAUSES:
            cause = ContentItem("cause", "own_cause")
            self._ask(lambda: keeping.begin(cause, _blank_cause()), focus="form", writes=True)
        elif shelf == CAUTIONS:
            caution = ContentItem("caution", "own_caution")
            self._ask(lambda: keeping.begin(caution, _blank_caution()), focus="form", writes=True)
        elif item is not None:
            named, blank = ContentItem("check", "own_check", shelf), _blank(item.id)
            self._ask(lambda: keeping.begin(named, blank), focus="form", writes=True)

    def _make_own(self) -> None:
        self._do("own_take", "make_own", focus="form")

    def _take_out(self) -> None:
        self._do("own_out", "take_out")

    def _take_back(self) -> None:
        self._do("own_back", "take_back")

    def _do_again(self) -> None:
        self._do("own_again", "do_again")

    def _do(self, verb: str, name: str, *, focus: str = "") -> None:
        keeping, item = self._keeping, self._item()
        if keeping is not None and item is not None and self.verbs[verb].isEnabled():
            self.form.flush()
            act: Callable[[ContentItem], Seen] = getattr(keeping, name)
            self._ask(lambda: act(item), focus=focus, writes=True)

    def check_everything(self) -> None:
        """Read the whole folder again, and say everything that is wrong in it."""
        self.form.flush()
        self._queue.ask(self, SeeInUse(), self._check, self._failed, key="in_use")

    def _check(self, in_use: InUse) -> None:
        item, self._in_use = self._item(), in_use
        self._queue.content_changed.emit()
        self._look(self.which.text(), item.id if item else "")

    def tell_saved(self) -> None:
        """Say quietly when something was kept, and let other windows look again."""
        self.saved.setText(saved_words(self._queue.now(), self._queue.zone))
        self._queue.content_changed.emit()

    def _failed(self, error: DeskError) -> None:
        self.said.setText(f"{WRONG} {error}")

    def closeEvent(self, event: QCloseEvent) -> None:
        """Keep what was typed."""
        self.form.flush()
        super().closeEvent(event)


class _Answer:
    """Takes what was asked for back to the window, with the number of the question."""

    def __init__(self, window: OwnChecksWindow, asked: int, *, focus: str, writes: bool) -> None:
        self._window, self._asked, self._focus, self._writes = window, asked, focus, writes

    def take(self, seen: Seen) -> None:
        if self._writes and not seen.refused:
            self._window.tell_saved()
        self._window.show_seen(seen, self._asked, focus=self._focus)


def _list_of(model: LineModel, name: str, label: str) -> QListView:
    view = QListView()
    view.setObjectName(name)
    view.setAccessibleName(label)
    view.setModel(model)
    view.setWordWrap(True)
    view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    view.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
    return view


def _line(entry: OwnEntry) -> str:
    if entry.state not in STATES:
        return entry.title
    shape, words = STATES[entry.state]
    return f"{shape} {entry.title}  ({say(words)})"


def _blank_cause() -> Raw:
    language = texts.language()
    return {"zone": "water", "weight": 1} | {key: {language: ""} for key in CAUSE_WORDS}


def _blank_caution() -> Raw:
    blank = {"serious": True, "guards": [], "text": {texts.language(): ""}}
    return blank | {"sources": [_("common practice, no source")]}


def _blank(before: str) -> Raw:
    """Return a new check with nothing said yet; it is a draft until it is sound."""
    language = texts.language()
    return {
        "before": before,
        "stage": "check",
        "title": {language: ""},
        "why": {language: ""},
        "how": {language: []},
        "minutes": 1,
        "answers": [
            {"id": "answer_1", "text": {language: _("Yes")}},
            {"id": "answer_2", "text": {language: _("No")}},
        ],
        "could_not": {},
    }
