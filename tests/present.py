"""The present that every sample journal of the tests leads up to, whatever day it is today."""

from __future__ import annotations

from journal.records.instants import from_iso

NOW = from_iso("2026-11-25T11:40", "Europe/London")


def now() -> int:
    """A clock that stands at that present, for windows on such a journal."""
    return NOW
