"""A day that goes other than planned: longer, skipped, again, late, turned; timers; checks."""

from __future__ import annotations

import pytest

from journal.curves.day import every_begin
from journal.keeping import Journal, KeepingError
from journal.message import Message
from journal.records import RecordError
from journal.records.calibrations import Calibration
from journal.records.makes import Make, Milk
from journal.records.plans import Plan, Stage
from journal.records.timers import CUT, FLOCCULATION, Timer
from journal.records.traces import STRUCK
from tests.refusals import refused

MINUTE = 60_000


def test_more_minutes_are_kept_with_their_reason(saved: Journal, make: Make) -> None:
    saved.day.lengthen(make.id, 10, "the break is soft.")
    run = saved.day.lengthen(make.id, 5)
    assert (run.extra_min, run.reason) == (15.0, "10 min longer: the break is soft")
    whole = saved.whole(make.id)
    assert whole.minutes_of(0) == 45.0
    assert every_begin(whole) == [0.0, 45.0, 90.0, 100.0, 140.0]
    assert saved.undo() == Message("keeping.act-longer", stage="warm", minutes=5)
    assert saved.whole(make.id).minutes_of(0) == 40.0


def test_a_skipped_stage_is_passed_over(saved: Journal, make: Make) -> None:
    skipped = saved.day.skip_next(make.id, "the milk stood warm")
    assert (skipped.kind, skipped.reason) == ("set", "skipped: the milk stood warm")
    _, following = saved.makes.end_stage(make.id, make.started_ms + 30 * MINUTE)
    assert following is not None
    assert following.kind == "cut"
    assert saved.whole(make.id).minutes_of(1) == 0.0
    assert saved.whole(make.id).run_of("set") is None


def test_the_current_stage_can_be_skipped(saved: Journal, make: Make) -> None:
    saved.makes.end_stage(make.id, make.started_ms + 30 * MINUTE)
    following = saved.day.skip(make.id, make.started_ms + 31 * MINUTE)
    assert (following.kind, following.began_ms) == ("cut", make.started_ms + 31 * MINUTE)
    run = saved.runs.where(make_id=make.id)[1]
    assert (run.skipped, run.began_ms, run.ended_ms) == (True, None, None)
    assert saved.check() == []


def test_the_last_stage_has_nothing_to_skip_after_it(saved: Journal, make: Make) -> None:
    for minutes in (30, 75, 85, 125):
        saved.makes.end_stage(make.id, make.started_ms + minutes * MINUTE)
    with refused(KeepingError, "keeping.nothing-to-skip", stage="drain"):
        saved.day.skip_next(make.id)
    with refused(KeepingError, "keeping.last-stage", stage="drain"):
        saved.day.skip(make.id, make.started_ms + 130 * MINUTE)


def test_a_stage_begun_again_lasts_its_whole_length_from_then(saved: Journal, make: Make) -> None:
    saved.day.lengthen(make.id, 10)
    run = saved.day.again(make.id, make.started_ms + 35 * MINUTE, "it cooled")
    assert run.minutes(30) == 65.0
    assert every_begin(saved.whole(make.id))[1] == 65.0
    with refused(KeepingError, "keeping.had-begun-later", stage="warm"):
        saved.day.again(make.id, make.started_ms + 34 * MINUTE)


def test_turns_are_noted_at_their_instants(saved: Journal, make: Make) -> None:
    first = make.started_ms + 5 * MINUTE
    saved.day.turn(make.id, first)
    saved.day.turn(make.id, first + MINUTE)
    with Journal.open(saved.path, read_only=True) as other:
        assert other.day.running(make.id).turned_ms == (first, first + MINUTE)


def test_a_begin_that_is_put_right_moves_the_end_before_it(saved: Journal, make: Make) -> None:
    saved.makes.end_stage(make.id, make.started_ms + 30 * MINUTE)
    saved.day.begin_at(make.id, make.started_ms + 36 * MINUTE, "a visitor")
    runs = saved.runs.where(make_id=make.id)
    assert runs[0].ended_ms == runs[1].began_ms == make.started_ms + 36 * MINUTE
    assert runs[1].delay_min == 6.0
    with refused(KeepingError, "keeping.before-it-began-later", stage="warm"):
        saved.day.begin_at(make.id, make.started_ms - MINUTE)


def test_the_make_begins_with_its_first_stage(saved: Journal, make: Make) -> None:
    planned = [run.planned_begin_ms for run in saved.runs.where(make_id=make.id)]
    saved.day.begin_at(make.id, make.started_ms - 20 * MINUTE)
    assert saved.makes.get(make.id).started_ms == make.started_ms - 20 * MINUTE
    runs = saved.runs.where(make_id=make.id)
    assert [run.planned_begin_ms + 20 * MINUTE for run in runs] == planned
    assert runs[0].began_ms == make.started_ms - 20 * MINUTE
    saved.undo()
    assert saved.makes.get(make.id).started_ms == make.started_ms
    saved.makes.end_stage(make.id, make.started_ms + 30 * MINUTE)
    with refused(KeepingError, "keeping.before-it-began-later", stage="warm"):
        saved.day.set_times(make.id, {0: make.started_ms + 31 * MINUTE})


def test_times_of_stages_that_are_over_are_put_right_as_one_act(saved: Journal, make: Make) -> None:
    begun = make.started_ms
    for minutes in (30, 60):
        saved.makes.end_stage(make.id, begun + minutes * MINUTE)
    saved.day.set_times(make.id, {1: begun + 25 * MINUTE, 2: begun + 66 * MINUTE})
    runs = saved.runs.where(make_id=make.id)
    assert [run.began_ms for run in runs[:3]] == [begun, begun + 25 * MINUTE, begun + 66 * MINUTE]
    assert [run.ended_ms for run in runs[:2]] == [begun + 25 * MINUTE, begun + 66 * MINUTE]
    saved.undo()
    runs = saved.runs.where(make_id=make.id)
    assert [run.began_ms for run in runs[1:3]] == [begun + 30 * MINUTE, begun + 60 * MINUTE]
    with refused(KeepingError, "keeping.before-it-began-later", stage=runs[1].kind):
        saved.day.set_times(make.id, {2: begun + 20 * MINUTE})
    with refused(KeepingError, "keeping.not-begun", stage=runs[3].kind):
        saved.day.set_times(make.id, {3: begun + 80 * MINUTE})


def setting_plan(multiplier: float | None) -> Plan:
    return Plan(
        "quick set", (Stage("set", 40, target_c=31.0), Stage("cut", 10)), floc_multiplier=multiplier
    )


def test_flecks_say_when_to_cut(saved: Journal) -> None:
    make = saved.makes.begin(setting_plan(2.5), Milk(10.0), 1_000_000)
    saved.day.start_timer(make.id, FLOCCULATION, 1_000_000 + MINUTE)
    test, cut = saved.day.first_flecks(make.id, 1_000_000 + 15 * MINUTE)
    assert (test.took_min, cut) == (14.0, 1_000_000 + 36 * MINUTE)
    run = saved.day.running(make.id)
    assert run.minutes(40.0) == pytest.approx(36.0)
    assert run.reason == "flecks after 14.0 min, × 2.5"
    assert saved.timers.all() == [test]
    saved.undo()
    assert saved.timers.all()[0].running
    assert saved.day.running(make.id).extra_min == 0.0


def test_flecks_outside_a_set_start_a_timer_to_the_cut(saved: Journal, make: Make) -> None:
    plan = saved.plans.save(Plan("slow", (Stage("ripen", 60),), floc_multiplier=3.0))
    other = saved.makes.begin(plan, Milk(10.0), 1_000_000)
    saved.day.start_timer(other.id, FLOCCULATION, 1_000_000)
    _, cut = saved.day.first_flecks(other.id, 1_000_000 + 10 * MINUTE)
    cuts = [t for t in saved.timers.all() if t.name == CUT]
    assert [t.ends_ms for t in cuts] == [cut] == [1_000_000 + 30 * MINUTE]


def test_without_a_multiplier_the_test_only_ends(saved: Journal) -> None:
    make = saved.makes.begin(setting_plan(None), Milk(10.0), 1_000_000)
    with refused(KeepingError, "keeping.no-flocculation"):
        saved.day.first_flecks(make.id, 1_000_000)
    saved.day.start_timer(make.id, FLOCCULATION, 1_000_000)
    assert saved.day.first_flecks(make.id, 1_000_000 + MINUTE)[1] is None
    assert saved.day.running(make.id).extra_min == 0.0


def test_timers_run_side_by_side_and_stop_alone(saved: Journal, make: Make) -> None:
    first = saved.day.start_timer(make.id, "stir", make.started_ms, 5)
    second = saved.day.start_timer(make.id, "kettle", make.started_ms + MINUTE, 10)
    saved.day.stop_timer(first.id, make.started_ms + 6 * MINUTE)
    assert [t.name for t in saved.whole(make.id).timers if t.running] == ["kettle"]
    assert second.ends_ms == make.started_ms + 11 * MINUTE


def ice(make: Make, shown: float, minutes: float, source: str = "") -> Calibration:
    at_ms = make.started_ms + round(minutes * MINUTE)
    return Calibration(make.id, "thermometer", at_ms, (0.0,), (shown,), source=source)


def test_readings_are_corrected_from_a_check_on_and_stay_raw_in_the_file(
    saved: Journal, make: Make
) -> None:
    for minutes, value in ((1, 20.0), (3, 30.0)):
        saved.readings.log(make.id, "milk-temp", value, make.started_ms + minutes * MINUTE)
    saved.calibrations.save(ice(make, 0.4, 2))
    trace = saved.readings.trace(make.id, "milk-temp")
    assert trace.value.tolist() == pytest.approx([20.0, 29.6])
    assert saved.readings.trace(make.id, "milk-temp", raw=True).value.tolist() == [20.0, 30.0]
    newest = saved.readings.last(make.id, 1)[0]
    assert (newest.value, newest.raw) == (pytest.approx(29.6), 30.0)
    assert saved.readings.last(make.id, 2)[1].raw is None
    logged = saved.readings.log(make.id, "milk-temp", 31.4, make.started_ms + 4 * MINUTE)
    assert (logged.value, logged.raw) == (pytest.approx(31.0), 31.4)
    with Journal.open(saved.path, read_only=True) as other:
        assert other.calibrations.all() == other.calibrations.where(make_id=make.id) != []
    assert saved.readings.corrected("milk-temp", 31.4, logged.at_ms) == logged.value


def test_a_check_taken_back_leaves_the_readings_as_they_were_shown(
    saved: Journal, make: Make
) -> None:
    saved.readings.log(make.id, "milk-temp", 30.0, make.started_ms + MINUTE)
    saved.calibrations.save(ice(make, 1.0, 0))
    assert saved.readings.trace(make.id, "milk-temp").value.tolist() == [29.0]
    saved.undo()
    assert saved.readings.trace(make.id, "milk-temp").value.tolist() == [30.0]


def test_a_corrected_reading_is_struck_by_what_is_seen(saved: Journal, make: Make) -> None:
    at = make.started_ms + 5 * MINUTE
    saved.calibrations.save(ice(make, 0.3, 0))
    seen = saved.readings.log(make.id, "milk-temp", 31.4, at)
    saved.readings.strike(make.id, "milk-temp", at, seen.value)
    assert saved.readings.trace(make.id, "milk-temp").flags.tolist() == [STRUCK]
    saved.readings.fold(at_least=1)
    saved.readings.strike(make.id, "milk-temp", at, seen.value, struck=False)
    assert saved.readings.trace(make.id, "milk-temp").flags.tolist() == [0]
    assert saved.readings.trace(make.id, "milk-temp", raw=True).value.tolist() == [31.4]


def test_small_pictures_are_corrected_too_and_other_sources_are_not(
    saved: Journal, make: Make
) -> None:
    at = make.started_ms + 5 * MINUTE
    saved.calibrations.save(ice(make, 1.0, 0))
    saved.readings.add_many(make.id, "milk-temp", [at, at + MINUTE], [30.0, 31.0], "logger")
    saved.readings.add_many(make.id, "milk-temp", [at + 2 * MINUTE], [32.0])
    saved.readings.log(make.id, "milk-temp", 33.0, at + 3 * MINUTE)
    _, low, high = saved.readings.outline(make.id, "milk-temp")
    assert (low.min(), high.max()) == (30.0, 32.0)
    assert saved.readings.trace(make.id, "milk-temp").value.tolist() == [30.0, 31.0, 31.0, 32.0]
    again = saved.readings.add_many(make.id, "milk-temp", [at + 2 * MINUTE], [32.0])
    assert again == 0


def later(saved: Journal, make: Make, days: float) -> Make:
    """A make of the same plan so many days after."""
    plan = saved.plans.get(make.plan_id)
    return saved.makes.begin(plan, make.milk, make.started_ms + round(days * 24 * 60) * MINUTE)


def test_a_check_holds_for_later_makes_until_the_next_and_never_before(
    saved: Journal, make: Make
) -> None:
    before, after = later(saved, make, -3), later(saved, make, 3)
    saved.readings.log(before.id, "milk-temp", 30.0, before.started_ms + MINUTE)
    saved.calibrations.save(ice(make, 0.4, 2))
    saved.readings.log(after.id, "milk-temp", 30.0, after.started_ms + MINUTE)
    saved.calibrations.save(ice(after, -0.2, 10))
    saved.readings.log(after.id, "milk-temp", 30.0, after.started_ms + 11 * MINUTE)
    assert saved.readings.trace(before.id, "milk-temp").value.tolist() == [30.0]
    assert saved.readings.trace(after.id, "milk-temp").value.tolist() == pytest.approx([29.6, 30.2])
    assert saved.readings.trace(after.id, "milk-temp", raw=True).value.tolist() == [30.0, 30.0]
    assert [c.shown for c in saved.whole(after.id).calibrations] == [(0.4,), (-0.2,)]
    assert saved.whole(before.id).calibrations == ()
    with Journal.open(saved.path, read_only=True) as other:
        trace = other.readings.trace(after.id, "milk-temp")
    assert trace.value.tolist() == pytest.approx([29.6, 30.2])


def test_no_correction_from_now_on_is_kept_as_such(saved: Journal, make: Make) -> None:
    after = later(saved, make, 3)
    saved.calibrations.save(ice(make, 0.4, 2))
    saved.readings.log(after.id, "milk-temp", 30.0, after.started_ms + MINUTE)
    done = Calibration.none_from_now(after.id, "thermometer", after.started_ms + 2 * MINUTE)
    saved.calibrations.save(done)
    saved.readings.log(after.id, "milk-temp", 30.0, after.started_ms + 3 * MINUTE)
    assert saved.readings.trace(after.id, "milk-temp").value.tolist() == pytest.approx([29.6, 30.0])
    holding = saved.readings.checks.holding("thermometer", after.started_ms + 3 * MINUTE)
    assert holding is not None
    assert holding.corrects_nothing
    saved.undo()
    saved.undo()
    assert saved.readings.corrected("milk-temp", 30.0, after.started_ms + 3 * MINUTE) == (
        pytest.approx(29.6)
    )


def test_a_check_that_another_program_kept_is_heard_of(saved: Journal, make: Make) -> None:
    saved.readings.log(make.id, "milk-temp", 30.0, make.started_ms + 5 * MINUTE)
    assert saved.readings.trace(make.id, "milk-temp").value.tolist() == [30.0]
    with Journal.open(saved.path) as other:
        other.calibrations.save(ice(make, 1.0, 0))
    assert saved.readings.trace(make.id, "milk-temp").value.tolist() == [29.0]


def test_a_check_in_a_unit_that_failed_corrects_nothing(saved: Journal, make: Make) -> None:
    saved.readings.log(make.id, "milk-temp", 30.0, make.started_ms + 5 * MINUTE)

    def check_then_fail() -> None:
        with saved.unit("a check"):
            saved.calibrations.save(ice(make, 1.0, 0))
            assert saved.readings.trace(make.id, "milk-temp").value.tolist() == [29.0]
            saved.readings.log(make.id, "milk-temp", 999.0, make.started_ms)

    with pytest.raises(RecordError):
        check_then_fail()
    assert saved.readings.trace(make.id, "milk-temp").value.tolist() == [30.0]
    saved.calibrations.save(ice(make, 0.5, 0))
    assert saved.readings.trace(make.id, "milk-temp").value.tolist() == [29.5]


def test_a_timer_is_checked(make: Make) -> None:
    for wrong in (
        {"name": " "},
        {"ends_ms": make.started_ms},
        {"ended_ms": make.started_ms - 1},
    ):
        with pytest.raises(ValueError, match=r"timer|Timer"):
            Timer(**{"make_id": 1, "name": "stir", "started_ms": make.started_ms, **wrong})
