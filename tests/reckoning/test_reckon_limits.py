"""Limits: what sharpens a condition never lets more grow, and a verdict turns once."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.message import Message
from journal.reckoning import ReckoningError, acid_limits, growth, pasteurise
from journal.records.tables import table
from journal.topics.asked import Inputs
from journal.topics.heat import read_pairs
from journal.topics.limits import read_ranges
from tests.refusals import refused

RANGES = read_ranges(Inputs("", {}, {"growth_limits": table("growth_limits")}))
PAIRS = read_pairs(Inputs("", {}, {"pasteurisation": table("pasteurisation")}), "milk")


def grows(temp: float | None = None, ph: float | None = None, aw: float | None = None) -> set[str]:
    return {
        f"{one.germ} {one.does}" for one in RANGES if not growth.held_back_by(one, temp, ph, aw)
    }


@given(st.floats(-20, 30), st.floats(3, 7), st.floats(0.7, 1), st.floats(0, 3))
def test_colder_sourer_or_drier_never_lets_more_grow(temp, ph, aw, less):
    assert grows(temp - less) <= grows(temp)
    assert grows(ph=ph - less) <= grows(ph=ph)
    assert grows(aw=aw - less / 10) <= grows(aw=aw)
    assert grows(temp, ph, aw) == grows(temp) & grows(ph=ph) & grows(aw=aw)


def test_the_widest_of_several_sources_stands():
    one = growth.GrowthRange("germ", "grow", 2, 40, 4.4, 9, math.nan)
    other = growth.GrowthRange("germ", "grow", 5, 45, 4.0, 8, 0.92)
    assert growth.widest([one, other]) == [growth.GrowthRange("germ", "grow", 2, 45, 4.0, 9, 0.92)]
    with refused(ReckoningError, "reckoning.growth-of-nothing"):
        growth.held_back_by(one)
    assert growth.held_back_by(other, ph=3.8) == (
        Message("reckoning.too-sour-to-grow", found=3.8, limit=4.0),
    )
    assert growth.held_back_by(other, ph=3.95) == ()


@given(st.floats(3, 8), st.floats(0, 2))
def test_more_acid_never_makes_a_verdict_worse(ph, more):
    order = ("reckoning.acid-good", "reckoning.acid-slow", "reckoning.acid-failed")
    pressed = acid_limits.HourLimit(6, "curd-ph", 5.8, 6.3)
    lactic = acid_limits.HourLimit(24, "whey-acidity", 0.55, 0.45)

    def place(value: float, limit: acid_limits.HourLimit) -> int:
        return order.index(acid_limits.acid_verdict(value, limit).id)

    assert place(max(ph - more, 0), pressed) <= place(ph, pressed)
    assert place(min(more + ph / 10, 3), lactic) <= place(min(more, 3), lactic)


def test_the_limit_that_is_due():
    limits = [acid_limits.HourLimit(h, "curd-ph", 6, 6) for h in (12, 6)]
    assert acid_limits.limit_at(5, "curd-ph", limits) is None
    assert acid_limits.limit_at(6, "curd-ph", limits) == limits[1]
    assert acid_limits.limit_at(40, "curd-ph", limits) == limits[0]
    assert acid_limits.limit_at(40, "whey-acidity", limits) is None


@given(st.floats(50, 110), st.floats(0, 20))
def test_hotter_never_takes_longer_and_the_hold_meets_its_pair(temp, more):
    hold, hotter = (pasteurise.hold_s(t, PAIRS) for t in (temp, temp + more))
    assert hold is None or (hotter is not None and hotter <= hold)
    if hold is not None:
        assert pasteurise.pairs_met([0, hold / 60], [temp, temp], PAIRS)
    else:
        assert temp == pytest.approx(min(pair.temp_c for pair in PAIRS)) or temp < 62.8
