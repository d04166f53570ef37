"""A whole day at the vat by keys, with a slow break, a late cook, sleep, a set clock, a kill -9."""

from __future__ import annotations

import signal

import pytest

from journal.keeping import Journal
from journal.records.instants import from_iso
from tests.pace.day_story import HIGH_C, START, ZONE
from tests.pace.replay import Replayed, differences, replay

TIMES_LIFE = 600


@pytest.fixture(scope="module")
def day(tmp_path_factory) -> Replayed:
    """The day, lived once in two processes."""
    return replay(tmp_path_factory.mktemp("day"))


@pytest.fixture(scope="module")
def kept(day):
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
    assert lived / day.seconds >= TIMES_LIFE


@pytest.mark.slow
def test_every_reading_is_there(day, kept):
    for kind in ("milk-temp", "milk-ph", "curd-ph", "whey-ph"):
        trace = kept.readings.trace(1, kind)
        told = [reading for reading in day.story.readings if reading[0] == kind]
        assert trace.at_ms.tolist() == [ms(second) for _, second, _, _ in told]
        assert trace.value.tolist() == pytest.approx([value for _, _, value, _ in told], abs=1e-9)
        assert trace.flags.tolist() == [flags for _, _, _, flags in told]
    raw = kept.readings.trace(1, "milk-temp", raw=True).value
    corrected = kept.readings.trace(1, "milk-temp").value
    assert raw[0] == corrected[0] == 5.3
    assert (raw[1:] - corrected[1:]).tolist() == pytest.approx([HIGH_C] * (len(raw) - 1))
    assert kept.check() == []


@pytest.mark.slow
def test_every_stage_is_there(day, kept):
    runs = kept.whole(1).runs
    assert len(runs) == len(day.story.runs)
    for run, told in zip(runs, day.story.runs, strict=True):
        assert (run.began_ms, run.ended_ms) == (ms(told.began_s), ms(told.ended_s)), told.label
        assert run.again_ms == tuple(map(ms, told.again_s)), told.label
        assert run.turned_ms == tuple(map(ms, told.turned_s)), told.label
        if not told.again_s:
            assert run.extra_min == pytest.approx(told.extra_min, abs=1e-9), told.label
    assert "10 min longer: soft" in runs[2].reason
    assert kept.makes.get(1).finished_ms == ms(day.story.finished_s)
    assert [w.green_weight_kg for w in kept.wheels.all()] == [1.18]


@pytest.mark.slow
def test_every_timer_is_right_to_the_second(day, kept):
    assert differences(day) == []
    timers = {timer.name: timer for timer in kept.timers.all()}
    assert {
        name: (t.started_ms, t.ends_ms, t.ended_ms) for name, t in timers.items()
    } == {name: tuple(map(ms, told)) for name, told in day.story.timers.items()}  # fmt: skip
    assert [(note.at_ms, note.text) for note in kept.notes.all()] == [
        (ms(second), text) for second, text in day.story.notes
    ]


@pytest.mark.slow
def test_sleep_and_a_set_clock_were_said(day):
    said = {
        act.befalls: day.shown[number].get("said", "")
        for number, act in enumerate(day.story.acts)
        if act.befalls
    }
    assert said["sleep"].startswith("The computer slept for 20 min")
    assert said["set"].startswith("The computer’s clock was set forward by 47 min")
    assert said["restart"].startswith("The computer’s clock was set back by 47 min")
    kill = next(i for i, act in enumerate(day.story.acts) if act.befalls == "kill")
    assert day.shown[kill]["typed"] == "33"
