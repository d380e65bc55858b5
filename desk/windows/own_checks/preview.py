"""A check as the technician will see it: the very card of the visit sheet, which does nothing."""

from __future__ import annotations

import uuid
from dataclasses import replace
from datetime import UTC, datetime

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFontInfo, QShortcut
from PySide6.QtWidgets import QApplication, QScrollArea, QVBoxLayout, QWidget

from desk.base.texts import _, message
from desk.records.views.parties import Letterhead
from desk.records.views.report import SNAPSHOT_FORMAT, VisitReport
from desk.records.views.visit_sheet import VisitSheet
from desk.trade.content.checklist import Checklist
from desk.trade.content.model import Cause, Caution, Check, in_language
from desk.windows.checking.check_card import CheckCard
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.style import sheet_style

_NEVER = datetime(2000, 1, 1, tzinfo=UTC)


class Preview(QScrollArea):
    """Shows a check as it would stand on the visit sheet."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("preview")
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.words = text_label(name="preview_words")
        self._page = QWidget()
        self._layout = QVBoxLayout(self._page)
        self._layout.addWidget(self.words)
        self._layout.addStretch(1)
        self._card: CheckCard | None = None
        self.setWidget(self._page)
        self._wear()

    def show_shown(
        self,
        shown: Check | Cause | Caution | None,
        checklist: Checklist,
        cautions: dict[str, Caution],
    ) -> None:
        """Show an item; one that cannot be shown yet leaves what was there before.

        Args:
            shown: the item; None for one that cannot be shown yet.
            checklist: the list that a check stands in.
            cautions: every caution, by id.
        """
        if shown is None:
            wait = _("The card is as it was; it follows as soon as the fields can be read.")
            self.words.setText(wait)
        elif isinstance(shown, Check):
            self.words.setText(_("As the technician will see it"))
            self._show_check(shown, checklist, cautions)
        else:
            self._drop_card()
            self.words.setText("\n\n".join((_("As the technician will see it"), *_said(shown))))

    def _drop_card(self) -> None:
        if self._card is not None:
            for part in (self._card, self._card.dock):
                part.hide()
                part.setParent(None)
                part.deleteLater()
            self._card = None

    def _show_check(self, check: Check, checklist: Checklist, cautions: dict[str, Caution]) -> None:
        known = tuple(one for one in check.cautions if one in cautions)
        shown = replace(check, cautions=known)
        listed = replace(checklist, checks={check.id: shown}, cautions=cautions)
        self._drop_card()
        self._card = CheckCard("preview_card")
        self._card.show_check(_sheet(listed), check.id)
        for place, part in enumerate((self._card, self._card.dock), 1):
            self._layout.insertWidget(place, part)
            self._make_inert(part)

    def _make_inert(self, shown: QWidget) -> None:
        """Let nothing on the card or at its edge be pressed, typed in or come to."""
        shown.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        for part in (shown, *shown.findChildren(QWidget)):
            part.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        for keys in shown.findChildren(QShortcut):
            keys.setEnabled(False)

    def changeEvent(self, event: QEvent) -> None:
        """Follow the letters of another look."""
        if event.type() == QEvent.Type.ApplicationFontChange:
            self._wear()
        super().changeEvent(event)

    def _wear(self) -> None:
        self._page.setStyleSheet(sheet_style(QFontInfo(QApplication.font()).pixelSize()))


def _said(one: Cause | Caution) -> tuple[str, ...]:
    if isinstance(one, Cause):
        return tuple(in_language(text) for text in (one.name, one.explanation, one.remedy))
    return (f"{'▲' if one.serious else '△'}  {in_language(one.text)}",)


def _sheet(checklist: Checklist) -> VisitSheet:
    """Return the sheet of a visit on which nothing was done yet."""
    return VisitSheet(
        visit_id=uuid.UUID(int=0),
        technician_id=None,
        report=_report(checklist.id),
        checklist=checklist,
        walk=None,
        suspects=(),
        suggestion=None,
        acknowledged=frozenset(),
        flow_ids=(),
        flow_circumstances=(),
        reading_ids=(),
        card_ids=(),
        part_ids=(),
        van=(),
        history=(),
        can_undo="",
        can_redo="",
        sealed_fingerprint="",
        sealed_at=None,
    )


def _report(checklist_id: str) -> VisitReport:
    shop = Letterhead(
        name="", address=(), phone="", email="", licence="", zone="UTC", system="us",
        paper="letter", language="en",
    )  # fmt: skip
    return VisitReport(
        format=SNAPSHOT_FORMAT, number="", revision=0, revision_reason="", state="under_way",
        ending="", continues="", letterhead=shop, customer=None, premises=None, appliance=None,
        technician=None, complaint="", complaint_text=message("Planned service"),
        complaint_words="", danger_reported=False, received_at=_NEVER, booked_for=None,
        started_at=None, finished_at=None, allowed_by="", checklist=checklist_id, edition="",
        cautions=(), checks=(), flows=(), readings=(), cause=None, second_cause=None,
        work_done="", parts=(), advice="", advice_refused="", next_step="", referred_to="",
        left_state="", permit="", internal_note="", signature=None, zone="UTC",
    )  # fmt: skip
