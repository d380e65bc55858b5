"""How a day with a slash is read is the shop's setting, whatever locale the machine has."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtTest import QTest

from desk.records.office.founding import ShopDetails
from desk.records.office.office import Office
from desk.trade.scheduling.booking_text import say_day
from desk.windows.record.forms import new_appliance
from desk.windows.work.work_queue import InlineQueue
from tests.conftest import StillClock
from tests.every_day import every_day


@pytest.fixture(params=every_day(["C", "en_US", "en_GB", "de_DE"], ["de_DE"]))
def locale(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    monkeypatch.setattr(QLocale, "system", lambda: QLocale(request.param))
    return request.param


@pytest.mark.parametrize(("system", "day"), [("us", date(2026, 9, 3)), ("si", date(2026, 3, 9))])
@pytest.mark.usefixtures("qapp")
def test_a_day_with_a_slash_follows_the_shop_and_not_the_machine(
    locale: str, tmp_path: Path, system: str, day: date
) -> None:
    shop = ShopDetails("A shop", "Europe/London", system=system)
    with Office.create(tmp_path / "a.drawoff", shop, now=StillClock()) as office:
        queue = InlineQueue(office)
        form = new_appliance(queue, uuid.UUID(int=1))
        line = form.entries["installed"]
        QTest.keyClicks(line.edit, "9/3/2026")
        assert say_day(day) in line.under.text()
        assert office.calendar().read("9/3/2026") == day
        form.close()
        queue.close()


def test_a_day_without_a_year_is_of_the_offices_clock(office: Office, clock: StillClock) -> None:
    clock.time = clock.time.replace(year=2031, month=6, day=1)
    assert office.calendar().read("3 dec") == date(2031, 12, 3)
