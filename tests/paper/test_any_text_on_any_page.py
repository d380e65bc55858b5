"""Whatever somebody typed, every document prints it as that text."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from desk.paper.documents.appliance_history import appliance_history
from desk.paper.documents.appliance_labels import appliance_labels
from desk.paper.documents.day_sheet import day_sheet
from desk.paper.documents.parts_used import parts_used
from desk.paper.kit.text import plain
from desk.paper.report.service_report import service_report
from desk.records.views.parties import ApplianceLabel
from tests.every_day import every_day, share_of_examples
from tests.paper.days import full_day
from tests.paper.extremes import HOSTILE, with_every_text
from tests.paper.lives import usual_life
from tests.paper.reading_back import bare, text_of
from tests.paper.snapshots import full_report
from tests.paper.used_parts import usual_month

DOCUMENTS: dict[str, Callable[[str], bytes]] = {
    "service report": lambda text: service_report(with_every_text(full_report(), text)),
    "day sheet": lambda text: day_sheet(with_every_text(full_day(), text)),
    "appliance history": lambda text: appliance_history(
        with_every_text(usual_life("us", "letter"), text)
    ),
    "parts used": lambda text: parts_used(with_every_text(usual_month("us", "letter"), text)),
}


@pytest.mark.parametrize("name", every_day(DOCUMENTS, ["service report"]))
@given(st.text(min_size=1, max_size=40))
@example(HOSTILE)
@example("{}{0}{name}%s%(x)s")
@example("\u202e\0\ud800\n\n\t")
@settings(max_examples=share_of_examples(0.05), deadline=None)
def test_a_document_prints_any_text_as_that_text(name: str, text: str) -> None:
    assert bare(plain(text)) in text_of(DOCUMENTS[name](text))


@given(st.text(max_size=40))
@example(HOSTILE)
@example("W" * 1_500)
@settings(max_examples=8, deadline=None)
def test_a_label_prints_any_text(text: str) -> None:
    label = ApplianceLabel("A-H0001", text, text, text, text)
    assert appliance_labels([label], "letter-30").startswith(b"%PDF-")
