"""Computed measurements on paper: what they come to, what changed, and how it came about."""

from __future__ import annotations

import pytest

from desk.paper.report.service_report import service_report
from desk.records.views.parties import PaperSize, UnitSystem
from tests.paper.reading_back import bare, pages_of, text_of
from tests.paper.snapshots import FINGERPRINT, SEALED_AT, measured_report


def printed(system: UnitSystem = "us", paper: PaperSize = "letter") -> bytes:
    report = measured_report(system, paper)
    return service_report(report, fingerprint=FINGERPRINT, sealed_at=SEALED_AT, paper=paper)


@pytest.fixture(scope="module")
def said() -> str:
    return bare(text_of(printed()))


@pytest.mark.parametrize(
    "text",
    [
        "Before (as found): Flow coefficient Kv 0.420 ± 0.020 m³/h",
        "After (as left): Flow coefficient Kv 0.720 ± 0.020 m³/h",
        "With the water running the pressure here falls by 25 %.",
        "▲ The outlet is no warmer than the inlet.",
        "drain tap <b>loose</b> & dripping",
        "Flow coefficient Kv: △ improved by 0.30 ± 0.03 m³/h",
        "Flow, Bath: ◇ no change that can be seen (difference",
    ],
)
def test_the_customer_reads_what_it_comes_to(said: str, text: str) -> None:
    assert bare(text) in said


@pytest.mark.parametrize(
    "text",
    [
        "Kv = Q / (dp / 1 bar)^0.5",
        "IEC 60534-1: flow coefficient Kv",
        "Kv can be compared where the same gauge point was read.",
        "taken over from the record",
        "Pressure drop",
        "degrees of freedom 7.3",
        "Gauge 12, 31 Mar 2027",
    ],
)
def test_the_appendix_tells_how(said: str, text: str) -> None:
    assert bare(text) in said


def test_what_has_no_result_yet_is_not_printed(said: str) -> None:
    assert bare("Enter this") not in said


def test_the_details_stay_off_the_first_pages() -> None:
    pages = pages_of(printed())
    appendix = next(n for n, page in enumerate(pages) if "Appendix" in page)
    assert all("Pressure drop" not in page for page in pages[:appendix])
    assert any("Pressure drop" in page for page in pages[appendix:])


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_same_report_prints_the_same_bytes(paper: PaperSize) -> None:
    assert printed("si", paper) == printed("si", paper)
