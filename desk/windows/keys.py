"""Where the keys go while an answer is on its way: a refusal may lead them on, never away.

Who pressed Enter and waits is led to the line that is wrong. Who has typed on meanwhile, or gone
somewhere else, keeps the keys; the line still says what is wrong with it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from PySide6.QtWidgets import QApplication, QLineEdit, QPlainTextEdit, QWidget

type KeysAt = tuple[int, str]
"""What has the keys, and what stands typed in it."""

_may_lead: ContextVar[bool] = ContextVar("_may_lead", default=True)


def keys_at() -> KeysAt:
    """Return what has the keys now, to be asked when something is handed in."""
    widget = QApplication.focusWidget()
    text = ""
    if isinstance(widget, QLineEdit):
        text = widget.text()
    elif isinstance(widget, QPlainTextEdit):
        text = widget.toPlainText()
    return id(widget), text


@contextmanager
def answering(asked: KeysAt) -> Iterator[None]:
    """Show what came of something that was handed in while the keys were there."""
    token = _may_lead.set(keys_at() == asked)
    try:
        yield
    finally:
        _may_lead.reset(token)


def lead_keys_to(widget: QWidget) -> None:
    """Lead the keys to what is wrong, unless the person has gone on meanwhile."""
    if _may_lead.get():
        widget.setFocus()
