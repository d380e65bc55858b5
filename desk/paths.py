"""Where things are: what travels with the program, and what belongs to the person using it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import platformdirs

_PACKAGE = Path(__file__).parent


def bundled(*parts: str) -> Path:
    """Return a file or folder that travels with the program.

    In an installed wheel these lie under ``desk/_bundled``; in a checkout they are the
    folders at its top.
    """
    inside = _PACKAGE / "_bundled"
    return (inside if inside.is_dir() else _PACKAGE.parent).joinpath(*parts)


@cache
def own_folder() -> Path:
    """Return the folder of the person's own data; it is made when something is first kept."""
    return Path(platformdirs.user_data_dir("drawoff", appauthor=False))


def own_office() -> Path:
    """Return where the office lives unless another is named."""
    return own_folder() / "office.drawoff"
