"""Each document at each limit: it is made, the same each time, and every text can be read back."""

from __future__ import annotations

import pytest

from desk.paper.kit.text import plain
from tests.every_day import every_day
from tests.paper.limits import DOCUMENTS, LIMITS
from tests.paper.reading_back import bare, text_of

HARDEST = ("letters-without-a-font", "hostile")


@pytest.mark.parametrize("limit", every_day(LIMITS, HARDEST[-1:]))
@pytest.mark.parametrize("document", DOCUMENTS)
def test_a_document_at_its_limit_carries_its_texts(document: str, limit: str) -> None:
    pdf = DOCUMENTS[document](LIMITS[limit])

    assert bare(plain(LIMITS[limit])) in text_of(pdf)


@pytest.mark.parametrize("document", every_day(DOCUMENTS, ["office-copy"]))
def test_the_same_snapshot_gives_the_same_bytes(document: str) -> None:
    make = DOCUMENTS[document]

    assert make(LIMITS["hostile"]) == make(LIMITS["hostile"])
