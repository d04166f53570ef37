"""Moments and traces counted from them."""

from __future__ import annotations

import pytest

from journal.curves import CurveError
from journal.curves.align import MOMENTS, aligned, moment_ms
from journal.records import RecordError
from journal.records.traces import STRUCK
from tests.refusals import refused


def test_each_moment_is_the_begin_of_its_stage(kitchen) -> None:
    whole = kitchen.make(delays={2: 3.0, 4: 5.0})
    found = {name: moment_ms(whole, name) for name in MOMENTS}
    assert found == {
        "start": kitchen.at(0),
        "rennet in": kitchen.at(59),
        "cut": kitchen.at(96),
        "cook begins": kitchen.at(109),
        "drain": kitchen.at(164),
    }


def test_a_moment_not_come_to_is_none_and_cannot_be_aligned_at(kitchen) -> None:
    whole = kitchen.make(begun=3, finished=False)
    assert moment_ms(whole, "drain") is None
    with refused(CurveError, "curves.moment-not-come"):
        aligned(whole, "milk-temp", "drain")
    with refused(CurveError, "curves.no-moment", known=tuple(MOMENTS)):
        moment_ms(whole, "milling")


def test_readings_count_from_the_moment_without_the_struck_ones(kitchen) -> None:
    log = kitchen.trace("curd-ph", [50, 60, 70], [6.6, 6.1, 6.5], [0, STRUCK, 0])
    got = aligned(kitchen.make(log), "curd-ph", "rennet in")
    assert list(got.minutes) == pytest.approx([-6, 14])
    assert list(got.value) == [6.6, 6.5]
    assert len(aligned(kitchen.make(), "milk-temp", "start").minutes) == 0
    with pytest.raises(RecordError):
        aligned(kitchen.make(), "colour", "start")
