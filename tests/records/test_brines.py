"""A bath after all that was done to it, and what speaks against a culture's generation."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.message import Message
from journal.records import RecordError
from journal.records.brines import (
    Brine,
    BrineEvent,
    BrineStay,
    bath_state,
    brine_doubts,
    brine_table,
    salt_wanted_kg,
    strengths,
)
from journal.records.cultures import (
    Generation,
    doubts,
    failing,
    minutes_to_sour,
    next_generation,
    past_date,
)
from journal.records.instants import DAY_MS, MINUTE_MS, from_iso
from journal.records.traces import STRUCK, Trace
from journal.wording import text_of
from tests.refusals import refused

ZONE = "Europe/London"
MADE = from_iso("2026-03-01T10:00", ZONE)
BATH = Brine("the brine", 10.0, 20.0, MADE, id=1)
DENSE = brine_table()


def day(count: float) -> int:
    return MADE + round(count * DAY_MS)


def done(days: float, kind: str, **output: float) -> BrineEvent:
    return BrineEvent(1, day(days), kind, **output)


def test_a_fresh_bath_stands_as_it_was_made():
    stands = bath_state(BATH, (), (), DENSE)
    assert stands.strength_pct == 20.0
    # 20 % w/w at 20 °C is 1147.8 kg/m³ (CRC Handbook); a cool bath is a little heavier.
    assert stands.kg == pytest.approx(11.5, abs=0.03)
    assert stands.litres == pytest.approx(10.0)
    assert (stands.known_ms, stands.calculated, stands.lain_since) == (MADE, False, 0)
    assert brine_doubts(BATH, stands) == []


def test_a_weak_bath_says_the_salt_that_brings_it_back():
    weak = bath_state(BATH, [done(9, "measured", strength_pct=15.5)], (), DENSE)
    wanted = salt_wanted_kg(weak, 20.0)
    assert wanted == pytest.approx(weak.kg * 4.5 / 80)  # m (want − now) / (100 − want)
    output = " ".join(map(text_of, brine_doubts(BATH, weak)))
    assert "weaker than 16 %" in output
    assert f"{wanted:.2f} kg of salt would raise it from 15.5 to 20 %" in output
    topped = bath_state(
        BATH,
        [done(9, "measured", strength_pct=15.5), done(9.1, "salt", salt_kg=wanted)],
        (),
        DENSE,
    )
    assert topped.strength_pct == pytest.approx(20.0)
    assert topped.calculated
    assert topped.kg == pytest.approx(weak.kg + wanted)


def test_a_bath_made_to_keep_white_cheese_in_is_not_called_weak():
    """7 % advised, 6.5 to 9.5 % tried (Pappas et al. 1996, McMahon et al. 2009)."""
    keeping = replace(BATH, strength_pct=8.0)
    assert brine_doubts(keeping, bath_state(keeping, [], (), DENSE)) == []
    thin = bath_state(keeping, [done(9, "measured", strength_pct=5.0)], (), DENSE)
    weak, wanted = brine_doubts(keeping, thin)
    assert (weak, wanted.id) == (
        Message("records.brine-weak", low_pct=6.5),
        "records.brine-salt-wanted",
    )


def test_water_weakens_and_a_new_bath_begins_afresh():
    thinned = bath_state(BATH, [done(2, "water", litres=1.0)], (), DENSE)
    assert thinned.strength_pct == pytest.approx(100 * 0.2 * 11.51 / 12.51, abs=0.02)
    afresh = [done(2, "water", litres=1.0), done(5, "renewed", litres=8.0, strength_pct=22.0)]
    stands = bath_state(BATH, afresh, (), DENSE)
    assert (stands.strength_pct, stands.known_ms) == (22.0, day(5))
    assert stands.litres == pytest.approx(8.0)
    assert [round(pct, 1) for _, pct in strengths(BATH, afresh, DENSE)] == [20.0, 18.4, 22.0]


def test_what_lay_in_it_since_it_was_measured_is_told():
    stays = [
        BrineStay(1, 1, day(1), out_ms=day(2)),
        BrineStay(1, 2, day(3), out_ms=day(4)),
        BrineStay(1, 3, day(5)),
    ]
    measured = [done(2.5, "measured", strength_pct=19.0)]
    stands = bath_state(BATH, measured, stays, DENSE)
    assert stands.lain_since == 2
    assert stays[0].hours == 24
    assert stays[2].hours is None
    lain = Message("records.brine-lain", cheeses=2)
    assert lain in brine_doubts(BATH, stands)
    assert text_of(lain).startswith("2 cheeses have been")


@given(st.floats(0.5, 26), st.floats(0.001, 3), st.floats(0.01, 5))
def test_salt_strengthens_water_weakens_and_none_leaves_what_can_be(pct, salt, water):
    bath = replace(BATH, strength_pct=pct)
    base = bath_state(bath, (), (), DENSE)
    more = bath_state(bath, [done(1, "salt", salt_kg=salt)], (), DENSE)
    less = bath_state(bath, [done(1, "water", litres=water)], (), DENSE)
    assert less.strength_pct < base.strength_pct < more.strength_pct <= 26.395
    assert less.kg == pytest.approx(base.kg + water)


@pytest.mark.parametrize(
    ("kind", "output", "refusal"),
    [
        ("measured", {}, "records.brine-without-strength"),
        ("salt", {}, "records.brine-without-salt"),
        ("water", {}, "records.brine-without-water"),
        ("renewed", {"litres": 5.0}, "records.brine-without-making"),
        ("measured", {"strength_pct": 30.0}, "records.brine-strength"),
        ("salt", {"salt_kg": -1.0}, "records.brine-salt"),
        ("stirred", {}, "records.no-such-brine-event"),
    ],
)
def test_what_cannot_be_is_refused(kind, output, refusal):
    with refused(RecordError, refusal):
        BrineEvent(1, MADE, kind, **output)
    with refused(RecordError, "records.brine-out-before-in"):
        BrineStay(1, 1, day(2), out_ms=day(1))


# Cultures


def test_generations_count_on_and_are_kept_a_week():
    first = Generation("kitchen mesophilic", MADE, origin="packet M-07", id=4)
    second = next_generation(first, day(6), from_make_id=9, ph=4.6)
    assert (second.number, second.parent_id, second.from_make_id) == (2, 4, 9)
    assert second.keep_until_ms == day(13)
    assert past_date(second, date(2026, 3, 14), ZONE) is None
    assert past_date(second, date(2026, 3, 15), ZONE) == date(2026, 3, 14)
    assert doubts(second, date(2026, 3, 14), ZONE) == []


def test_a_culture_that_is_old_weak_or_far_along_is_doubted():
    bad = Generation("mix", MADE, 7, keep_until_ms=day(3), ph=5.3)
    output = doubts(bad, date(2026, 3, 20), ZONE)
    assert output == [
        Message("records.culture-past", on=date(2026, 3, 4)),
        Message("records.culture-not-sour", ph=5.3, below_ph=4.9),
        Message("records.culture-old", number=7, many=7),
    ]
    assert text_of(output[0]) == "Its last day was 4 March 2026: do not use it."
    over = replace(bad, gone_ms=day(2), ph=4.5, number=6)
    assert doubts(over, date(2026, 3, 20), ZONE) == []
    with refused(RecordError, "records.culture-number"):
        Generation("mix", MADE, 0)
    with refused(RecordError, "records.no-such-culture-type", word="cold"):
        Generation("mix", MADE, culture_type="cold")


def test_how_long_a_make_took_to_sour() -> None:
    at = MADE + np.array([-30, 0, 60, 120, 180, 200]) * MINUTE_MS
    value = np.array([6.9, 6.6, 6.5, 6.4, 6.1, 5.0])
    flags = np.array([0, 0, 0, 0, 0, STRUCK], np.uint8)
    trace = Trace("curd-ph", at, value, flags)
    assert minutes_to_sour(trace, MADE) == pytest.approx(140)  # 6.3, a third on from 6.4 to 6.1
    assert minutes_to_sour(trace, MADE, by_ph=1.5) is None  # only the struck reading is so low
    assert minutes_to_sour(Trace("curd-ph"), MADE) is None
    assert minutes_to_sour(trace, MADE - 61 * MINUTE_MS) == pytest.approx(61)  # from 6.9 to 6.6
    assert minutes_to_sour(trace, MADE - 91 * MINUTE_MS) is None  # first read too late


def test_a_culture_that_slows_down_is_told() -> None:
    assert failing([150.0, 148.0, 140.0, 155.0]) is None
    assert failing([190.0, 148.0]) is None  # too few to say anything
    output = failing([190.0, 148.0, 140.0, 155.0])
    assert output == Message("records.culture-failing", minutes=190.0, by_ph=0.3, usual=148.0)
    assert "usually 148 min" in text_of(output)
