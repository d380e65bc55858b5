"""On which line everything in a TOML text begins; tomlkit writes the texts, tomllib reads them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from desk.base import paths
from desk.trade.content.toml_positions import Place, lines_of

TEXT = '''\
# a comment
[check.a] # with a comment
title = { en = "One # no comment", fr = 'Un' }
"odd key".dotted = 1
how = ["x", # ]
  "y",
  { z = [1,
2] },
]
why = """
[check.none]
title = 1 ""\\" """
[[way]]
next = 1979-05-27T07:32:00Z
[[way]]
[way.deep]
end = true
'''


def everything_in(value: object, place: Place = ()) -> Iterator[Place]:
    yield place
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from everything_in(inner, (*place, key))
    elif isinstance(value, list):
        for at, inner in enumerate(value):
            yield from everything_in(inner, (*place, at))


@pytest.mark.parametrize(
    ("place", "line"),
    [
        (("check", "a"), 2),
        (("check", "a", "title", "fr"), 3),
        (("check", "a", "odd key", "dotted"), 4),
        (("check", "a", "how"), 5),
        (("check", "a", "how", 1), 6),
        (("check", "a", "how", 2, "z", 1), 8),
        (("check", "a", "why"), 10),
        (("way", 0), 13),
        (("way", 1), 15),
        (("way", 1, "deep", "end"), 17),
    ],
)
def test_each_thing_begins_on_its_line(place: Place, line: int) -> None:
    assert lines_of(TEXT)[place] == line


def test_what_stands_in_a_text_of_several_lines_is_no_table() -> None:
    assert set(lines_of(TEXT)) == set(everything_in(tomllib.loads(TEXT)))


@pytest.mark.parametrize("file", sorted(paths.bundled("shared").rglob("*.toml")), ids=str)
def test_everything_in_the_content_has_its_line(file: Path) -> None:
    text = file.read_text("utf-8")
    assert set(lines_of(text)) == set(everything_in(tomllib.loads(text)))


words = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=8)
values = st.recursive(
    st.booleans() | st.integers(-9, 9) | words,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(words, inner, max_size=3),
    max_leaves=12,
)


@given(st.dictionaries(words, values, max_size=4))
def test_any_text_is_followed_to_its_end(held: dict[str, object]) -> None:
    text = tomlkit.dumps(held)
    read = tomllib.loads(text)
    lines = lines_of(text)
    assert set(lines) == set(everything_in(read))
    assert all(1 <= line <= text.count("\n") + 1 for line in lines.values())
