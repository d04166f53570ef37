"""Days as people type them."""

from __future__ import annotations

import pytest

from journal.desk.dates import age_words, day_words, read_day
from journal.records import RecordError
from journal.records.instants import from_iso

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
