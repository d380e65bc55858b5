"""Text that is only read: as it is, never as markup, its lines broken where they have to be."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QSizePolicy

WRONG = "▲"
"""Stands before a sentence that says what is expected: a shape, not a colour alone."""


def brief(text: str, most: int) -> str:
    """Return a text on one line, cut off after so many letters: it stands where nothing scrolls."""
    line = " ".join(text.split())
    return line if len(line) <= most else f"{line[: most - 1].rstrip()}…"


def tip_text(text: str) -> str:
    """Return what a tool tip shows as exactly that text, its lines broken where they have to be.

    Qt guesses whether a tip is markup; told so, it need not.
    """
    return f"<qt>{escape(text).replace('\n', '<br>')}</qt>" if text else ""


def key_free(text: str) -> str:
    """Return what a button, a menu or a tab shows as that text: no ``&`` makes a key."""
    return text.replace("&", "&&")


def text_label(text: str = "", name: str = "", *, rank: str = "", loud: bool = False) -> QLabel:
    """Return a label that shows text as it is, never as markup, and breaks its lines.

    Args:
        text: what it says.
        name: the object's name, by which a test finds it.
        rank: ``large``, ``head``, ``digits`` or ``caption``; the window's own letters unless
            given. How large each is the query says, and the visit sheet for itself.
        loud: bold, for what is read first.
    """
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setObjectName(name)
    label.setProperty("rank", rank)
    label.setProperty("loud", loud)
    policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
    policy.setHeightForWidth(True)
    label.setSizePolicy(policy)
    label.setMinimumWidth(40)
    return label
