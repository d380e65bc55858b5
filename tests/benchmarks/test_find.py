"""What a keystroke in the box on top costs, beside the same SQL through the bare driver."""

from __future__ import annotations

import random
import statistics
import time
import uuid
from collections.abc import Callable
from datetime import date
from itertools import product
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from sqlalchemy.orm import Session

from desk.base.text_folding import fold
from desk.records.database.engine import file_uri, make_engine, sqlite_driver
from desk.records.database.options import WRITES
from desk.records.office.office import Office
from desk.records.search.index import CANDIDATES, SURE, MatchWay, hits, match_string
from desk.records.search.indexed_words import PEOPLE, SEARCH_TEXT, SPAN, VISITS
from desk.records.search.search import search
from desk.windows.counter.finder import Finder
from desk.windows.work.work_queue import InlineQueue
from sample_db.build import build

VISITS_BUILT = 3_000
SEARCHABLE = 300_000
WORDS = ("leakages", "thompson", "harbour ", "kestrel ", "no water", "12555014", "weirside")
KEYSTROKE_MS = 50.0
RATIO = 2.0
_BARE = """
    SELECT opens_id, folded FROM search_text WHERE id IN (
        SELECT rowid FROM {index} WHERE {index} MATCH ? AND rowid BETWEEN ? AND ?
        ORDER BY rowid DESC LIMIT ?
    ) ORDER BY id DESC
"""


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A sample office whose searched rows are as many as a large one's, of its own words mixed."""
    path = tmp_path_factory.mktemp("find") / "large.drawoff"
    build(path, visits=VISITS_BUILT, as_of=date(2026, 11, 24))
    engine = make_engine(path)
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        _multiply(connection, random.Random(1))
    engine.dispose()
    return path


def _multiply(connection: sa.Connection, chance: random.Random) -> None:
    """Fill up to the number of searchable rows, group by group in the sample's proportion."""
    there = connection.execute(sa.select(SEARCH_TEXT)).all()
    words = {
        group: [word for row in there if row.id // SPAN == group for word in row.folded.split()]
        for group in range(PEOPLE, VISITS + 1)
    }
    more = [
        {
            "id": row.id + turn * len(there),
            "row_id": uuid.UUID(int=chance.getrandbits(128)),
            "opens_id": row.opens_id,
            "folded": " ".join(chance.choices(words[row.id // SPAN], k=row.folded.count(" ") + 1)),
        }
        for turn in range(1, SEARCHABLE // len(there) + 1)
        for row in there
    ]
    connection.execute(sa.insert(SEARCH_TEXT), more)


def _typed() -> list[str]:
    """Every beginning of the words, of 1 to 8 letters, as they are typed."""
    return sorted({word[:length].strip() for word in WORDS for length in range(1, 9)})


def _p95(times: list[float]) -> float:
    return statistics.quantiles(times, n=20)[-1]


def _milliseconds(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return (time.perf_counter() - start) * 1000


def keystrokes(place: str | Path, qtbot: QtBot) -> list[float]:
    """Type every word three times; return the milliseconds from each key to painted results."""
    with Office.open(place) as office:
        finder = Finder(InlineQueue(office))
        qtbot.addWidget(finder)
        finder.show()

        def press(text: str) -> None:
            finder.box.setText(text)
            finder.box.textEdited.emit(text)
            QApplication.processEvents()
            finder.grab()

        press("a")
        return [_milliseconds(lambda text=text: press(text)) for text in _typed() * 3]


@pytest.mark.bench
def test_a_keystroke_is_painted_in_time(large: Path, qtbot: QtBot) -> None:
    times = keystrokes(large, qtbot)
    print(f"\nkeystroke to painted results: p95 {_p95(times):.1f} ms, most {max(times):.1f} ms")
    assert _p95(times) < KEYSTROKE_MS


def _beside(session: Session, bare: Any, words: list[str]) -> tuple[float, float]:
    """Ask the index in every way for every group: through the program, and bare."""
    ours = floor = 0.0
    for way, group in product(MatchWay, range(PEOPLE, VISITS + 1)):
        if match := match_string(words, way):
            statement = _BARE.format(
                index="search_part" if way is MatchWay.INSIDE else "search_word"
            )
            asked = (
                match,
                group * SPAN,
                (group + 1) * SPAN - 1,
                CANDIDATES if way is MatchWay.INSIDE else SURE,
            )
            floor += _milliseconds(lambda s=statement, a=asked: bare.execute(s, a).fetchall())
            ours += _milliseconds(lambda g=group, w=way: list(hits(session, g, words, w)))
    return ours, floor


@pytest.mark.bench
def test_the_query_stays_near_the_bare_driver(large: Path) -> None:
    bare = sqlite_driver().connect(file_uri(large, "ro"), uri=True)
    ours: list[float] = []
    floor: list[float] = []
    (rows,) = bare.execute("SELECT count(*) FROM search_text").fetchone()
    with Office.open(large) as office, office.read() as session:
        for text in _typed() * 3:
            mine, least = _beside(session, bare, fold(text).split())
            ours.append(mine)
            floor.append(least)
        whole = [_milliseconds(lambda text=text: search(session, text)) for text in _typed()]
    bare.close()
    ratio = statistics.median(mine / least for mine, least in zip(ours, floor, strict=True))
    print(
        f"\n{rows} searchable rows: search p95 {_p95(whole):.1f} ms; "
        f"index p95 {_p95(ours):.1f} ms, bare {_p95(floor):.1f} ms, ratio {ratio:.2f}"
    )
    assert rows >= SEARCHABLE
    assert ratio < RATIO
