"""What a keystroke in the form of a new call costs in an office of a hundred thousand customers."""

from __future__ import annotations

import statistics
import time
from pathlib import Path

import pytest

from desk.records.fields.address_fields import Address
from desk.records.office.office import Office
from desk.records.parties.candidates import likely_same
from desk.records.views.call import CallerDetails
from tests.benchmarks.large_office import CUSTOMERS, build_large_office

KEYSTROKE_MS = 50.0


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An office of a hundred thousand customers."""
    path = tmp_path_factory.mktemp("likely") / "large.drawoff"
    build_large_office(path)
    return path


def _typed() -> list[CallerDetails]:
    """Every beginning of what is told of a few customers, as it is typed."""
    phones = ("(212) 555-0142", "555 0177", "9175550101")
    streets = ("1204 Weir Street", "77 sluice row", "9 Juniper Steps")
    serials = ("K004711-55", "k 000123 26")
    told = [CallerDetails(phone[:n]) for phone in phones for n in range(1, len(phone) + 1)]
    told += [
        CallerDetails("(212) 555-0142", Address(street[:n]))
        for street in streets
        for n in range(1, len(street) + 1)
    ]
    told += [
        CallerDetails("(212) 555-0142", Address("9 Weir Street"), serial[:n])
        for serial in serials
        for n in range(1, len(serial) + 1)
    ]
    return told


@pytest.mark.bench
def test_a_keystroke_is_answered_in_time(large: Path) -> None:
    with Office.open(large) as office, office.read() as session:
        found = likely_same(
            session, CallerDetails(serial="k004711 55")
        )  # brings what is imported once
        assert len(found) == 1
        times: list[tuple[float, CallerDetails]] = []
        for told in _typed() * 3:
            start = time.perf_counter()
            likely_same(session, told)
            times.append(((time.perf_counter() - start) * 1000, told))
        p95 = statistics.quantiles([one for one, _told in times], n=20)[-1]
        print(f"\n{CUSTOMERS} customers: p95 {p95:.1f} ms")
    assert p95 < KEYSTROKE_MS
