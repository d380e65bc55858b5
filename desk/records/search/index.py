"""Asking the indexes over the searched words: FTS5 on SQLite, words and trigrams on PostgreSQL."""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Sequence
from enum import Enum
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from desk.records.database.column_types import Key
from desk.records.search.edit_distance import is_slip_of
from desk.records.search.indexed_words import SEARCH_TEXT, SPAN

CANDIDATES = 200
"""At most so many rows are looked at for each way of finding; more would cost a keystroke."""
SURE = 40
"""So many are enough where every row that the index gives is a hit; a person may have several."""
TRIGRAM = 3
_SHORTEST_SLIP = 4


class MatchWay(Enum):
    """How a word that was typed stands in a row's words, best first."""

    WHOLE = "whole"
    BEGINS = "begins"
    INSIDE = "inside"


def match_string(words: Sequence[str], way: MatchWay) -> str:
    """Return FTS5's query for words that all have to be there; "" where it cannot ask.

    Each word is quoted, so that nothing typed is read as FTS5's own language.
    """
    if way is MatchWay.INSIDE:
        words = [word for word in words if len(word) >= TRIGRAM]
    star = "*" if way is MatchWay.BEGINS else ""
    return " AND ".join('"' + word.replace('"', '""') + '"' + star for word in words)


_IN_WORDS = sa.text(
    "SELECT opens_id, folded FROM search_text WHERE id IN (SELECT rowid FROM search_word "
    "WHERE search_word MATCH :match AND rowid BETWEEN :first AND :last "
    "ORDER BY rowid DESC LIMIT :most) ORDER BY id DESC"
).columns(opens_id=Key(), folded=sa.Text())
_IN_PARTS = sa.text(
    "SELECT opens_id, folded FROM search_text WHERE id IN (SELECT rowid FROM search_part "
    "WHERE search_part MATCH :match AND rowid BETWEEN :first AND :last "
    "ORDER BY rowid DESC LIMIT :most) ORDER BY id DESC"
).columns(opens_id=Key(), folded=sa.Text())


def hits(session: Session, group: int, words: Sequence[str], way: MatchWay) -> Iterator[uuid.UUID]:
    """Return what the newest rows of a group open that hold all the words in this way.

    Args:
        session: looking.
        group: one of the groups of :mod:`desk.records.search.indexed_words`.
        words: folded.
        way: how each word has to stand there.
    """
    most = CANDIDATES if way is MatchWay.INSIDE else SURE
    for row in _rows(session, group, words, way, most):
        if all(word in row.folded for word in words) or way is not MatchWay.INSIDE:
            yield row.opens_id


def _rows(
    session: Session, group: int, words: Sequence[str], way: MatchWay, most: int
) -> Sequence[sa.Row[Any, Any]]:
    first, last = group * SPAN, (group + 1) * SPAN - 1
    if session.get_bind().dialect.name == "postgresql":
        return _rows_on_server(session, group, words, way, most)
    match = match_string(words, way)
    if not match:
        return ()
    asked = {"match": match, "first": first, "last": last, "most": most}
    return session.execute(_IN_PARTS if way is MatchWay.INSIDE else _IN_WORDS, asked).all()


_LONGEST_WORD = 100
"""So many letters of a word are in PostgreSQL's index (migration 0008)."""
_NEWEST_WITH_WORDS = sa.text(
    "SELECT opens_id, folded FROM search_text WHERE id BETWEEN :first AND :last "
    "AND search_words(id, folded) @@ CAST(:wanted AS tsquery) ORDER BY id DESC LIMIT :most"
).columns(opens_id=Key(), folded=sa.Text())


def _rows_on_server(
    session: Session, group: int, words: Sequence[str], way: MatchWay, most: int
) -> Sequence[sa.Row[Any, Any]]:
    first, last = group * SPAN, (group + 1) * SPAN - 1
    if way is not MatchWay.INSIDE:
        wanted = words_query(group, words, way)
        asked = {"first": first, "last": last, "wanted": wanted, "most": most}
        return session.execute(_NEWEST_WITH_WORDS, asked).all()
    parts = [word for word in words if len(word) >= TRIGRAM]
    if not parts:
        return ()
    folded = SEARCH_TEXT.c.folded
    return session.execute(
        sa.select(SEARCH_TEXT.c.opens_id, folded)
        .where(SEARCH_TEXT.c.id.between(first, last))
        .where(*(folded.contains(part, autoescape=True) for part in parts))
        .order_by(SEARCH_TEXT.c.id.desc())
        .limit(most)
    ).all()


def words_query(group: int, words: Sequence[str], way: MatchWay) -> str:
    """Return PostgreSQL's query for words of a group that all have to be there.

    Each word is quoted, so that nothing typed is read as the query's own language.

    Args:
        group: one of the groups of :mod:`desk.records.search.indexed_words`.
        words: folded; of each the first hundred letters are asked for.
        way: words that begin so, or whole ones.
    """
    star = ":*" if way is MatchWay.BEGINS else ""
    quoted = (word[:_LONGEST_WORD].replace("\\", "\\\\").replace("'", "''") for word in words)
    return " & ".join(f"'{group}:{word}'{star}" for word in quoted)


def near_hits(session: Session, group: int, words: Sequence[str]) -> Iterator[uuid.UUID]:
    """Return what the newest rows open that hold the words but for a slip in each.

    A slip leaves one end of a word as it was, so both ends are looked for.

    Args:
        session: reading.
        group: one of the groups of :mod:`desk.records.search.indexed_words`.
        words: folded, at least one; too short a longest one finds nothing.
    """
    longest = max(words, key=len)
    if len(longest) < _SHORTEST_SLIP:
        return
    half = len(longest) // 2
    begin, end = longest[: max(half - 1, 1)], longest[half + 1 :]
    for part, way in ((begin, MatchWay.BEGINS), (end, MatchWay.INSIDE)):
        for row in _rows(session, group, (part,), way, CANDIDATES):
            there = row.folded.split()
            if all(any(is_slip_of(word, other) for other in there) for word in words):
                yield row.opens_id
