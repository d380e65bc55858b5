"""Local days of many times at once are those of the calendar."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from desk.trade.job_columns.local_days import day_number, day_of, local_days

ZONES = ("America/New_York", "America/St_Johns", "Australia/Lord_Howe", "Asia/Kathmandu", "UTC")


@given(
    times=st.lists(
        st.integers(631_152_000_000_000, 2_114_380_800_000_000),  # 1990 to 2036, in microseconds
        max_size=40,
    ),
    zone=st.sampled_from(ZONES),
)
def test_local_days_are_those_of_the_calendar(times: list[int], zone: str) -> None:
    found = local_days(np.array(times, np.int64), ZoneInfo(zone)).tolist()
    moments = [datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=one) for one in times]
    days = [one.astimezone(ZoneInfo(zone)).date() for one in moments]
    assert [day_of(number) for number in found] == days


@pytest.mark.parametrize("zone", ["America/St_Johns", "America/New_York"])
def test_local_days_hold_to_the_second_where_the_clocks_change(zone: str) -> None:
    # In 2010 the clocks of St. John's went back one minute past midnight, into the day before.
    begin = datetime(2010, 11, 6, 20, tzinfo=UTC)
    epoch = datetime(1970, 1, 1, tzinfo=UTC)
    times = [begin + timedelta(seconds=30 * n) for n in range(2_000)]
    micros = np.array([(one - epoch) // timedelta(microseconds=1) for one in times], np.int64)
    found = local_days(micros, ZoneInfo(zone)).tolist()
    assert found == [day_number(one.astimezone(ZoneInfo(zone)).date()) for one in times]
