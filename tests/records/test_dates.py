"""Days as they are written, and as people type them."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.records import RecordError
from journal.records.dates import read_date, read_day
from journal.records.instants import DAY_MS, from_datetime, from_iso, local
from journal.wording import text_of
from journal.wording.ages import age_words
from journal.wording.dates import (
    day_words,
    format_day,
)
from tests.refusals import refused

ZONE = "Europe/London"
NOW = from_iso("2026-03-14T19:30", ZONE)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("", "2026-03-14T19:30"),
        ("today", "2026-03-14T19:30"),
        ("Yesterday", "2026-03-13T12:00"),
        ("2 March 2026", "2026-03-02T12:00"),
        ("2. mar", "2026-03-02T12:00"),
        ("2 Sept", "2025-09-02T12:00"),
        ("2026-01-09", "2026-01-09T12:00"),
        ("2026-01-09T20:15", "2026-01-09T20:15"),
        ("14 March 2026", "2026-03-14T19:30"),
    ],
)
def test_a_day_is_understood(typed, meant):
    assert read_day(typed, ZONE, NOW) == from_iso(meant, ZONE)


@pytest.mark.parametrize(
    "typed", ["15 March 2026", "31 February 2026", "soon", "3 ma", "2027-01-01"]
)
def test_what_is_no_day_is_refused(typed):
    with pytest.raises(RecordError):
        read_day(typed, ZONE, NOW)


def test_a_day_is_written_as_it_is_read():
    assert day_words(read_day("2 March 2026", ZONE, NOW), ZONE) == "2 March 2026"


@pytest.mark.parametrize(
    ("days", "words"),
    [(0.2, "new"), (1, "1 day"), (45, "45 days"), (122, "4 months"), (1200, "3.3 years")],
)
def test_ages(days, words):
    assert age_words(days) == words


# What is written is read back


def noon(day: date) -> int:
    return from_datetime(datetime(day.year, day.month, day.day, 12), ZONE)


@pytest.mark.parametrize(
    ("read", "why"), [(read_day, "records.day-too-old"), (read_date, "records.date-far-away")]
)
def test_a_year_before_1990_is_a_mistyped_one(read, why):
    with refused(RecordError, why):
        read("31 December 1989", ZONE, NOW)


@settings(max_examples=60, deadline=None)
@given(st.dates(date(1990, 1, 2), date(2150, 12, 31)), st.booleans(), st.booleans())
def test_a_day_with_its_year_is_read_back_by_both_readers(day, short, weekday):
    words = format_day(day, short=short, weekday=weekday)
    assert read_day(words, ZONE, noon(day) + DAY_MS) == noon(day)
    for today in (noon(day) - 900 * DAY_MS, noon(day) + 900 * DAY_MS):
        assert read_date(words, ZONE, today) == noon(day)


@settings(max_examples=60, deadline=None)
@given(
    st.dates(date(1990, 1, 2), date(2140, 12, 31)),
    st.integers(0, 364),
    st.booleans(),
    st.booleans(),
)
def test_a_day_without_its_year_is_the_last_there_was_or_the_next_to_come(
    day, away, short, weekday
):
    words = format_day(day, short=short, year=False, weekday=weekday)
    assert local(read_day(words, ZONE, noon(day) + away * DAY_MS), ZONE).date() == day
    assert read_date(words, ZONE, noon(day) - away * DAY_MS) == noon(day)


@pytest.mark.parametrize(
    ("today", "last", "coming"),
    [
        ("2027-03-01", "2024-02-29", "2028-02-29"),
        ("2028-02-29", "2028-02-29", "2028-02-29"),
        ("2028-12-31", "2028-02-29", "2032-02-29"),
        ("2099-06-14", "2096-02-29", "2104-02-29"),  # 2100 is no leap year
    ],
)
def test_a_leap_day_without_a_year_is_looked_for_until_there_is_one(today, last, coming):
    now = from_iso(f"{today}T12:00", ZONE)
    assert local(read_day("29 Feb", ZONE, now), ZONE).date() == date.fromisoformat(last)
    assert local(read_date("29 February", ZONE, now), ZONE).date() == date.fromisoformat(coming)


@pytest.mark.parametrize(
    ("typed", "output"),
    [
        ("29 Feb 2027", "“29 feb 2027” is not a date: February 2027 has no 29."),
        ("Fri 14 March 2026", "“fri 14 march 2026” is not a date: 14 March 2026 is a Saturday."),
        ("14 Dez 2026", "“14 Dez 2026” is not a date. Write it like 14 March 2027 or 03/2027."),
    ],
)
def test_a_day_that_cannot_be_says_why(typed, output):
    with pytest.raises(RecordError) as caught:
        read_date(typed, ZONE, NOW)
    assert text_of(caught.value) == output
