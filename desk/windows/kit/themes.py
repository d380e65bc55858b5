"""The two themes of the windows: Desk, light and dense, and Basement, dark and high in contrast.

Every colour of text stands at 4.5:1 or better against what it is written on (WCAG 2.2, 1.4.3);
a test computes it. What cannot be used now is told by a word beside it and not by its colour.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from PySide6.QtCore import QSettings, Qt
from PySide6.QtGui import QColor, QFont, QFontDatabase, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QStyleFactory

from desk.base import paths

FONT_FILES = ("NotoSans-Regular.ttf", "NotoSans-Bold.ttf", "NotoSans-Italic.ttf", "DejaVuSans.ttf")
FAMILY = "Noto Sans"
LARGE = 1.5
"""How much larger letters are that must not be overlooked."""
AS_THE_SYSTEM = "system"
"""The choice to go light or dark with the system."""
TARGET = 28
"""Smallest height of what is pressed or typed in, in device-independent pixels."""


@dataclass(frozen=True, slots=True)
class Theme:
    """The colours and the size of letters of one look."""

    name: str
    ground: str
    field: str
    other_row: str
    text: str
    quiet: str
    chosen: str
    chosen_text: str
    button: str
    edge: str
    link: str
    visited: str
    letters: int

    def pairs(self) -> dict[str, tuple[str, str]]:
        """Return every pair of text and ground that the theme writes, by what it is for."""
        return {
            "text": (self.text, self.ground),
            "text in a field": (self.text, self.field),
            "text in every other row": (self.text, self.other_row),
            "text on a button": (self.text, self.button),
            "quiet text": (self.quiet, self.ground),
            "placeholder": (self.quiet, self.field),
            "quiet text in every other row": (self.quiet, self.other_row),
            "chosen text": (self.chosen_text, self.chosen),
            "link": (self.link, self.ground),
            "link in a field": (self.link, self.field),
            "visited link": (self.visited, self.ground),
            "visited link in a field": (self.visited, self.field),
        }


DESK = Theme(
    name="desk",
    ground="#f1efe9",
    field="#fffefb",
    other_row="#f7f5ef",
    text="#1d2429",
    quiet="#535c63",
    chosen="#1f5566",
    chosen_text="#ffffff",
    button="#e5e2d9",
    edge="#7b7f7a",
    link="#14536b",
    visited="#5b4677",
    letters=13,
)
BASEMENT = Theme(
    name="basement",
    ground="#14181b",
    field="#1e2428",
    other_row="#252c31",
    text="#f4f1e8",
    quiet="#b9bdb8",
    chosen="#f0c264",
    chosen_text="#14181b",
    button="#333c42",
    edge="#8f979b",
    link="#8fd0e6",
    visited="#cdb6ec",
    letters=16,
)
LOOKS = {look.name: look for look in (DESK, BASEMENT)}


def palette_of(look: Theme) -> QPalette:
    """Return a theme as Qt's palette."""
    role = QPalette.ColorRole
    colours = {
        role.Window: look.ground,
        role.WindowText: look.text,
        role.Base: look.field,
        role.AlternateBase: look.other_row,
        role.Text: look.text,
        role.Button: look.button,
        role.ButtonText: look.text,
        role.BrightText: look.text,
        role.ToolTipBase: look.field,
        role.ToolTipText: look.text,
        role.Highlight: look.chosen,
        role.HighlightedText: look.chosen_text,
        role.Accent: look.chosen,
        role.Link: look.link,
        role.LinkVisited: look.visited,
        role.PlaceholderText: look.quiet,
        role.Light: look.field,
        role.Midlight: look.button,
        role.Mid: look.edge,
        role.Dark: look.edge,
        role.Shadow: look.text,
    }
    palette = QPalette()
    for part, colour in colours.items():
        palette.setColor(part, QColor(colour))
    for part in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, part, QColor(look.quiet))
    return palette


def style_sheet(look: Theme) -> str:
    """Return the few rules that a palette cannot say: sizes of targets and the ring of focus."""
    arrow = paths.bundled("resources", "icons", f"choice-{look.name}.svg")
    return f"""
    QPushButton, QToolButton, QLineEdit, QComboBox, QDateEdit, QSpinBox {{
        min-height: {TARGET - 6}px; padding: 3px 8px;
    }}
    QPushButton, QToolButton {{
        border: 1px solid {look.edge}; border-radius: 3px; background: {look.button};
    }}
    QPushButton:hover, QToolButton:hover {{ background: {look.other_row}; }}
    QPushButton:pressed, QPushButton:checked, QToolButton:checked {{
        background: {look.chosen}; color: {look.chosen_text};
    }}
    QLineEdit, QPlainTextEdit, QComboBox {{
        border: 1px solid {look.edge}; border-radius: 2px; background: {look.field};
    }}
    QListView, QTableView {{ border: 1px solid {look.edge}; outline: none; }}
    QComboBox::drop-down {{ border: none; width: {TARGET - 4}px; }}
    QComboBox::down-arrow {{ image: url("{arrow.as_posix()}"); width: 12px; height: 12px; }}
    QPushButton:focus, QToolButton:focus, QLineEdit:focus, QPlainTextEdit:focus,
    QComboBox:focus, QAbstractItemView:focus {{
        border: 2px solid {look.link};
    }}
    *[loud="true"] {{ font-weight: bold; }}
    *[rank="large"] {{ font-size: {round(look.letters * LARGE)}px; }}
    QCheckBox, QRadioButton {{ min-height: {TARGET}px; spacing: 8px; }}
    QAbstractItemView::item {{ min-height: {TARGET - 4}px; padding: 1px 4px; }}
    """


@cache
def _bundle_fonts() -> tuple[str, ...]:
    """Make the bundled fonts known, so that windows look the same everywhere."""
    families: list[str] = []
    for name in FONT_FILES:
        known = QFontDatabase.addApplicationFont(str(paths.bundled("resources", "fonts", name)))
        families += QFontDatabase.applicationFontFamilies(known)
    return tuple(families)


def system_theme() -> Theme:
    """Return the theme that fits what the system is set to."""
    dark = QGuiApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark
    return BASEMENT if dark else DESK


def chosen_name() -> str:
    """Return the theme that the person chose, or :data:`AS_THE_SYSTEM`, which is also the first."""
    chosen = str(QSettings().value("look", ""))
    return chosen if chosen in LOOKS else AS_THE_SYSTEM


def choose(name: str) -> None:
    """Remember a theme by its name, or :data:`AS_THE_SYSTEM`."""
    QSettings().setValue("look", name)


def chosen_theme() -> Theme:
    """Return the theme to wear now: the one that was chosen, else the one of the system."""
    return LOOKS.get(chosen_name()) or system_theme()


def wear(application: QApplication, look: Theme) -> None:
    """Put a theme on the whole program."""
    _bundle_fonts()
    application.setStyle(QStyleFactory.create("Fusion"))
    application.setPalette(palette_of(look))
    font = QFont(FAMILY)
    font.setPixelSize(look.letters)
    application.setFont(font)
    application.setStyleSheet(style_sheet(look))
