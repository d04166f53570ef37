"""What the vat says of the milk: one order at most, none on an old reading or for a temperature
that is passed; and the words of a stage."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import Qt

from journal.background import State
from journal.curves.events import events, heard_until
from journal.curves.reading_age import HELD_MIN, LEFT_MIN, WARMED_MIN
from journal.curves.shown_events import Acknowledged
from journal.curves.snapshot import Ahead, EarlierMakes, MakeSnapshot, ahead_of, day_of
from journal.desk.vat.milk_plot import known_and_not
from journal.records.instants import from_iso
from journal.records.makes import Make, Milk, StageRun
from journal.records.plans import AcidTarget, Dose, Plan, Stage
from journal.records.traces import Trace
from journal.records.whole import WholeMake
from journal.wording.at_the_vat import DOWN, READ, due_now, page_text, turn_down_words
from journal.wording.vat_stage import doing_words, temperature_target_words

ENTER = Qt.Key.Key_Return
ZERO = from_iso("2026-03-14T08:00", "UTC")
PLAN = Plan(
    "words",
    (
        Stage("warm", 30, target_c=31.0, limit_c_per_min=1.5),
        Stage("set", 40, target_c=31.0, ramp_min=0,
              doses=(Dose("culture", "propionic", 0.0004, "g"),)),
        Stage("cut", 10, size_mm=10.0),
        Stage("cook", 50, target_c=39.0, ramp_min=40, limit_c_per_min=0.25),
        Stage("stir", 30, target_c=39.0, ramp_min=0),
        Stage("wash", 20, target_c=39.0, ramp_min=0, whey_drawn_per_l=0.3,
              water_added_per_l=0.2, water_c=60.0),
        Stage("press", 45, pressure_kpa=5.0, turns=2),
        Stage("brine", 300, brine_pct=20.0),
    ),
    milk_l=10.0,
    milk_c=10.0,
    mould_mm=150.0,
)  # fmt: skip
STARTS = PLAN.starts()


def day_at(place: int, readings: list[tuple[float, float]], now_min: float, plan: Plan = PLAN, *,
           turned: float | None = None,
           heat: list[tuple[float, float]] = ()) -> MakeSnapshot:  # fmt: skip
    """A day in a stage that began on its own clock, calculated whole as the place reckons it."""
    starts = [*plan.starts(), plan.minutes]
    runs = tuple(
        StageRun(1, i, stage.kind, ms(starts[i]), ms(starts[i + 1]),
                 ms(starts[i]) if i <= place else None,
                 ms(starts[i + 1]) if i < place else None, id=i + 1)
        for i, stage in enumerate(plan.stages)
    )  # fmt: skip
    traces = {
        kind: Trace(kind, np.array([ms(at) for at, _ in rows]), np.array([v for _, v in rows]),
                    np.zeros(len(rows), np.uint8))
        for kind, rows in (("milk-temp", readings), ("heat", heat)) if rows
    }  # fmt: skip
    whole = WholeMake(Make("HL-0001", 1, Milk(10.0), ZERO), plan, runs, traces=traces)
    day = day_of(whole, ms(now_min), EarlierMakes(), Ahead())
    day = replace(day, ahead=ahead_of(day, State(lambda *_: None)))
    acknowledged = Acknowledged(turned=((place + 1, ms(turned)),) if turned is not None else ())
    return replace(day, acknowledged=acknowledged.with_shown(day.ahead.events, day.now_ms))


def ms(minutes: float) -> int:
    return ZERO + round(minutes * 60_000)


def climbing(
    place: int, last: float, gap: float, value: float, rate: float
) -> list[tuple[float, float]]:
    """Readings every `gap` minutes that end at `value` after climbing by `rate`, the last at `last`
    minutes of the stage."""
    at = np.arange(last, max(0.0, last - 30.0) - 1e-9, -gap)[::-1]
    return [(STARTS[place] + float(a), round(value - rate * float(last - a), 1)) for a in at]


def all_words(day: MakeSnapshot) -> list[str]:
    """Everything the page says at a moment, the head of the page first."""
    output = page_text(day)
    offer = [f"{output.offer.minutes} min longer (a button)"] if output.offer else []
    words = [
        due_now(day)[1],
        output.head,
        output.rest,
        *offer,
        *(line.text for line in output.lines),
    ]
    return [one for one in words if one]


ORDERS = (r"[Tt]urn the (heat|cooling) down", r"^Heat down at", r"Read (it now|the milk)|: read it",
          r"min longer", r"[Tt]o arrive on time|water more slowly")  # fmt: skip


def orders(words: list[str]) -> set[str]:
    """The kinds of order in what is said (a sentence and the button that does it are one)."""
    return {kind for kind in ORDERS for one in words if re.search(kind, one)}


days = st.builds(
    lambda place, share, gap, value, rate, age, turned: (
        place,
        share,
        gap,
        value,
        rate,
        age,
        turned,
    ),
    st.sampled_from([0, 1, 2, 3, 4, 5]),
    st.floats(0.05, 1.3),
    st.sampled_from([1.0, 2.0, 5.0, 10.0]),
    st.floats(25.0, 41.0),
    st.sampled_from([-0.1, 0.0, 0.1, 0.2, 0.3, 0.6]),
    st.sampled_from([0.0, 1.0, 3.0, 4.9, 6.0, 9.0, 14.0, 17.0, 29.0, 31.0, 80.0]),
    st.booleans(),
)


@given(days)
@example((3, 1.0, 1.0, 38.25, 0.3, 3.0, False))  # due two minutes before now
@settings(max_examples=80, deadline=None,
          suppress_health_check=[HealthCheck.too_slow])  # fmt: skip
def test_never_two_orders_and_never_for_a_temperature_already_passed(found) -> None:
    place, share, gap, value, rate, age, turned = found
    last = share * PLAN.stages[place].minutes
    readings = climbing(place, last, gap, value, rate)
    now = STARTS[place] + last + age
    day = day_at(place, readings, now, turned=now - 1.0 if turned else None)
    words = all_words(day)
    assert len(orders(words)) <= 1, words
    last_c = readings[-1][1]
    for one in words:
        down = re.search(r"Heat down at \d\d:\d\d, ([\d.]+) °C", one)
        assert down is None or float(down[1]) > last_c, one
        near = re.search(r"Nearly ([\d.]+) °C (?:about|between|by) (\d\d):(\d\d)", one)
        assert near is None or float(near[1]) > last_c + 0.45, one
        about = re.search(r"(?:about|Heat down at) (\d\d):(\d\d)", one)
        if about and "expected" not in one and "turned" not in one and "warms on" not in one:
            at = (int(about[1]) - 8) * 60 + int(about[2])
            assert at + 1 >= now or at + 1440 >= now > at + 720, one
    if day.page_state.is_old(day.now_ms):
        assert orders(words) <= {ORDERS[2]}, words
        assert turn_down_words(day) == ""
        assert page_text(day).offer is None
        assert any("ago" in one for one in words), words


@given(days, st.floats(0.1, 4.0))
@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_nothing_but_the_age_moves_with_the_clock(found, later: float) -> None:
    """What is calculated is of the last reading's instant; what has come due since may change."""
    place, share, gap, value, rate, _, _ = found
    last = share * PLAN.stages[place].minutes
    readings = climbing(place, last, gap, value, rate)
    now = STARTS[place] + last
    first, then = (day_at(place, readings, now + t) for t in (0.0, later))
    assert first.ahead.heating == then.ahead.heating
    assert first.page_state.advice == then.page_state.advice
    assert [(e.key, e.minutes) for e in first.ahead.events if e.kind != "slow acid"] == [
        (e.key, e.minutes) for e in then.ahead.events if e.kind != "slow acid"
    ]


# As it was seen


def test_a_reading_of_17_minutes_ago_asks_for_one_and_orders_nothing() -> None:
    readings = [(STARTS[3] + m, 31.0 + 0.12 * m) for m in range(0, 21, 2)]
    day = day_at(3, readings, STARTS[3] + 37)
    output = page_text(day)
    assert output.head == "Milk last read 17 min ago: 33.4 °C at 09:40."
    assert output.rest.startswith("Read it now")
    assert (output.order, output.offer, output.attention) == (READ, None, True)
    assert turn_down_words(day) == ""
    assert due_now(day) == ("", "")  # the heat is not to go down for long
    assert due_now(replace(day, now_ms=day.ahead.heating.turn_down_ms))[0] == READ
    fresh = day_at(3, readings, STARTS[3] + 24)
    assert "behind the plan" in page_text(fresh).head


def test_the_limit_is_of_what_the_stage_does() -> None:
    for place, last_c, minutes in ((3, 33.0, WARMED_MIN), (4, 39.0, HELD_MIN), (1, 31.0, LEFT_MIN)):
        readings = [(STARTS[place] + 3.0, last_c)]
        for age, old in ((minutes - 0.1, False), (minutes + 0.1, True)):
            day = day_at(place, readings, STARTS[place] + 3.0 + age)
            assert day.page_state.is_old(day.now_ms) == old
    waiting = page_text(day_at(1, [(STARTS[1] + 1, 31.0)], STARTS[1] + 39))
    assert (waiting.head, waiting.order, waiting.attention) == ("", "", False)
    assert waiting.lines[0].text == "Milk last read 38 min ago: 31.0 °C at 08:31."


def test_a_reading_of_the_stage_before_counts_from_the_begin() -> None:
    before = [(STARTS[3] - 9.0, 31.0)]
    assert not day_at(3, before, STARTS[3] + 4.5).page_state.is_old(ms(STARTS[3] + 4.5))
    assert day_at(3, before, STARTS[3] + 5.5).page_state.is_old(ms(STARTS[3] + 5.5))


def test_where_nothing_was_ever_read_nobody_is_asked() -> None:
    output = page_text(day_at(3, [], STARTS[3] + 30))
    assert (output.head, output.lines, output.order) == ("", (), "")


def test_milk_that_is_there_is_not_nearly_there() -> None:
    readings = [*((float(m), 10.0 + 0.74 * m) for m in range(0, 27, 2)), (28.0, 30.8)]
    day = day_at(0, readings, 29.0)
    words = all_words(day)
    assert not any("Nearly" in one for one in words), words
    assert not any(re.search(r"Heat down at", one) for one in words), words
    assert turn_down_words(day) == "Turn the heat down now: the milk is at 30.8 °C."
    assert page_text(day).order == DOWN


def test_heat_that_must_go_down_silences_what_is_behind() -> None:
    """The milk is 1.8 °C behind and about to coast in: one thing is asked, not two."""
    readings = [(STARTS[3] + m, 31.0 + 0.19 * m) for m in range(0, 40, 2)]
    day = day_at(3, readings, STARTS[3] + 38, replace(PLAN, stages=tuple(
        replace(s, ramp_min=30) if s.kind == "cook" else s for s in PLAN.stages)))  # fmt: skip
    near = replace(day, ahead=replace(day.ahead, heating=replace(
        day.ahead.heating, turn_down_ms=day.now_ms, coast_c=1.0)))  # fmt: skip
    assert turn_down_words(near).startswith("Turn the heat down now")
    assert page_text(near).offer is None
    assert len(orders(all_words(near))) == 1


def test_a_stray_lasts_as_long_as_it_was_read() -> None:
    readings = [(STARTS[4] + m, 37.0) for m in (2.0, 5.0, 8.0)]
    day = day_at(4, readings, STARTS[4] + 20)
    (stray,) = events(day.whole, day.now_ms)
    assert (stray.minutes, stray.lasts) == (6.0, True)
    assert heard_until(day.whole, day.now_ms) == ms(STARTS[4] + 8)


def test_what_was_read_too_seldom_is_drawn_as_unknown() -> None:
    minutes = [0.0, 3.0, 6.0, 18.0, 20.0]
    day = day_at(3, [(STARTS[3] + m, 31.0 + 0.2 * m) for m in minutes], STARTS[3] + 21)
    x = STARTS[3] + np.array(minutes)
    (known_x, known_y), (gap_x, gap_y) = known_and_not(day, x, 31.0 + 0.2 * np.array(minutes))
    assert np.isnan(known_y).sum() == 1
    assert gap_x[:2] - STARTS[3] == pytest.approx([6.0, 18.0])
    assert np.isnan(gap_y).tolist() == [False, False, True]
    assert len(known_x) == 6
    held = day_at(4, [(STARTS[4] + m, 39.0) for m in (0.0, 12.0)], STARTS[4] + 13)
    assert len(known_and_not(held, STARTS[4] + np.array([0.0, 12.0]), np.full(2, 39.0))[1][0]) == 0


# The words of a stage


@pytest.mark.parametrize(
    ("place", "since", "read_c", "words"),
    [
        (3, 0.0, 30.9, "raise slowly from 31.0 to 39.0 °C over 40 min"),  # the cut holds none
        (3, 0.0, None, "raise slowly from 31.0 to 39.0 °C over 40 min"),
        (3, 45.0, None, "hold 39.0 °C"),
        (3, 45.0, 36.0, "raise to 39.0 °C"),
        (3, 30.0, 38.9, "hold 39.0 °C"),
        (0, 0.0, None, "raise slowly from 10.0 to 31.0 °C over 30 min"),
        (4, 0.0, 39.0, "hold 39.0 °C"),
        (1, 0.0, None, "hold 31.0 °C"),
        (2, 0.0, None, ""),
    ],
)
def test_where_the_temperature_goes(place, since, read_c, words) -> None:
    assert temperature_target_words(PLAN, place, since, read_c) == words


def test_what_is_set_stands_at_the_stage() -> None:
    at = [doing_words(PLAN, stage, 10.0) for stage in PLAN.stages]
    assert "Add 0.004 g propionic." in at[1]
    assert "Pieces of 10 mm." in at[2]
    assert "Draw 3.0 L of whey. Add 2.0 L of water at 60 °C." in at[5]
    assert "Press with 9.0 kg on each mould of 150 mm (5.0 kPa)." in at[6]
    assert "Brine of 20 % salt." in at[7]
    bare = replace(PLAN, mould_mm=None)
    assert "Press with 5.0 kPa." in doing_words(bare, PLAN.stages[6], 10.0)


def test_the_gate_asks_for_a_reading_only_where_nothing_else_is_asked() -> None:
    stir = replace(PLAN.stages[4], acid_target=AcidTarget("curd-ph", 6.3, 6.4))
    gated = replace(PLAN, stages=(*PLAN.stages[:4], stir, *PLAN.stages[5:]))
    readings = [(STARTS[3] + m, 31.0 + 0.15 * m) for m in range(0, 21, 2)]
    day = day_at(3, readings, STARTS[3] + 37, gated)
    assert len(orders(all_words(day))) == 1
