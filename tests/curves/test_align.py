"""Moments and traces counted from them."""

from __future__ import annotations

import pytest

from journal.curves import CurveError
from journal.curves.align import START, aligned, moment_ms, stage_keys
from journal.records import RecordError
from journal.records.kinds import STAGE_KINDS
from journal.records.traces import STRUCK
from tests.refusals import refused


def test_each_moment_is_the_begin_of_its_stage(kitchen) -> None:
    whole = kitchen.make(delays={2: 3.0, 4: 5.0})
    names = ("start", "set", "cut", "cook", "drain", "press 2")
    assert [moment_ms(whole, name) for name in names] == [
        *(kitchen.at(minute) for minute in (0, 59, 96, 109, 164)),
        None,
    ]
    assert stage_keys(["press", "brine", "press"]) == ["press", "brine", "press 2"]


def test_a_moment_not_come_to_is_none_and_cannot_be_aligned_at(kitchen) -> None:
    whole = kitchen.make(begun=3, finished=False)
    assert moment_ms(whole, "drain") is None
    with refused(CurveError, "curves.moment-not-come"):
        aligned(whole, "milk-temp", "drain")
    with refused(CurveError, "curves.no-moment", known=(START, *STAGE_KINDS)):
        moment_ms(whole, "milling")


def test_readings_count_from_the_moment_without_the_struck_ones(kitchen) -> None:
    log = kitchen.trace("curd-ph", [50, 60, 70], [6.6, 6.1, 6.5], [0, STRUCK, 0])
    got = aligned(kitchen.make(log), "curd-ph", "set")
    assert list(got.minutes) == pytest.approx([-6, 14])
    assert list(got.value) == [6.6, 6.5]
    assert len(aligned(kitchen.make(), "milk-temp", "start").minutes) == 0
    with pytest.raises(RecordError):
        aligned(kitchen.make(), "colour", "start")
