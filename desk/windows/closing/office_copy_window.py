"""The office copy of a visit in a window of its own; it is sent to nobody."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from desk.base.progress import Watch
from desk.base.texts import _
from desk.records.actions.documents import SeeOfficeCopy
from desk.windows.documents.model import Document
from desk.windows.documents.window import DocumentWindow
from desk.windows.kit.prompts import Prompts
from desk.windows.work.work_queue import WorkQueue

if TYPE_CHECKING:
    from desk.records.views.office_copy import OfficeCopy


def office_copy_window(
    queue: WorkQueue, prompts: Prompts, number: str, visit_id: uuid.UUID, parent: QWidget
) -> DocumentWindow:
    """Return the window with a visit's office copy.

    Args:
        queue: looks the visit up.
        prompts: asks where to print and save.
        number: the visit's number.
        visit_id: key of the visit.
        parent: the window it belongs to.
    """
    document = Document(
        _("Office copy, visit {number}", number=number),
        _("Office copy {number}.pdf", number=number),
        SeeOfficeCopy(visit_id),
        _pages,
    )
    return DocumentWindow(queue, prompts, document, parent)


def _pages(copy: OfficeCopy, watch: Watch) -> bytes:
    from desk.paper.report.office_copy import office_copy  # brings ReportLab

    return office_copy(copy, watch=watch)
