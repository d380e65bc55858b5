"""The report in a language whose words are 40 % longer: nothing is cut off, nothing is English."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from reportlab.lib.units import mm

from desk.base import texts
from desk.paper.kit.page import SIZES
from desk.paper.report.service_report import service_report
from desk.records.views.parties import PaperSize, UnitSystem
from desk.records.views.report import VisitReport
from tests.every_day import every_day
from tests.paper.longer_language import NotedLanguage, longer, pieces
from tests.paper.reading_back import bare, opened, text_of
from tests.paper.snapshots import FINGERPRINT, SEALED_AT, full_report, measured_report

MARGIN = 16 * mm
type Make = Callable[[UnitSystem, PaperSize], VisitReport]


@pytest.mark.parametrize(("system", "paper"), [("us", "letter"), ("si", "a4")])
@pytest.mark.parametrize("make", every_day([full_report, measured_report], [full_report]))
def test_nothing_is_cut_off_or_runs_over_the_margin(
    make: Make, system: UnitSystem, paper: PaperSize, monkeypatch: pytest.MonkeyPatch
) -> None:
    def printed(translated: Callable[[str], str]) -> tuple[bytes, str, set[str]]:
        language = NotedLanguage(translated)
        monkeypatch.setattr(texts, "_catalogue", lambda _name: language)
        report = make(system, paper)
        pdf = service_report(report, fingerprint=FINGERPRINT, sealed_at=SEALED_AT)
        return pdf, text_of(pdf), language.said

    _pdf, english, said = printed(str)
    pdf, other, _said = printed(longer)
    shown = [text for text in said if all(bare(piece) in english for piece in pieces(text))]
    assert len(shown) > 60
    missing = {text for text in shown for piece in pieces(longer(text)) if bare(piece) not in other}
    assert missing == set()
    assert "…" not in other
    assert list(_over_the_margin(pdf, paper)) == []


def _over_the_margin(pdf: bytes, paper: PaperSize) -> Iterator[str]:
    """Give the letters that stand nearer to the paper's edge than its margin."""
    width, height = SIZES[paper]
    with opened(pdf) as document:
        for page in document:
            layer = page.get_textpage()
            for place in range(layer.count_chars()):
                letter = layer.get_text_range(place, 1)
                left, bottom, right, top = layer.get_charbox(place)
                inside = left >= MARGIN and right <= width - MARGIN and bottom >= 5 * mm
                if letter.strip() and not (inside and top <= height - 5 * mm):
                    yield f"{letter} at {left:.0f}, {bottom:.0f}"
            layer.close()
            page.close()
