"""Arrive: what was reported, what is known, and whether it is safe and allowed to begin."""

from __future__ import annotations

import uuid

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from desk.base.errors import DeskError
from desk.base.texts import _, say
from desk.paper.kit.date_text import show_time
from desk.records.actions import visit as commands
from desk.records.views.shop import PersonCard
from desk.records.views.visit_sheet import VisitSheet
from desk.windows.checking.check_card import CheckCard
from desk.windows.kit.controls import ChoiceBox, column
from desk.windows.kit.fields import WrittenLine
from desk.windows.kit.labels import text_label
from desk.windows.stage_kit.history_block import appliance_text, history_text, warranty_text
from desk.windows.stage_kit.large_controls import Sides, WideButton, press
from desk.windows.stage_kit.stage import Stage

SIDE_BY_SIDE_FROM = 860


class ArriveStage(Stage):
    """The door: read what is known, look for danger, begin."""

    small_job_asked = Signal()

    def __init__(self) -> None:
        super().__init__("arrive", _("Arrive"))
        self.reported = text_label(rank="large", name="reported")
        self.danger = text_label(rank="large", loud=True, name="danger_reported")
        self.danger.setProperty("means", "danger")
        self.where = text_label(name="where")
        self.access = text_label(name="access_note")
        self.appliance = text_label(name="appliance")
        self.history = text_label(name="history")
        self.technician = ChoiceBox("technician", _("Technician"))
        self.arrive = WideButton(_("I have arrived: begin"), "arrive")
        self.arrive.lead()
        press(self.arrive, "Return")
        self.arrive.clicked.connect(self._arrive)
        self.small = WideButton(_("Small job: one short page"), "small_job")
        press(self.small, "J")
        self.small.clicked.connect(self.small_job_asked)
        self.card = CheckCard("arrive_card")
        self.card.handed_in.connect(self.hand_in)
        self.card.photographs_asked.connect(self.to_photographs)
        self.safe = text_label(rank="large", loud=True, name="arrive_done")
        self.onward = WideButton(_("Go on to the checks"), "to_checks")
        self.onward.lead()
        press(self.onward, "C")
        self.onward.clicked.connect(self._onward)
        self._lay_out()

    def _lay_out(self) -> None:
        now = column(spacing=14)
        self.who = text_label(_("Technician"), loud=True)
        now.addWidget(self.card, 1)
        for part in (self.who, self.technician, self.safe):
            now.addWidget(part)
        self.add_field(
            WrittenLine("allowed_by", _("Work allowed by"), _("name of the person")), now
        )
        now.addWidget(self.small)
        now.addStretch(1)
        self._known = known = QFrame()
        known.setProperty("card", True)
        inside = column(spacing=14, margins=16)
        inside.addLayout(_section(_("What was reported"), self.danger, self.reported))
        inside.addLayout(_section(_("Where"), self.where, self.access))
        inside.addLayout(_section(_("Appliance"), self.appliance))
        inside.addLayout(_section(_("The last visits to it"), self.history))
        inside.addStretch(1)
        known.setLayout(inside)
        self._sides = Sides(now, known, SIDE_BY_SIDE_FROM)
        self.column.addLayout(self._sides, 1)
        self.dock = QWidget()
        dock = column()
        dock.addWidget(self.arrive)
        dock.addWidget(self.onward)
        dock.addWidget(self.card.dock)
        self.dock.setLayout(dock)

    def offer(self, people: tuple[PersonCard, ...]) -> None:
        """Offer the technicians of the shop to a visit that has none yet."""
        self.technician.clear()
        self.technician.addItem(_("Which technician?"), None)
        for person in people:
            if person.is_technician:
                self.technician.addItem(person.name, str(person.person_id))
        if self.technician.count() == 2:  # noqa: PLR2004 - only one there is
            self.technician.setCurrentIndex(1)

    def show_sheet(self, sheet: VisitSheet) -> None:
        """Show what is known of the job, and the next thing to do at the door."""
        super().show_sheet(sheet)
        report = sheet.report
        self.danger.setVisible(report.danger_reported)
        self.danger.setText(_danger_words(sheet))
        quoted = _("“{words}”", words=report.complaint_words) if report.complaint_words else ""
        self.reported.setText(
            "\n".join(part for part in (say(report.complaint_text), quoted) if part)
        )
        self.where.setText(_where(sheet))
        note = report.premises.access_note if report.premises else ""
        self.access.setText(_("Access: {note}", note=note))
        self.access.setVisible(bool(note))
        warranty = warranty_text(report)
        self.appliance.setText(
            "\n".join(part for part in (appliance_text(report.appliance), warranty) if part)
        )
        self.history.setText(history_text(sheet.history, report.letterhead.system))
        self._show_next(sheet)

    def _show_next(self, sheet: VisitSheet) -> None:
        waiting = sheet.report.state in {"new_call", "booked"}
        self.arrive.setVisible(waiting)
        self.arrive.setEnabled(not sheet.danger_open)
        asked = waiting and sheet.technician_id is None
        self.who.setVisible(asked)
        self.technician.setVisible(asked)
        walk, checklist = sheet.walk, sheet.checklist
        # The danger question is never skipped: the short way opens behind it.
        safe = walk is not None and bool(walk.path) and walk.ending is None
        self.small.setVisible(safe and sheet.report.state == "under_way")
        door = ""
        if walk is not None and checklist is not None and walk.next is not None:
            door = walk.next if checklist.check(walk.next).stage == "arrive" else ""
        before = self.card.check
        for part in (self.card, self.card.dock):
            part.setVisible(bool(door))
        if door:
            self.card.show_check(sheet, door)
            if self.isVisible() and before is not self.card.check:
                self.card.take_focus()
                self.verticalScrollBar().setValue(0)
        begun = walk is not None and not door
        newly = begun and self.onward.isHidden()
        self.onward.setVisible(begun and walk is not None and walk.ending != "left")
        self.safe.setVisible(begun)
        if walk is not None and walk.ending == "left":
            self.safe.setText(_("■ Stop and leave: see Check, Ctrl+2."))
        elif begun:
            time = show_time(sheet.report.started_at, sheet.report.zone)
            self.safe.setText(
                _("● Arrived {time}; the questions at the door are answered.", time=time)
            )
        if newly and self.isVisible():
            self.onward.setFocus()

    def chosen(self) -> uuid.UUID | None:
        """Return the technician that is chosen here; None where the visit has one."""
        data = None if self.technician.isHidden() else self.technician.currentData()
        return uuid.UUID(data) if data else None

    def _arrive(self) -> None:
        if self.sheet is None:
            return
        self.hand_in(commands.Arrive(self.sheet.visit_id, technician_id=self.chosen()))

    def _onward(self) -> None:
        self.moved.emit("check")

    def shown_here(self) -> str:
        """Return the check on screen: a photograph taken now belongs to it."""
        return self.card.shown_here()

    def show_error(self, error: DeskError) -> None:
        """Say a refusal on the card where it was entered there."""
        if self.card.check is None or not self.card.show_error(error):
            super().show_error(error)

    def set_compact(self, compact: bool) -> None:
        """Stand as fits a small window, or a usual one."""
        super().set_compact(compact)
        self.card.set_compact(compact)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put what is known beside what is to be done, where there is room."""
        super().resizeEvent(event)
        self._sides.fit(self.viewport().width())

    def take_focus(self) -> None:
        """Put the keys on what is to be done at the door."""
        for button in (self.arrive, self.onward):
            if not button.isHidden():
                button.setFocus()
                return
        self.card.take_focus()


def _section(title: str, *parts: QWidget) -> QVBoxLayout:
    layout = column(spacing=2)
    layout.addWidget(text_label(title, loud=True))
    for part in parts:
        layout.addWidget(part)
    return layout


def _danger_words(sheet: VisitSheet) -> str:
    """Say that a danger was reported, and what has to be done or became of it."""
    if sheet.report.danger_outcome:
        return _("Danger was reported with the call. What became of it: {outcome}",
                 outcome=sheet.report.danger_outcome)  # fmt: skip
    said = _("▲ Danger was reported with the call. Stay out until it is cleared.")
    if not sheet.danger_open:
        return said
    return f"{said} " + _(
        "The visit begins when somebody has written at the counter what became of it."
    )


def _where(sheet: VisitSheet) -> str:
    report = sheet.report
    customer = report.customer
    address = report.premises.address if report.premises else ()
    who = customer.name if customer else _("Nobody is named with the call.")
    phones = ", ".join(customer.phones) if customer else ""
    return "\n".join(part for part in (who, *address, phones) if part)
