"""What a check-up says: findings, each one sentence, and how far it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice

from desk.base.texts import Message, message

MOST_ALIKE = 50
"""So many findings of one part of the check-up are said; a damaged file may have thousands."""

type Tell = Callable[[int, int], None]
"""Told while a part of the check-up runs: how much is looked through, and of how much."""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that is not as it was left.

    Attributes:
        part: what was looked at: file, links, journal, pictures, sealed or stock.
        sentence: what is wrong, for a person.
    """

    part: str
    sentence: Message


def at_most(part: str, sentences: Iterator[Message]) -> Iterator[Finding]:
    """Turn sentences into findings, and say it where there are too many to be said."""
    for sentence in islice(sentences, MOST_ALIKE):
        yield Finding(part, sentence)
    if next(sentences, None) is not None:
        yield Finding(part, message("There is more of this kind."))
