"""A whole day by keys, from the choice of the plan to the weights, with a slow break, a late cook,
sleep, a set clock and a kill -9."""

from __future__ import annotations

import signal

import pytest

from journal.desk.vat.before import USUAL
from journal.keeping import Journal
from journal.records.instants import from_iso
from tests.pace.day_story import DOSES, HIGH_C, LIST, LITRES, PLAN, START, WEIGHTS_KG, ZONE
from tests.pace.replay import Replayed, differences, replay

TIMES_LIFE = 600


@pytest.fixture(scope="module")
def day(tmp_path_factory) -> Replayed:
    """The day, lived once in two processes."""
    return replay(tmp_path_factory.mktemp("day"))


@pytest.fixture(scope="module")
def saved(day):
    """The file that is left."""
    with Journal.open(day.path, read_only=True) as journal:
        yield journal


ZERO = from_iso(START, ZONE)


def ms(second: float | None) -> int | None:
    return None if second is None else ZERO + round(second * 1000)


@pytest.mark.slow
def test_the_day_was_lived_and_one_window_really_killed(day):
    assert day.killed_by == signal.SIGKILL
    lived = day.story.acts[-1].at_s
    assert lived == 24 * 3600
    assert lived / day.worked_s >= TIMES_LIFE


@pytest.mark.slow
def test_it_began_in_plans_with_the_milk_there_was(day, saved):
    """The journal was empty: plan, milk and start were chosen by keys."""
    shown = [day.shown[number] for number in range(3)]
    assert [(report["place"], report["makes"]) for report in shown] == [
        ("plans", 0), ("plans", 0), ("vat", 1),
    ]  # fmt: skip
    (make,) = saved.makes.all()
    assert (make.code, make.milk.litres, make.started_ms) == ("HL-0001", LITRES, ZERO)
    assert saved.plans.get(make.plan_id).name == PLAN
    used = {one.name: one.amount for one in saved.additions.all()}
    assert used == pytest.approx({name: LITRES * dose for name, dose in DOSES.items()})


@pytest.mark.slow
def test_the_list_before_the_start_was_gone_through(day, saved):
    assert len(USUAL) == LIST
    assert [(tick.at_ms, tick.words) for tick in saved.ticks.all()] == [
        (ms(second), USUAL[line]) for second, line in day.story.ticks
    ]
    (check,) = saved.calibrations.all()
    assert (check.instrument, check.known, check.shown) == ("thermometer", (0.0,), (HIGH_C,))


@pytest.mark.slow
def test_every_reading_is_there(day, saved):
    for kind in ("milk-temp", "milk-ph", "curd-ph", "whey-ph"):
        trace = saved.readings.trace(1, kind)
        report = [reading for reading in day.story.readings if reading[0] == kind]
        assert trace.at_ms.tolist() == [ms(second) for _, second, _, _ in report]
        assert trace.value.tolist() == pytest.approx([value for _, _, value, _ in report], abs=1e-9)
        assert trace.flags.tolist() == [flags for _, _, _, flags in report]
    raw = saved.readings.trace(1, "milk-temp", raw=True).value
    corrected = saved.readings.trace(1, "milk-temp").value
    assert raw[0] == corrected[0] == 5.3
    assert (raw[1:] - corrected[1:]).tolist() == pytest.approx([HIGH_C] * (len(raw) - 1))
    assert saved.check() == []


@pytest.mark.slow
def test_every_stage_is_there(day, saved):
    runs = saved.whole(1).runs
    assert len(runs) == len(day.story.runs)
    for run, report in zip(runs, day.story.runs, strict=True):
        assert (run.began_ms, run.ended_ms) == (ms(report.began_s), ms(report.ended_s)), (
            report.label
        )
        assert run.again_ms == tuple(map(ms, report.again_s)), report.label
        assert run.turned_ms == tuple(map(ms, report.turned_s)), report.label
        if not report.again_s:
            assert run.extra_min == pytest.approx(report.extra_min, abs=1e-9), report.label
    assert "10 min longer: soft" in runs[2].reason
    assert saved.makes.get(1).finished_ms == ms(day.story.finished_s)
    assert [(w.code, w.green_weight_kg) for w in saved.wheels.all()] == [
        (f"HL-0001-{letter}", weight) for letter, weight in zip("AB", WEIGHTS_KG, strict=True)
    ]


@pytest.mark.slow
def test_every_timer_is_right_to_the_second(day, saved):
    assert differences(day) == []
    timers = {timer.name: timer for timer in saved.timers.all()}
    assert {
        name: (t.started_ms, t.ends_ms, t.ended_ms) for name, t in timers.items()
    } == {name: tuple(map(ms, report)) for name, report in day.story.timers.items()}  # fmt: skip
    assert [(note.at_ms, note.text) for note in saved.notes.all()] == [
        (ms(second), text) for second, text in day.story.notes
    ]


@pytest.mark.slow
def test_timers_over_the_sleep_the_kill_and_the_restart(day):
    """One rang in sleep, one while the program was dead, one goes on to the second."""
    at = {act.befalls: number for number, act in enumerate(day.story.acts) if act.befalls}
    assert day.shown[at["sleep"]]["beside"]["kettle"] == "15:00 over"
    beside = day.shown[at["restart"]]["beside"]
    assert (beside["cloths"], beside["salt"]) == ("2:00 over", "17:17 to go")
    assert day.shown[at["restart"]]["turned"]
    ends = next(n for n, act in enumerate(day.story.acts) if act.at_s == 60 * 372 + 16)
    assert [day.shown[n]["beside"]["salt"] for n in (ends, ends + 1)] == ["0:01 to go", "0:01 over"]


@pytest.mark.slow
def test_sleep_and_a_set_clock_were_said(day):
    output = {
        act.befalls: day.shown[number].get("said", "")
        for number, act in enumerate(day.story.acts)
        if act.befalls
    }
    assert output["sleep"].startswith("The computer slept for 20 min")
    assert output["set"].startswith("The computer’s clock was set forward by 47 min")
    assert output["restart"].startswith("The computer’s clock was set back by 47 min")
    kill = next(i for i, act in enumerate(day.story.acts) if act.befalls == "kill")
    assert day.shown[kill]["typed"] == "33"
