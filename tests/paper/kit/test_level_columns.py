"""Two columns that end level: in reading order, over pages, with nothing lost."""

from __future__ import annotations

import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Indenter, SimpleDocTemplate, Spacer

from desk.paper.kit.level_columns import LevelColumns
from desk.paper.kit.page import FINEST
from desk.paper.kit.text import escape, paragraph
from tests.paper.reading_back import pages_of

STYLE = ParagraphStyle("entry", parent=FINEST, spaceAfter=1.2)


def columns(words: list[int]) -> LevelColumns:
    entries = [f"n{number} " + "word " * count for number, count in enumerate(words)]
    return LevelColumns([paragraph(escape(one), STYLE) for one in entries], 24)


def printed(words: list[int], *, above: float = 0) -> str:
    target = io.BytesIO()
    SimpleDocTemplate(target, pagesize=(400, 300), invariant=1).build(
        [Spacer(0, above), Indenter(left=60), columns(words), Indenter(left=-60)]
    )
    return " ".join(" ".join(pages_of(target.getvalue())).split())


@settings(deadline=None)
@given(st.lists(st.integers(0, 400), min_size=1, max_size=25), st.floats(0, 140))
def test_every_entry_is_printed_whole_and_in_order(words: list[int], above: float) -> None:
    said = printed(words, above=above)

    expected = " ".join(
        f"n{number} " + " ".join(["word"] * count) for number, count in enumerate(words)
    )
    assert said.split() == expected.split()


@given(st.lists(st.integers(0, 60), min_size=2, max_size=25))
def test_the_columns_end_as_level_as_the_entries_allow(words: list[int]) -> None:
    """No other place to divide them makes the taller one shorter than an entry less."""
    laid = columns(words)
    height = laid.wrap(400, 10_000)[1]

    whole = sum(laid._heights)
    assert height >= whole / 2 - 1e-6
    assert height <= whole / 2 + max(laid._heights)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_a_few_entries_take_no_more_than_one_line_each(count: int) -> None:
    assert columns([1] * count).wrap(400, 1000)[1] <= 12 * count
