"""What was ever sealed reads back to the last byte, whichever format it was sealed in.

It prints as it did, too: the text of its pages, and a digest of what draws them, stand beside the
bytes (``DRAWOFF_REWRITE_GOLDENS=1`` writes those texts anew, and never the bytes).
"""

from __future__ import annotations

import json

import pytest

from desk.paper.report.service_report import service_report
from desk.records.documents.sealing import canonical_bytes, fingerprint_of, read_report
from desk.records.views.report import SNAPSHOT_FORMAT, VisitReport
from tests.frozen.told import hold, pdf_lines
from tests.records.sealed_formats import (
    FINGERPRINTS,
    SEALED_AT,
    fields_of,
    kept_bytes,
    printed_text,
)

every_format = pytest.mark.parametrize("number", FINGERPRINTS)


def test_every_format_that_there_was_is_held() -> None:
    assert list(FINGERPRINTS) == list(range(1, SNAPSHOT_FORMAT + 1))


@every_format
def test_the_fingerprint_of_what_was_sealed_stays(number: int) -> None:
    assert fingerprint_of(kept_bytes(number)) == FINGERPRINTS[number]


@every_format
def test_what_was_sealed_reads_back_field_for_field(number: int) -> None:
    assert read_report(kept_bytes(number)) == VisitReport(**fields_of(number))


@every_format
def test_what_was_sealed_is_written_again_as_it_was(number: int) -> None:
    again = canonical_bytes(read_report(kept_bytes(number)))
    assert _without_what_came_later(again, kept_bytes(number)) == kept_bytes(number)


@every_format
def test_what_was_sealed_prints_as_it_did(number: int) -> None:
    kept = kept_bytes(number)
    pdf = service_report(read_report(kept), fingerprint=fingerprint_of(kept), sealed_at=SEALED_AT)
    hold(printed_text(number), pdf_lines(pdf))


def test_today_s_format_is_written_to_the_byte() -> None:
    written = canonical_bytes(VisitReport(**fields_of(SNAPSHOT_FORMAT)))
    assert written == kept_bytes(SNAPSHOT_FORMAT)


def _without_what_came_later(again: bytes, kept: bytes) -> bytes:
    """Return bytes without the fields that the format of others did not have."""
    written, known = json.loads(again), json.loads(kept)
    for whole, part in ((written, known), (written["premises"], known["premises"])):
        for name in whole.keys() - part.keys():
            assert whole.pop(name) in (None, "", []), name
    return json.dumps(written, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()
