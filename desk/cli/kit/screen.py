"""Whether there is a screen to open windows on."""

from __future__ import annotations

import os
import sys

_SCREENS = ("DISPLAY", "WAYLAND_DISPLAY")
_TOLD = "QT_QPA_PLATFORM"
"""Tells Qt what to draw on; ``offscreen`` draws where nobody sees it."""


def has_screen() -> bool:
    """Return whether somebody can see a window here."""
    return not sys.platform.startswith("linux") or any(map(os.environ.get, _SCREENS))


def can_open_windows() -> bool:
    """Return whether Qt can open a window: there is a screen, or it was told to do without."""
    return has_screen() or bool(os.environ.get(_TOLD))
