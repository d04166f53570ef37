"""A time of day typed at the vat is the last one on that clock, within the make."""

from __future__ import annotations

import pytest

from journal.records import RecordError
from journal.records.instants import at_clock, from_iso, iso

ZONE = "Europe/London"


def at(text: str, first: str, last: str) -> str:
    return iso(at_clock(text, ZONE, from_iso(first, ZONE), from_iso(last, ZONE)), ZONE)[:16]


@pytest.mark.parametrize("text", ["11:20", "11.20", "11h20", " 11:20 "])
def test_today(text):
    assert at(text, "2026-03-14T09:00", "2026-03-14T12:00") == "2026-03-14T11:20"


def test_before_midnight():
    assert at("23:50", "2026-03-14T18:00", "2026-03-15T01:00") == "2026-03-14T23:50"


def test_with_its_date():
    assert at("2026-03-14T09:30", "2026-03-14T09:00", "2026-03-20T09:00") == "2026-03-14T09:30"


@pytest.mark.parametrize("text", ["08:00", "12:30", "2026-03-13", "soon", "25:00", "11:1", ""])
def test_outside_or_no_time(text):
    with pytest.raises(RecordError):
        at(text, "2026-03-14T09:00", "2026-03-14T12:00")
