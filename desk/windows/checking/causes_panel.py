"""What stands beside a check: what is still possible, or the answers so far."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Signal
from PySide6.QtWidgets import QButtonGroup, QFrame, QHBoxLayout

from desk.base.texts import _
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.checking.path_and_causes import RowList, basis_words, cause_rows, path_rows
from desk.windows.kit.controls import column
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.large_controls import WideButton, press
from desk.windows.stage_kit.style import NO_LIMIT

_WIDE = 316


class CausesPanel(QFrame):
    """One list at a time: the causes, likeliest first, or the path, an answer a line.

    Signals:
        gone_back: the person goes back to a check on the path.
        sought: the person goes to what confirms a cause.
    """

    gone_back = Signal(str)
    sought = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("causes_panel")
        self.setProperty("card", True)
        self.to_causes = self._tab(_("Still possible"), "show_causes", "W")
        self.to_path = self._tab(_("Answers"), "show_path", "L")
        self._tabs = QButtonGroup(self)
        for tab in (self.to_causes, self.to_path):
            self._tabs.addButton(tab)
        self.to_causes.setChecked(True)
        self._tabs.buttonClicked.connect(self._show)
        self.to_path.clicked.connect(self._take_path)
        self.basis = text_label(name="causes_basis", rank="caption")
        self.basis.setProperty("means", "quiet")
        self.causes = RowList("causes", _("Still possible"))
        self.causes.clicked.connect(self._seek)
        self.causes.activated.connect(self._seek)
        self.known = WideButton(_("I know what it is"), "know_the_cause")
        press(self.known, "K")
        self.known.clicked.connect(self._choose)
        self.no_check = text_label(name="no_check_confirms")
        self.no_check.hide()
        self.path = RowList("path", _("Answers so far"))
        self.path.clicked.connect(self._go_back)
        self.path.activated.connect(self._go_back)
        self.nothing_yet = text_label(
            _("No check is answered yet. The answers stand here; press one to go back to it."),
            name="path_empty",
        )
        heads = QHBoxLayout()
        heads.setSpacing(6)
        heads.addWidget(self.to_causes, 1)
        heads.addWidget(self.to_path)
        layout = column(spacing=8, margins=12)
        layout.addLayout(heads)
        for part in (self.basis, self.nothing_yet):
            layout.addWidget(part)
        layout.addWidget(self.causes, 1)
        layout.addWidget(self.path, 1)
        layout.addStretch()  # the tabs stay low where no list is shown
        layout.addWidget(self.no_check)
        layout.addWidget(self.known)
        self.setLayout(layout)
        self._sheet: VisitSheet | None = None

    @staticmethod
    def _tab(text: str, name: str, key: str) -> WideButton:
        tab = WideButton(text, name, side=8)
        tab.setCheckable(True)
        press(tab, key)
        return tab

    def is_path(self) -> bool:
        """Return whether the answers so far are shown, and not the causes."""
        return self.to_path.isChecked()

    def set_wide(self, wide: bool, *, shown: bool) -> None:
        """Stand beside the card, or in its place, or not at all.

        Out of sight it is only too narrow to be seen, as its keys turn to it.
        """
        self.setMaximumWidth((_WIDE if wide else NO_LIMIT) if shown else 0)
        self.setMinimumWidth(_WIDE if wide and shown else 0)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show what is still possible on a visit, and how it came there."""
        self._sheet = sheet
        self.no_check.hide()
        self.causes.rows.show_rows(cause_rows(sheet))
        self.causes.scrollToTop()  # the likeliest
        path = path_rows(sheet)
        self.path.rows.show_rows(path)
        self.basis.setText(basis_words(sheet))
        self._show()
        counting = sum(not row.struck for row in path)
        self.path.scrollTo(self.path.rows.index(max(counting - 1, 0), 0))

    def _show(self) -> None:
        sheet = self._sheet
        goes_on = sheet is None or sheet.stop is None  # nobody goes back in to look for a cause
        path = self.is_path()
        answered = sheet is not None and bool(sheet.report.checks)
        self.to_causes.setVisible(goes_on)
        self.causes.setVisible(goes_on and not path)
        self.basis.setVisible(goes_on and not path and bool(self.basis.text()))
        self.known.setVisible(goes_on and sheet is not None and sheet.report.state == "under_way")
        self.path.setVisible(path and answered)
        self.nothing_yet.setVisible(path and not answered)

    def _take_path(self) -> None:
        """Give the keys to the answers: the arrows choose one, Enter goes back to it."""
        self._show()
        if not self.path.isHidden():
            if not self.path.currentIndex().isValid():
                self.path.setCurrentIndex(self.path.rows.index(0, 0))
            self.path.setFocus()

    def _choose(self) -> None:
        """Give the keys to the causes: the arrows and the first letters of a name find one."""
        if self.is_path() or not self.width():
            self.to_causes.click()
        if not self.causes.currentIndex().isValid():
            self.causes.setCurrentIndex(self.causes.rows.index(0, 0))
        self.causes.setFocus()

    def _seek(self, index: QModelIndex) -> None:
        goes_on = self._sheet is not None and self._sheet.report.state == "under_way"
        if goes_on:
            self.sought.emit(self.causes.key_at(index))

    def say_no_check(self, cause: str) -> None:
        """Say that no check is left that confirms a cause.

        Args:
            cause: its name.
        """
        self.no_check.setText(
            _("No check of this list is left that confirms it: {cause}", cause=cause)
        )
        self.no_check.show()

    def _go_back(self, index: QModelIndex) -> None:
        self.gone_back.emit(self.path.key_at(index))
