"""The drawings: every mark has its meaning, every name its file, and a check names only those."""

from __future__ import annotations

import dataclasses
import re
from xml.etree import ElementTree

import pytest

from desk.base import paths
from desk.base.texts import say
from desk.trade.content import rules
from desk.trade.content.findings import Places
from desk.trade.content.loader import load_content
from desk.trade.content.model import Check
from desk.trade.reference.drawing_index import DRAWINGS, GROUND, INK, SHAPE, WATER, drawn

SVG = "{http://www.w3.org/2000/svg}"


def checks() -> list[Check]:
    return [
        check for listed in load_content().checklists.values() for check in listed.checks.values()
    ]


def test_every_file_has_its_words_and_every_name_its_file() -> None:
    files = {file.stem for file in paths.bundled("resources", "drawings").glob("*.svg")}
    assert files == set(DRAWINGS)


def test_every_drawing_is_shown_by_a_check() -> None:
    assert {check.drawing for check in checks()} - {""} == set(DRAWINGS)


@pytest.mark.parametrize("name", DRAWINGS)
def test_the_marks_of_a_drawing_are_those_of_its_legend(name: str) -> None:
    root = ElementTree.fromstring(drawn(name))  # noqa: S314 - a file of our own
    assert sorted(text.text or "" for text in root.iter(f"{SVG}text")) == sorted(
        DRAWINGS[name].legend
    )


@pytest.mark.parametrize("name", DRAWINGS)
def test_a_drawing_has_three_colours_and_the_one_shape(name: str) -> None:
    svg = drawn(name)
    root = ElementTree.fromstring(svg)  # noqa: S314 - a file of our own
    left, top, width, height = map(float, root.attrib["viewBox"].split())
    assert (left, top, width / height) == (0, 0, pytest.approx(SHAPE))
    assert set(re.findall(r"#[0-9a-fA-F]+", svg)) <= {INK, GROUND, WATER}


def test_in_words_a_drawing_says_its_caption_and_every_mark() -> None:
    drawing = DRAWINGS["reed_switch"]
    said = drawing.in_words()
    assert said.startswith(say(drawing.caption))
    assert all(say(meaning) in said for meaning in drawing.legend.values())


def test_a_drawing_that_is_not_there_is_found_with_its_mend() -> None:
    content = load_content()
    listed = content.checklists["hot-water"]
    broken = dataclasses.replace(listed.checks["draw_one"], drawing="no_such")
    content = dataclasses.replace(
        content,
        checklists=content.checklists
        | {listed.id: dataclasses.replace(listed, checks=listed.checks | {broken.id: broken})},
    )
    (found,) = rules.findings(content, Places())
    assert "names the drawing no_such, which is not there" in say(found.sentence)
