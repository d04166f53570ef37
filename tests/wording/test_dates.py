"""Days and times of day as they are written, in English on every desktop."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest

from journal.records.dates import MONTHS, read_date
from journal.records.instants import DAY_MS, MINUTE_MS, from_datetime, from_iso
from journal.wording.dates import (
    format_day,
    month_name,
    short_day,
    weekday_clock,
    weekday_name,
)
from tests.locales import LOCALES, spoken

ZONE = "Europe/London"
NOW = from_iso("2026-03-14T19:30", ZONE)


@pytest.mark.parametrize("name", LOCALES)
def test_the_names_are_english_in_every_locale(name):
    days = [date(2026, 3, 14) + timedelta(days=31 * i) for i in range(12)]
    with spoken(name) as differs:
        assert differs(f"{days[0]:%A %B}")  # the system's own words are of another language
        assert sorted(month_name(day) for day in days) == sorted(MONTHS)
        assert weekday_name(days[0]) == "Saturday"
        assert format_day(days[9], short=True, weekday=True) == "Fri 18 Dec 2026"
        at = from_datetime(datetime(2026, 12, 14, 9, 30), ZONE)
        assert short_day(at, ZONE) == "14 Dec 2026"
        assert read_date(short_day(at, ZONE), ZONE, NOW) == from_iso("2026-12-14T12:00", ZONE)
        assert weekday_clock(at, at - 20 * MINUTE_MS, ZONE) == "09:30"
        assert weekday_clock(at, at - DAY_MS, ZONE, short=False) == "Monday 09:30"
