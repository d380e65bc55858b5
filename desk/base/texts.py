"""One mechanism for every text that a person reads: windows, paper and command line.

The English text is the id of its translation. Code below the windows hands out
:class:`Message` values, which carry the id and its parameters, so that the same result can be
said in another language later; :func:`say` turns one into text.
"""

from __future__ import annotations

import gettext
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

from desk.base import paths

DOMAIN = "drawoff"


@dataclass(frozen=True, slots=True)
class Message:
    """A text for a person: its English id and what fills the ``{named}`` places."""

    id: str
    values: Mapping[str, object] = field(default_factory=dict)

    def __str__(self) -> str:
        return say(self)


def message(text: str, /, **values: object) -> Message:
    """Mark ``text`` for translation and keep it, with its parameters, until it is said."""
    return Message(text, values)


@cache
def _catalogue(language: str) -> gettext.NullTranslations:
    return gettext.translation(
        DOMAIN,
        localedir=paths.bundled("resources", "translations"),
        languages=[language],
        fallback=True,
    )


class _Current:
    """The language in use; one a process, English until there is another to choose."""

    language = "en"


def language() -> str:
    """Return the language in use, as a gettext code."""
    return _Current.language


def say(text: Message | str) -> str:
    """Return the text in the language in use; messages inside a message are said first."""
    if isinstance(text, str):
        return _catalogue(_Current.language).gettext(text)
    template = _catalogue(_Current.language).gettext(text.id)
    if not text.values:
        return template
    return template.format_map(
        {
            key: say(value) if isinstance(value, Message) else value
            for key, value in text.values.items()
        }
    )


def fixed(text: Message) -> Message:
    """Fix a message in the words of the language in use, whatever is chosen later."""
    return Message(say(text))


def _(text: str, /, **values: object) -> str:
    """Say ``text`` at once, with its ``{named}`` places filled."""
    return say(Message(text, values))


def plural(one: str, many: str, count: int, /, **values: object) -> str:
    """Say the form of a text that fits ``count``, which also fills the place ``{count}``.

    Args:
        one: the text for one, in English; the id of the translation.
        many: the text for any other number, in English.
        count: how many there are.
        **values: what fills the other places in the text.
    """
    template = _catalogue(_Current.language).ngettext(one, many, count)
    return template.format_map({"count": count, **values})
