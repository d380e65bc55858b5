"""Sizes of the visit sheet: larger letters and larger targets than at the counter."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from desk.windows.theme import tokens
from desk.windows.theme.themes import scaled

_INSIDE = tokens.SHEET_TARGET - 10
"""What is left of a target within its frame."""


NO_LIMIT = 16_777_215
"""Qt's own largest size; PySide6 has no name for it."""


def restyle(widget: QWidget, name: str, value: object) -> None:
    """Set a property that the style sheets ask for, and wear what it changes, if it is another.

    Args:
        widget: what wears it.
        name: of the property.
        value: of the property.
    """
    if widget.property(name) != value:
        widget.setProperty(name, value)
        widget.style().polish(widget)


def sheet_style(letters: int, *, compact: bool = False) -> str:
    """Return the rules of the visit sheet.

    Args:
        letters: how high the program's letters are, in device-independent pixels.
        compact: the window is a small one; what is read large is a little smaller.
    """
    percent = round(100 * letters / tokens.BODY)
    question = tokens.TITLE if compact else tokens.QUESTION
    strong = tokens.SHEET_BODY if compact else tokens.SHEET_STRONG
    return f"""
    * {{ font-size: {scaled(tokens.SHEET_BODY, percent)}px; }}
    *[rank="large"] {{ font-size: {scaled(strong, percent)}px; }}
    *[rank="head"] {{ font-size: {scaled(tokens.TITLE, percent)}px; font-weight: 600; }}
    *[rank="question"] {{ font-size: {scaled(question, percent)}px; font-weight: 600; }}
    *[rank="digits"] {{ font-size: {scaled(tokens.DIGITS, percent)}px; font-weight: 600; }}
    *[rank="caption"] {{
        font-size: {scaled(tokens.SHEET_CAPTION, percent)}px; font-weight: 600;
    }}
    *[means="quiet"] {{ font-weight: 400; }}
    *[loud="true"] {{ font-weight: 600; }}
    QLineEdit, QComboBox {{ min-height: {_INSIDE}px; padding: 4px 8px; }}
    QPushButton {{ min-height: {_INSIDE}px; }}
    QComboBox QAbstractItemView::item {{ min-height: {tokens.SHEET_TARGET}px; }}
    """
