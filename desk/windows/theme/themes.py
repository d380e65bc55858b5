"""Puts a look on the whole program: its colours, its letters, and how large they are.

Light or dark and the size of text are two choices; each goes with the system until somebody says
otherwise. Text stands at 4.5:1 or better against what it is written on (WCAG 2.2, 1.4.3), what
shows a control and what shows where the keys are at 3:1 (1.4.11); tests compute both.
"""

from __future__ import annotations

import sys
from functools import cache

from PySide6.QtCore import QSettings, Qt
from PySide6.QtGui import QColor, QFont, QFontDatabase, QFontInfo, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QStyleFactory

from desk.base import paths
from desk.windows.theme import tokens
from desk.windows.theme.tokens import BASEMENT, DAY, LOOKS, TEXT_SIZES, Theme

FONT_FILES = (
    *("Inter-Regular.otf", "Inter-SemiBold.otf", "Inter-Italic.otf"),
    *("NotoSans-Regular.ttf", "NotoSans-Bold.ttf", "DejaVuSans.ttf"),
)
FAMILIES = ("Inter", "Noto Sans", "DejaVu Sans")
"""Signs that the first lacks are taken from those behind it."""
_FEATURES = ("tnum", "cv05", "cv08")
"""Figures of one width stand under one another; no l is an I in the number of an appliance."""
AS_THE_SYSTEM = "system"
"""The choice to go with the system."""
_CUSTOMARY_POINTS = {"darwin": 13.0, "win32": 9.0}.get(sys.platform, 11.0)
"""How large a system writes where nobody asked for larger letters."""
_KEPT_BEFORE = {"desk": DAY.name}
"""What choices of earlier versions are called now."""


def palette_of(look: Theme) -> QPalette:
    """Return a theme as Qt's palette."""
    role = QPalette.ColorRole
    colours = {
        role.Window: look.ground,
        role.WindowText: look.text,
        role.Base: look.surface,
        role.AlternateBase: look.ground,
        role.Text: look.text,
        role.Button: look.surface,
        role.ButtonText: look.text,
        role.BrightText: look.on_danger,
        role.ToolTipBase: look.surface,
        role.ToolTipText: look.text,
        role.Highlight: look.act,
        role.HighlightedText: look.on_act,
        role.Accent: look.act,
        role.Link: look.act,
        role.LinkVisited: look.quiet,
        role.PlaceholderText: look.quiet,
        role.Light: look.surface,
        role.Midlight: look.line,
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


def style_sheet(look: Theme, percent: int = 100) -> str:
    """Return what a palette cannot say: targets, edges, the ring of focus, the one act.

    Args:
        look: the colours.
        percent: how large letters are.
    """
    arrow = paths.bundled("resources", "icons", f"choice-{look.name}.svg")
    inside = tokens.TARGET - 2 * (tokens.HAIRLINE + 3)
    slimmer = 3 + tokens.HAIRLINE - tokens.RING
    sideways = 8 + tokens.HAIRLINE - tokens.RING
    return f"""
    QPushButton, QToolButton, QLineEdit, QComboBox, QDateEdit, QSpinBox {{
        min-height: {inside}px; padding: 3px 8px;
        border: {tokens.HAIRLINE}px solid {look.edge}; border-radius: {tokens.CONTROL_RADIUS}px;
        background: {look.surface};
    }}
    QPlainTextEdit {{
        border: {tokens.HAIRLINE}px solid {look.edge}; border-radius: {tokens.CONTROL_RADIUS}px;
        background: {look.surface};
    }}
    QPushButton:hover, QToolButton:hover {{ background: {look.sunken}; }}
    QPushButton:pressed, QPushButton:checked, QToolButton:checked {{
        background: {look.act_soft}; border-color: {look.act};
    }}
    QPushButton:disabled, QToolButton:disabled {{
        background: {look.ground}; border-color: {look.line};
    }}
    QPushButton[act="true"]:enabled {{
        background: {look.act}; border-color: {look.act}; color: {look.on_act};
    }}
    QPushButton[act="true"]:pressed {{ background: {look.text}; border-color: {look.text}; }}
    QListView, QTableView {{ border: {tokens.HAIRLINE}px solid {look.edge}; outline: none; }}
    QComboBox::drop-down {{ border: none; width: {tokens.TARGET - 4}px; }}
    QComboBox::down-arrow {{ image: url("{arrow.as_posix()}"); width: 12px; height: 12px; }}
    QPushButton:focus, QToolButton:focus, QLineEdit:focus, QComboBox:focus, QDateEdit:focus,
    QSpinBox:focus {{
        border: {tokens.RING}px solid {look.text}; padding: {slimmer}px {sideways}px;
    }}
    QPlainTextEdit:focus, QAbstractItemView:focus {{
        border: {tokens.RING}px solid {look.text};
    }}
    QPushButton[act="true"]:enabled:focus {{ background: {look.surface}; color: {look.act}; }}
    WideButton[act="true"]:enabled:focus {{
        border: {tokens.HAIRLINE}px solid {look.act}; padding: 3px 8px;
        background: {look.act}; color: {look.on_act};
    }}
    QPushButton[danger="true"] {{ border-color: {look.danger}; color: {look.danger}; }}
    QPushButton[danger="true"]:checked {{ background: {look.danger}; color: {look.on_danger}; }}
    QPushButton[quiet="true"] {{ background: transparent; border-color: transparent; }}
    QPushButton[rail="true"] {{
        background: transparent; border-radius: 0; border-style: solid;
        border-width: 0 0 3px 0; border-color: {look.line};
    }}
    QPushButton[rail="true"][far="done"] {{ border-color: {look.done}; }}
    QPushButton::menu-indicator {{ image: none; width: 0; }}
    #danger_here {{
        background: {look.danger_soft}; border: none; border-left: 1px solid {look.danger};
        border-radius: 0; padding: 3px 8px;
    }}
    #danger_here:focus {{ border: {tokens.RING}px solid {look.text}; }}
    QPushButton[rail="true"]:checked {{
        background: {look.act_soft}; border-width: 0 0 5px 0; border-color: {look.act};
    }}
    QPushButton[rail="true"]:focus {{ border: {tokens.RING}px solid {look.text}; }}
    QFrame[card="true"] {{
        background: {look.surface}; border: {tokens.HAIRLINE}px solid {look.line};
        border-radius: {tokens.CARD_RADIUS}px;
    }}
    QFrame[means="caution"] {{
        background: {look.caution_soft}; border: none; border-radius: {tokens.CONTROL_RADIUS}px;
    }}
    QLabel[means="quiet"] {{ color: {look.quiet}; }}
    #top_band {{ background: {look.surface}; border-bottom: 1px solid {look.line}; }}
    #causes_panel QListView {{ border: none; }}
    #dock_band {{ background: {look.surface}; border-top: 1px solid {look.line}; }}
    QLabel[means="danger"] {{
        background: {look.danger_soft}; border-left: 4px solid {look.danger}; padding: 8px 12px;
    }}
    QLabel[means="caution"] {{
        background: {look.caution_soft}; border-left: 4px solid {look.caution}; padding: 8px 12px;
    }}
    #leave_page {{ background: {tokens.STOP}; }}
    #leave_page QLabel {{ color: {tokens.ON_STOP}; }}
    #leave_page QPushButton {{
        background: {tokens.ON_STOP}; border-color: {tokens.ON_STOP}; color: {tokens.STOP};
    }}
    #leave_page #pressed_by_mistake {{ background: {tokens.STOP}; color: {tokens.ON_STOP}; }}
    #leave_page QPushButton:focus {{ border-color: {tokens.ON_STOP}; }}
    *[loud="true"] {{ font-weight: 600; }}
    *[rank="caption"] {{ font-size: {scaled(tokens.CAPTION, percent)}px; }}
    *[rank="large"] {{ font-size: {scaled(tokens.STRONG, percent)}px; }}
    *[rank="head"] {{ font-size: {scaled(tokens.TITLE, percent)}px; font-weight: 600; }}
    QCheckBox, QRadioButton {{ min-height: {tokens.TARGET}px; spacing: 8px; }}
    QAbstractItemView::item {{ min-height: {tokens.TARGET - 8}px; padding: 1px 4px; }}
    """


def scaled(pixels: int, percent: int) -> int:
    """Return a height of letters at a size of text, in device-independent pixels."""
    return round(pixels * percent / 100)


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
    return BASEMENT if dark else DAY


def nearest_text_size(points: float) -> int:
    """Return the size of text, in per cent, that is nearest to letters of a system's own.

    Args:
        points: how high the system writes.
    """
    return min(TEXT_SIZES, key=lambda percent: abs(percent - 100 * points / _CUSTOMARY_POINTS))


@cache
def _system_points() -> float:
    """Ask for the system's letters before the first theme is worn, which has letters of its own."""
    return QFontInfo(QGuiApplication.font()).pointSizeF()


def chosen_name() -> str:
    """Return the theme that the person chose, or :data:`AS_THE_SYSTEM`, which is also the first."""
    kept = str(QSettings().value("look", ""))
    chosen = _KEPT_BEFORE.get(kept, kept)
    return chosen if chosen in LOOKS else AS_THE_SYSTEM


def choose(name: str) -> None:
    """Remember a theme by its name, or :data:`AS_THE_SYSTEM`."""
    QSettings().setValue("look", name)


def chosen_theme() -> Theme:
    """Return the theme to wear now: the one that was chosen, else the one of the system."""
    return LOOKS.get(chosen_name()) or system_theme()


def chosen_text_size() -> int | None:
    """Return the size of text that the person chose, in per cent; None where the system's holds."""
    kept = str(QSettings().value("text_size", ""))
    return int(kept) if kept.isdigit() and int(kept) in TEXT_SIZES else None


def choose_text_size(percent: int | None) -> None:
    """Remember a size of text in per cent; None to go with the system."""
    QSettings().setValue("text_size", AS_THE_SYSTEM if percent is None else str(percent))


def text_size() -> int:
    """Return how large text is to be now, in per cent."""
    return chosen_text_size() or nearest_text_size(_system_points())


def wear(application: QApplication, look: Theme, percent: int | None = None) -> None:
    """Put a look on the whole program.

    Args:
        application: the program.
        look: the colours.
        percent: how large text is; as it was chosen, or as the system's, unless given.
    """
    percent = percent or text_size()
    _bundle_fonts()
    application.setStyle(QStyleFactory.create("Fusion"))
    application.setPalette(palette_of(look))
    font = QFont([*FAMILIES])
    font.setPixelSize(scaled(tokens.BODY, percent))
    for feature in _FEATURES:
        font.setFeature(QFont.Tag(feature), 1)
    application.setFont(font)
    application.setStyleSheet(style_sheet(look, percent))
