"""What becomes of the report: sealed, put on paper, kept in a file, laid into a letter."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from desk.base.texts import _
from desk.records.actions import closing
from desk.windows.closing.sign_stage import SignStage
from desk.windows.documents.live_pages import report_name
from desk.windows.documents.outputs import HandingOn
from desk.windows.kit.prompts import Prompts
from desk.windows.visit.presenter import VisitPresenter
from desk.windows.work.work_queue import WorkQueue


class ReportOut(QObject):
    """Does what is asked for on Sign with the report of the visit as it stands.

    Signals:
        told: what was done, in a sentence.
        failed: why it was not (`DeskError`).
    """

    told = Signal(str)
    failed = Signal(object)

    def __init__(
        self,
        queue: WorkQueue,
        prompts: Prompts,
        presenter: VisitPresenter,
        sign: SignStage,
        window: QWidget,
    ) -> None:
        super().__init__(window)
        self._queue, self._prompts, self._window = queue, prompts, window
        self._presenter, self._sign = presenter, sign
        self._handing_on = HandingOn(queue, prompts, sign.busy, self)
        self._handing_on.told.connect(self.told)
        self._handing_on.failed.connect(self.failed)
        sign.busy.stop_asked.connect(self.stop)
        sign.seal_asked.connect(self._seal)
        sign.print_asked.connect(self._print)
        sign.save_asked.connect(self._save)
        sign.mail_asked.connect(self._mail)
        sign.office_copy_asked.connect(self._show_office_copy)

    def stop(self) -> None:
        """Print no more, if anything is being printed."""
        self._handing_on.stop()

    def _seal(self) -> None:
        sheet = self._presenter.sheet
        if sheet is None:
            return
        self._sign.flush()
        question = _(
            "Seal the report of visit {number}? It cannot be changed afterwards, only amended "
            "with a reason.",
            number=sheet.report.number,
        )
        if self._prompts.confirm(question, _("Seal the report")):
            self._presenter.hand_in(closing.Seal(sheet.visit_id), self._sign)

    def _print(self) -> None:
        self._sign.pages.when_made(self._print_pages)

    def _print_pages(self, pdf: bytes) -> None:
        if self._presenter.sheet is not None:
            self._handing_on.print_pages(pdf, report_name(self._presenter.sheet.report))

    def _save(self) -> None:
        self._sign.pages.when_made(self._save_pages)

    def _save_pages(self, pdf: bytes) -> None:
        if self._presenter.sheet is not None:
            self._handing_on.save(pdf, f"{report_name(self._presenter.sheet.report)}.pdf")

    def _mail(self) -> None:
        self._sign.pages.when_made(self._mail_pages)

    def _mail_pages(self, pdf: bytes) -> None:
        if self._presenter.sheet is not None:
            from desk.paper.report.letter import report_letter

            report = self._presenter.sheet.report
            self._handing_on.mail(report_letter(report), pdf, f"{report_name(report)}.eml")

    def _show_office_copy(self) -> None:
        sheet = self._presenter.sheet
        if sheet is not None:
            from desk.windows.closing.office_copy_window import (
                office_copy_window,  # only here: it is rare
            )

            office_copy_window(
                self._queue, self._prompts, sheet.report.number, sheet.visit_id, self._window
            ).show()
