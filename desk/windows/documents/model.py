"""What a document is to the windows: how it is looked up, laid out, named and sent."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from desk.base.progress import Watch

if TYPE_CHECKING:  # the database is imported after the first window is painted
    from desk.paper.kit.email_draft import Letter
    from desk.records.actions import Query

"""Told while pages are laid out: how many of how many are done; it stops them by raising."""


@dataclass(frozen=True, slots=True)
class Document[T]:
    """A document that can be shown.

    Attributes:
        title: its name over the window.
        file_name: the name that saving offers, with its ending.
        look: asks the office for the snapshot that it is printed from.
        pages: lays the snapshot out, away from the window's thread: the PDF.
        letter: says what it is sent with; None for what is not sent to anybody.
    """

    title: str
    file_name: str
    look: Query[T]
    pages: Callable[[T, Watch], bytes]
    letter: Callable[[T], Letter] | None = None


@dataclass(frozen=True, slots=True)
class FinishedDocument:
    """A document whose pages are there already.

    Attributes:
        title: its name over the window.
        file_name: the name that saving offers, with its ending.
        pdf: the pages.
    """

    title: str
    file_name: str
    pdf: bytes
