"""Courses that stall, the weighing of working, slow and stalled ones, and what is said of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.curves.acid_limits import limits_of
from journal.curves.acidity import fan, fit, forecast
from journal.curves.culture_time import culture_in_min, culture_time
from journal.curves.leaning import CALLED, FAILS, AcidFit, chance_of_failing, prior_of
from journal.curves.plan_acid import planned_make
from journal.curves.sampling import sampled
from journal.curves.sigmoid import falling
from journal.curves.slow_acid import (
    CAUTION,
    cautioned,
    expected_at,
    failing,
    held_to_limits,
    is_slow,
    missed,
)
from journal.curves.solver import Prior, approach
from journal.curves.stall import ph_of, stalling, tau_of, working
from journal.message import Message
from journal.records.makes import Addition, Make, Milk
from journal.records.plan_text import builtin_plan
from journal.records.plans import AcidTarget, Plan, Stage
from journal.records.traces import Trace
from journal.records.whole import WholeMake
from journal.wording import text_of

COURSE = np.array([6.62, 4.9, np.log(200), np.log(45), -0.8, 0.15])
WARM = Plan("Held at 31", (Stage("ripen", 900, target_c=31.0, ramp_min=0),), milk_c=31.0)
TAU = np.arange(0.0, 900.0, 7.0)


def stalled_at(tau: float, left: float) -> np.ndarray:
    return np.r_[COURSE, tau, np.log(left)]


@pytest.fixture
def warm(kitchen_of):
    return kitchen_of(plan=WARM)


def read(kitchen, minutes, course, noise=0.01, seed=1):
    whole = kitchen.make(finished=False)
    at = np.asarray(minutes, float)
    ph = ph_of(course, culture_time(whole).at(at))[0]
    ph = ph + np.random.default_rng(seed).normal(0, noise, len(at))
    return replace(whole, traces={"curd-ph": kitchen.trace("curd-ph", at, ph)})


def earlier(kitchen, count=8):
    rng = np.random.default_rng(4)
    courses = COURSE + rng.normal(size=(count, 6)) * [0.02, 0.05, 0.04, 0.05, 0.1, 0.01]
    return [
        fit(read(kitchen, np.arange(0, 500, 25.0), working(c)[0], seed=i))
        for i, c in enumerate(courses)
    ]


def test_a_course_that_does_not_stall_is_the_plain_one() -> None:
    plain = falling(COURSE, TAU, np.zeros(len(TAU)))[0]
    assert ph_of(working(COURSE), TAU)[0] == pytest.approx(plain)


def test_until_it_stalls_it_is_the_same_and_then_it_lies_above() -> None:
    plain, slow = ph_of(working(COURSE), TAU)[0], ph_of(stalled_at(150.0, 0.1), TAU)[0]
    assert slow[TAU <= 150] == pytest.approx(plain[TAU <= 150])
    assert (slow[TAU > 160] > plain[TAU > 160]).all()
    assert (np.diff(slow) <= 0).all()


def test_when_it_passes_is_the_reverse_of_its_course() -> None:
    course = stalled_at(150.0, 0.2)
    for ph in (6.5, 6.2, 5.6):
        assert ph_of(course, tau_of(course, ph))[0] == pytest.approx([ph])
    assert np.isinf(tau_of(course, 4.5)).all()


def test_the_slopes_of_the_rounded_bend_are_those_of_its_course() -> None:
    course, tau = stalled_at(140.0, 0.15), np.arange(10.0, 400.0, 13.0)
    _, slopes = stalling(course, tau, np.zeros(len(tau)))
    for i in range(8):
        step = np.zeros(8)
        step[i] = 1e-5
        up = stalling(course + step, tau, np.zeros(len(tau)))[0]
        down = stalling(course - step, tau, np.zeros(len(tau)))[0]
        assert slopes[:, i] == pytest.approx((up - down) / 2e-5, abs=2e-6)


def test_sampling_finds_the_size_and_the_middle_of_a_bent_density() -> None:
    """A banana whose size is known: y given x is normal about x², x normal."""
    prior = Prior(np.zeros(2), np.diag([4.0, 40.0]))

    def target(trial: np.ndarray) -> np.ndarray:
        x, y = trial.T
        return -(x**2) / 2 - (y - x**2) ** 2 / 2 / 0.09 - np.log(2 * np.pi * 0.3) + 3.0

    trial, log_weight = sampled([], prior, target, np.random.default_rng(1))
    assert np.logaddexp.reduce(log_weight) == pytest.approx(3.0, abs=0.15)
    weight = np.exp(log_weight - log_weight.max())
    assert weight @ trial[:, 1] / weight.sum() == pytest.approx(1.0, abs=0.2)


def test_an_approach_ends_near_the_solution() -> None:
    tau, prior = np.arange(0.0, 400.0, 20.0), Prior(COURSE, np.diag([0.1] * 6))
    ph = falling(COURSE + np.array([0, 0.1, 0.1, 0, 0, 0]), tau, np.zeros(20))[0]
    found = approach(lambda c: falling(c, tau, np.zeros(20)), ph, COURSE, noise=0.01, prior=prior)
    assert np.sqrt(found.rss / 20) < 0.005


def test_a_stall_is_called_and_a_working_culture_is_not(warm) -> None:
    past, minutes = earlier(warm), np.arange(0, 301, 25.0)
    sound = forecast(read(warm, minutes, working(COURSE)[0]), 5.4, past=past)
    ill = forecast(read(warm, minutes, stalled_at(150.0, 0.08)), 5.4, past=past)
    assert not sound.called
    assert sound.stalled < 0.02
    assert sound.message is None
    assert ill.called
    assert ill.stalled > 0.98
    assert "Staphylococcus aureus" in text_of(ill.message)
    assert ill.reached_at_ms is None or ill.reached_at_ms > sound.high_at_ms


def test_a_slow_culture_is_called_too(warm) -> None:
    slow = COURSE + np.array([0, 0, 0.8, 0.8, 0, 0])
    got = fit(read(warm, np.arange(0, 301, 25.0), working(slow)[0]), earlier(warm))
    assert got.called


def test_before_it_shows_it_looks_sound_and_the_range_is_wider_for_it(warm) -> None:
    past, minutes = earlier(warm), np.arange(0, 100, 25.0)
    found = fit(read(warm, minutes, stalled_at(150.0, 0.08)), past)
    assert found.stalled < 0.2
    failing = found.draws[:, 6] < 1e6
    assert 0 < failing.mean() < 0.2
    drawn = tau_of(found.draws, 5.4)
    assert np.quantile(drawn, 0.97) > 1.3 * np.quantile(drawn[~failing], 0.9)


def test_the_fan_of_a_stalled_culture_stays_up(warm) -> None:
    past = earlier(warm)
    whole = read(warm, np.arange(0, 301, 25.0), stalled_at(150.0, 0.05))
    got = fan(whole, past=past)
    assert got.mid[-1] > 5.6
    assert (np.diff(got.mid) <= 1e-9).all()


def test_the_chance_of_failing_is_from_memory_until_the_journal_has_its_own(warm) -> None:
    past = earlier(warm)
    assert chance_of_failing([], "mesophilic") == pytest.approx(FAILS)
    assert chance_of_failing(past, "mesophilic") < FAILS
    failed = [replace(p, failed=True) for p in past]
    assert chance_of_failing(failed, "mesophilic") == pytest.approx((1 + 8) / (12 + 8))
    assert chance_of_failing(failed, "thermophilic") == pytest.approx(FAILS)


def test_a_past_make_far_slower_than_the_others_says_nothing_of_a_working_one(warm) -> None:
    past = earlier(warm)
    slow = replace(past[0], params=past[0].params + np.array([0, 0, 0.6, 0, 0, 0]))
    prior, used = prior_of([*past, slow], "mesophilic")
    assert used == len(past)
    assert prior.mean == pytest.approx(prior_of(past, "mesophilic")[0].mean)
    assert chance_of_failing([*past, slow], "mesophilic") > chance_of_failing(past, "mesophilic")


def test_a_past_make_that_stalled_late_says_nothing_of_a_working_one_either(warm) -> None:
    past = earlier(warm)
    late = fit(read(warm, np.arange(0, 500, 25.0), stalled_at(190.0, 0.1)))
    prior, used = prior_of([*past, late], "mesophilic")
    assert used == len(past)
    assert prior.mean == pytest.approx(prior_of(past, "mesophilic")[0].mean)


PRESSED = replace(WARM, style="semi-hard, uncooked and pressed")


@pytest.fixture
def pressed(kitchen_of):
    return kitchen_of(plan=PRESSED)


def test_six_hours_after_the_culture_and_slow_acid(pressed) -> None:
    past, minutes = earlier(pressed), np.arange(0, 301, 25.0)
    sound = read(pressed, minutes, working(COURSE)[0])
    ill = read(pressed, minutes, stalled_at(120.0, 0.05))
    good, bad = expected_at(sound, fit(sound, past), 6), expected_at(ill, fit(ill, past), 6)
    assert good.low <= good.ph <= good.high < 6.3
    assert bad.ph > 6.3
    assert missed(ill, fit(ill, past)).chance > 0.9
    assert missed(sound, fit(sound, past)) is None
    assert is_slow(ill, fit(ill, past))
    assert not is_slow(sound, fit(sound, past))


def test_without_a_past_slow_acid_is_told_by_the_six_hours(pressed) -> None:
    whole = read(pressed, np.arange(0, 331, 30.0), stalled_at(60.0, 0.02))
    assert is_slow(whole, fit(whole))


def test_what_is_said_of_a_failing_culture() -> None:
    assert failing(0.1, called=False) is None
    assert failing(0.4, called=False) == Message("curves.may-stall", chance=0.4)
    output = failing(0.999, called=True)
    assert output == Message("curves.stalled", chance=0.999)
    assert "99 in 100" in text_of(output)
    whole = cautioned(output)
    assert whole.values["said"] == output
    assert text_of(whole) == f"{text_of(output)} {text_of(CAUTION)}"


def test_a_fit_is_called_from_its_chance(warm) -> None:
    found = fit(read(warm, np.arange(0, 100, 25.0), working(COURSE)[0]))
    assert isinstance(found, AcidFit)
    assert replace(found, stalled=CALLED).called
    assert not replace(found, stalled=CALLED - 0.01).called


def test_an_uncooked_pressed_curd_that_stalls_below_its_published_limit_is_named() -> None:
    """pH 6.15 meets the tolerated 6.3 at 6 h (Delbes et al. 2006), and not the plan's own target of
    5.5 or below: 5.6 out of the press is a failed culture (common practice, no source)."""
    plan = builtin_plan("tomme")
    start, zero = 1_760_000_000_000, culture_in_min(planned_make(plan))
    hours = np.arange(0.0, 11.0)
    at = start + np.round((hours * 60 + zero) * 60_000).astype(np.int64)
    trace = Trace("curd-ph", at, np.maximum(6.6 - 0.13 * hours, 6.15), np.zeros(11, np.uint8))
    whole = WholeMake(Make("HL-0001", 1, Milk(10), start), plan, traces={"curd-ph": trace})
    assert fit(whole).called


def test_half_of_its_way_is_asked_by_the_clock_of_its_culture() -> None:
    """Wanted is pH 5.4 at 600 min, two hours late at the most, of a culture that went in at 240."""
    asked = AcidTarget("curd-ph", 5.2, 5.4)
    plan = Plan("Soured", (Stage("drain", 600, target_c=31.0, ramp_min=0, acid_target=asked),))
    make = Make("HL-0001", 1, Milk(10), 0)
    added = Addition(1, 1, "culture", "culture", 2.0, "g", 240 * 60_000)
    whole = WholeMake(make, plan, additions=(added,))
    idle = working(COURSE + np.array([0, 0, 4.0, 0, 0, 0]))  # stays at the milk's own pH
    fitted = replace(fit(whole), draws=np.tile(idle, (16, 1)), readings=5, stalled=0.1)
    due = (limits_of(plan)[-1].hours + 4.0) * 60
    assert held_to_limits(whole, fitted, due - 1) == 0.1
    assert held_to_limits(whole, fitted, due) == 1.0
