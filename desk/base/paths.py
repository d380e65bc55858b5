"""Where things are: what travels with the program, and what belongs to the person using it."""

from __future__ import annotations

import importlib.util
import sys
from functools import cache
from pathlib import Path

import platformdirs

_PACKAGE = Path(__file__).parents[1]


def bundled(*parts: str) -> Path:
    """Return a file or folder that travels with the program.

    In an installed wheel these lie under ``desk/_bundled``; in a checkout they are the
    folders at its top.
    """
    inside = _PACKAGE / "_bundled"
    return (inside if inside.is_dir() else _PACKAGE.parent).joinpath(*parts)


@cache
def offer_sample() -> None:
    """Make the package ``sample_db`` importable.

    In a wheel it lies under ``desk/_bundled``, so that ``desk`` is the only name that the program
    adds to an environment; in a checkout it is found by itself.

    Raises:
        ImportError: it lies in neither place.
    """
    if importlib.util.find_spec("sample_db") is None:
        _offer("sample_db", bundled("sample_db"))


@cache
def offer_migrations() -> None:
    """Make what the migrations stand on importable, as the package ``drawoff_migrations``."""
    _offer("drawoff_migrations", bundled("migrations"))


def _offer(name: str, folder: Path) -> None:
    spec = importlib.util.spec_from_file_location(
        name, folder / "__init__.py", submodule_search_locations=[str(folder)]
    )
    if spec is None or spec.loader is None:
        raise ImportError(f"{name} is missing from this installation")
    package = importlib.util.module_from_spec(spec)
    sys.modules[name] = package
    spec.loader.exec_module(package)


@cache
def own_folder() -> Path:
    """Return the folder of the person's own data; it is made when something is first kept."""
    return Path(platformdirs.user_data_dir("drawoff", appauthor=False))


def own_office() -> Path:
    """Return where the office lives unless another is named."""
    return own_folder() / "office.drawoff"
