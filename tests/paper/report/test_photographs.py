"""Photographs on the service report: beside each other, with their captions, over pages."""

from __future__ import annotations

import tracemalloc
from collections.abc import Mapping
from dataclasses import replace

import pytest
from pypdfium2 import raw

from desk.base.pictures import photograph_of, sha256_of
from desk.paper.report.service_report import service_report
from desk.records.views.report import PhotographLine, VisitReport
from tests.every_day import every_day
from tests.paper.reading_back import bare, opened, text_of
from tests.paper.snapshots import at, full_report
from tests.photographs import photograph_file

type Pictures = Mapping[str, bytes]


def with_photographs(
    count: int, caption: str = "The screen as it was found"
) -> tuple[VisitReport, Pictures]:
    """Return a usual visit with so many photographs, upright and across, and their bytes."""
    sizes = ((800, 600), (600, 800))
    kept = [photograph_of(photograph_file(n, sizes[n % 2])).content for n in range(count)]
    lines = tuple(
        PhotographLine(sha256_of(one), "photograph", "", f"Check {n}", caption, at(14, n))
        for n, one in enumerate(kept)
    )
    return replace(full_report(), photographs=lines), {sha256_of(one): one for one in kept}


def pictures_on(pdf: bytes) -> list[int]:
    """Return how many pictures stand on each page."""
    with opened(pdf) as document:
        return [
            sum(1 for _ in page.get_objects(filter=[raw.FPDF_PAGEOBJ_IMAGE])) for page in document
        ]


@pytest.mark.parametrize("count", every_day([1, 2, 3, 40], [3]))
@pytest.mark.parametrize("paper", every_day(["letter", "a4"], ["a4"]))
def test_every_photograph_is_printed_with_its_caption(count: int, paper: str) -> None:
    report, pictures = with_photographs(count)
    bare_report = sum(pictures_on(service_report(replace(report, photographs=()), paper=paper)))
    pdf = service_report(report, pictures=pictures, paper=paper)
    assert sum(pictures_on(pdf)) == bare_report + count
    assert max(pictures_on(pdf)) <= 8, "a page holds what can be looked at"
    text = text_of(pdf)
    for place in range(1, count + 1):
        assert bare(f"Photograph {place} · Check {place - 1} · The screen as it was found") in text


def test_without_photographs_there_is_no_heading_for_them() -> None:
    assert bare("Photographs") not in text_of(service_report(full_report()))


def test_the_same_visit_prints_the_same_bytes() -> None:
    report, pictures = with_photographs(3)
    assert service_report(report, pictures=pictures) == service_report(report, pictures=pictures)


def test_a_picture_that_is_not_at_hand_is_said_to_be_missing() -> None:
    report, _pictures = with_photographs(1)
    assert bare("This picture is not at hand.") in text_of(service_report(report))


def test_a_caption_is_text_whatever_it_holds() -> None:
    report, pictures = with_photographs(1, caption="<b>hot</b> & <img src=x> {0}")
    assert bare("<b>hot</b> & <img src=x> {0}") in text_of(
        service_report(report, pictures=pictures)
    )


def test_a_picture_that_is_not_the_one_that_was_kept_is_not_printed() -> None:
    report, pictures = with_photographs(1)
    (sha256, content), = pictures.items()  # fmt: skip
    pdf = service_report(report, pictures={sha256: content[:-1] + b"\x00"})
    assert sum(pictures_on(pdf)) == sum(pictures_on(service_report(report)))
    assert bare("This picture is not the one that was kept.") in text_of(pdf)


def test_a_picture_goes_onto_the_page_byte_for_byte_and_once() -> None:
    report, pictures = with_photographs(1)
    twice = replace(report, photographs=report.photographs * 2)
    (content,) = pictures.values()
    pdf = service_report(twice, pictures=pictures)
    assert pdf.count(content) == 1
    assert sum(pictures_on(pdf)) == sum(pictures_on(service_report(report))) + 2


def test_forty_photographs_are_printed_without_being_unfolded() -> None:
    """Forty of two million pixels would take 240 MB; they are printed in less than 40."""
    kept = photograph_of(photograph_file(1, (1600, 1200))).content
    files = [kept + bytes([place]) for place in range(40)]
    lines = tuple(
        PhotographLine(sha256_of(one), "photograph", "", "", "", at(14, 0)) for one in files
    )
    report = replace(full_report(), photographs=lines)
    service_report(full_report())
    tracemalloc.start()
    pdf = service_report(report, pictures={sha256_of(one): one for one in files})
    _now, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert len(pdf) > sum(map(len, files))
    assert most < 40_000_000 + 4 * sum(map(len, files))
