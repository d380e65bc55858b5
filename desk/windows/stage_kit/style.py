"""Sizes of the visit sheet: larger letters and larger targets than at the counter."""

from __future__ import annotations

TARGET = 44
"""Smallest side of what is pressed or typed in, in device-independent pixels."""

BASE, LARGE, HEAD, DIGITS = 1.2, 1.4, 1.7, 3.6
_FRAME = 10


def sheet_style(letters: int) -> str:
    """Return the rules of the visit sheet for a theme whose letters are that many pixels high."""
    return f"""
    * {{ font-size: {round(letters * BASE)}px; }}
    *[rank="large"] {{ font-size: {round(letters * LARGE)}px; }}
    *[rank="head"] {{ font-size: {round(letters * HEAD)}px; font-weight: bold; }}
    *[rank="digits"] {{ font-size: {round(letters * DIGITS)}px; font-weight: bold; }}
    *[loud="true"], *[rank="caption"] {{ font-weight: bold; }}
    QLineEdit, QComboBox {{ min-height: {TARGET - _FRAME}px; padding: 4px 8px; }}
    QPushButton {{ min-height: {TARGET - _FRAME}px; }}
    QComboBox QAbstractItemView::item {{ min-height: {TARGET}px; }}
    """
