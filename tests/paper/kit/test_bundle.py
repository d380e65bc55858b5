"""Several documents as one: every page, an outline over their own, and the same bytes each time."""

from __future__ import annotations

import functools

from desk.paper.kit.bundle import Joined
from desk.paper.report.service_report import service_report
from tests.paper.reading_back import made_alike, metadata_of, opened, outline_of, pages_of
from tests.paper.snapshots import bare_report, full_report


@functools.cache
def documents() -> tuple[bytes, bytes]:
    return service_report(full_report("us", "letter")), service_report(bare_report())


def joined() -> bytes:
    joining = Joined()
    for number, pdf in enumerate(documents(), 1):
        joining.add(pdf, f"Report {number}")
    return joining.pdf("Reports of a day", "Fernhollow Heating")


def test_every_page_is_there_with_its_text() -> None:
    assert pages_of(joined()) == [page for pdf in documents() for page in pages_of(pdf)]


def test_each_document_has_a_line_of_the_outline_over_its_own() -> None:
    tops = [title for level, title in outline_of(joined()) if level == 0]
    assert tops == ["Report 1", "Report 2"]
    beneath = [title for level, title in outline_of(joined()) if level == 1]
    assert beneath == [
        title for pdf in documents() for level, title in outline_of(pdf) if level == 0
    ]


def test_the_same_documents_give_the_same_bytes_and_carry_their_fonts() -> None:
    assert made_alike(joined).startswith(b"%PDF-")


def test_it_says_what_it_is() -> None:
    said = metadata_of(joined())
    assert (said["Title"], said["Author"]) == ("Reports of a day", "Fernhollow Heating")


def test_what_documents_share_is_kept_once() -> None:
    joining = Joined()
    for number in range(20):
        joining.add(documents()[0], f"Report {number}")
    pdf = joining.pdf("Reports", "Shop")
    with opened(pdf) as document:
        assert len(document) == 20 * len(pages_of(documents()[0]))
    assert len(pdf) < 20 * len(documents()[0]) / 4
