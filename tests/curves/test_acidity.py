"""The acidity fit and forecast: what they lean on, and how often they are right."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest

from journal.curves import CurveError
from journal.curves.acidity import AcidFit, basis, fan, fit, forecast, prior_of, tells_when
from journal.curves.culture_time import culture_time
from journal.curves.sigmoid import ph_at, tau_when
from journal.records.makes import Addition
from journal.records.plans import Dose, Plan, Stage
from journal.records.traces import STRUCK
from journal.records.whole import WholeMake
from journal.wording import text_of
from journal.wording.vat import doubt_text
from tests.refusals import refused

COURSE = np.array([6.62, 4.8, np.log(200), np.log(45), -0.4, 0.15])
WARM = Plan("Held at 31", (Stage("ripen", 600, target_c=31.0, ramp_min=0),), milk_c=31.0)


@pytest.fixture
def warm(kitchen_of):
    return kitchen_of(plan=WARM)


def read(kitchen, minutes, kind="curd-ph", course=COURSE, noise=0.0, seed=1):
    """A make whose pH follows a course in culture time, with sensor noise."""
    whole = kitchen.make(finished=False)
    at = np.asarray(minutes, float)
    ph = ph_at(course, culture_time(whole).at(at), float(kind == "whey-ph"))[0]
    ph = ph + np.random.default_rng(seed).normal(0, noise, len(at))
    return replace(whole, traces={kind: kitchen.trace(kind, at, ph)})


def minutes_of(kitchen, at_ms):
    return (at_ms - kitchen.start_ms) / 60_000


def true_minutes(whole, ph, course=COURSE, whey=0.0) -> float:
    return float(culture_time(whole).when(tau_when(course, ph, whey))[0])


def test_a_well_read_make_is_foretold_closely(warm) -> None:
    whole = read(warm, np.arange(0, 400, 10.0))
    got = forecast(whole, 5.4)
    true = true_minutes(whole, 5.4)
    assert minutes_of(warm, got.reached_at_ms) == pytest.approx(true, abs=1.5)
    assert got.low_at_ms < got.reached_at_ms < got.high_at_ms
    assert got.chance == 1.0
    assert "40 pH readings" in text_of(got.basis)
    assert "no past make" in text_of(got.basis)


def test_whey_passes_a_level_later_than_curd(warm) -> None:
    whole = read(warm, np.arange(0, 300, 15.0))
    curd, whey = forecast(whole, 5.6), forecast(whole, 5.6, of="whey")
    assert whey.of == "whey"
    assert whey.reached_at_ms > curd.reached_at_ms


def test_the_offset_of_whey_is_found_from_both(warm) -> None:
    course = COURSE.copy()
    course[5] = 0.22
    minutes = np.arange(0, 400, 10.0)
    curd = read(warm, minutes, course=course)
    whey = read(warm, minutes, kind="whey-ph", course=course)
    both = replace(curd, traces={**curd.traces, **whey.traces})
    assert fit(both).params[5] == pytest.approx(0.22, abs=0.02)
    assert fit(both).readings == 80
    assert fit(curd).params[5] == pytest.approx(0.15)  # nothing of the whey: the prior's


def test_a_level_below_the_end_is_never_reached(warm) -> None:
    got = forecast(read(warm, np.arange(0, 600, 10.0)), 4.3)
    assert got.reached_at_ms is None
    assert got.low_at_ms is None
    assert got.high_at_ms is None
    assert got.chance < 0.1


def test_too_cold_a_milk_never_gets_there(kitchen_of) -> None:
    cold = Plan("Cold", (Stage("ripen", 60 * 80, target_c=5.0, ramp_min=0),), milk_c=5.0)
    assert forecast(kitchen_of(plan=cold).make(finished=False), 5.4).reached_at_ms is None


def test_before_three_readings_it_leans_on_the_past_and_says_so(warm) -> None:
    past = [replace(fit(read(warm, np.arange(0, 400, 20.0), seed=i))) for i in range(5)]
    whole = read(warm, [0, 30.0])
    got = forecast(whole, 5.4, past=past)
    assert text_of(got.basis) == "Only 2 pH readings, so this relies on 5 past makes."
    true = true_minutes(whole, 5.4)
    alone = forecast(whole, 5.4)
    assert abs(minutes_of(warm, got.reached_at_ms) - true) < abs(
        minutes_of(warm, alone.reached_at_ms) - true
    )
    assert got.high_at_ms - got.low_at_ms < alone.high_at_ms - alone.low_at_ms
    none = forecast(warm.make(finished=False), 5.4, past=past[:1])
    assert text_of(none.basis) == "No pH reading yet, so this relies on 1 past make."


def test_the_basis_counts_what_there_is(warm) -> None:
    found = fit(read(warm, [0, 60, 120, 180.0]))
    assert text_of(basis(found)) == (
        "Based on 4 pH readings and no past make; "
        "the usual course of a mesophilic culture fills in the rest."
    )
    assert (
        text_of(basis(replace(found, past=3)))
        == "Based on 4 pH readings, and a little on 3 past makes."
    )
    assert text_of(basis(replace(found, readings=1))) == (
        "Only 1 pH reading and no past make, "
        "so this relies on the usual course of a mesophilic culture."
    )


def test_only_past_makes_of_that_culture_with_readings_enough_are_used(warm) -> None:
    good = fit(read(warm, np.arange(0, 300, 20.0)))
    other = replace(good, culture_type="thermophilic")
    thin = replace(good, readings=2)
    assert prior_of([good, other, thin], "mesophilic")[1] == 1
    wide, one = prior_of([], "mesophilic")[0], prior_of([good], "mesophilic")[0]
    many = prior_of([good] * 30, "mesophilic")[0]
    near = [abs(p.mean[2] - good.params[2]) for p in (wide, one, many)]
    assert near == sorted(near, reverse=True)
    assert np.diag(many.covariance)[2] < np.diag(wide.covariance)[2]
    assert (np.linalg.eigvalsh(many.covariance) > 0).all()


def test_makes_of_the_same_plan_are_leant_on_before_others_and_failed_ones_never(warm) -> None:
    sweet = COURSE.copy()
    sweet[1] = 5.2
    mine = [
        replace(fit(read(warm, np.arange(0, 500, 20.0), course=sweet)), plan="Washed")
        for _ in range(3)
    ]
    others = [fit(read(warm, np.arange(0, 500, 20.0))) for _ in range(9)]
    prior, used = prior_of([*others, *mine], "mesophilic", "Washed")
    assert used == 3
    assert prior.mean[1] == pytest.approx(5.2, abs=0.03)
    assert prior_of([*others, *mine[:2]], "mesophilic", "Washed")[1] == 11
    failed = [replace(f, failed=True) for f in mine]
    assert prior_of([*others, *failed], "mesophilic", "Washed")[1] == 9


def test_makes_of_other_plans_tell_how_far_makes_lie_apart_but_not_where(warm) -> None:
    rng = np.random.default_rng(8)

    def made(plan: str, lower: float, count: int, spread: float) -> list[AcidFit]:
        out = []
        for i in range(count):
            course = COURSE + np.array([0, lower - COURSE[1], rng.normal(0, spread), 0, 0, 0])
            fitted = fit(read(warm, np.arange(0, 500, 20.0), course=course, noise=0.01, seed=i))
            out.append(replace(fitted, plan=plan))
        return out

    mine = made("Washed", 5.2, 3, 0.01)
    alike, apart = made("Hard", 4.7, 9, 0.01), made("Hard", 4.7, 9, 0.2)
    few, same, wider = (
        prior_of([*mine, *others], "mesophilic", "Washed")[0] for others in ([], alike, apart)
    )
    assert same.mean == pytest.approx(few.mean, abs=0.05)
    assert same.covariance[2, 2] < few.covariance[2, 2]
    assert wider.covariance[2, 2] > 4 * same.covariance[2, 2]


def test_each_reading_narrows_the_range_in_the_end(warm) -> None:
    widths = []
    for count in (3, 12, 20):
        whole = read(warm, np.arange(count) * 12.0, noise=0.02, seed=3)
        got = forecast(whole, 5.4)
        widths.append(got.high_at_ms - got.low_at_ms)
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] < 0.2 * widths[0]


def test_struck_readings_do_not_count(warm) -> None:
    whole = read(warm, np.arange(0, 300, 15.0))
    trace = whole.trace("curd-ph")
    spoilt, flags = trace.value.copy(), trace.flags.copy()
    spoilt[9], flags[9] = 4.2, STRUCK
    struck = replace(whole, traces={"curd-ph": replace(trace, value=spoilt, flags=flags)})
    assert fit(struck).readings == fit(whole).readings - 1
    assert forecast(struck, 5.4).reached_at_ms == pytest.approx(
        forecast(whole, 5.4).reached_at_ms, abs=60_000
    )


def test_the_probes_residual_is_told(warm) -> None:
    found = fit(read(warm, np.arange(0, 500, 2.0), noise=0.05))
    assert found.sensor_sd == pytest.approx(0.05, rel=0.15)


def test_a_warmer_vat_is_sooner_and_a_hot_one_slower_for_mesophiles(kitchen_of) -> None:
    def when(temp_c: float) -> float:
        plan = Plan("Held", (Stage("ripen", 900, target_c=temp_c, ramp_min=0),), milk_c=temp_c)
        whole = kitchen_of(plan=plan).make(finished=False)
        return forecast(whole, 5.4).reached_at_ms

    assert when(33) < when(28) < when(22)
    assert when(33) < when(39)


def test_the_plans_cook_ahead_shows_in_the_forecast(kitchen_of) -> None:
    def made(cook_c: float):
        stages = (
            Stage("ripen", 90, target_c=31.0, ramp_min=0),
            Stage("cook", 30, target_c=cook_c),
            Stage("pitch", 300, target_c=cook_c, ramp_min=0),
        )
        kitchen = kitchen_of(plan=Plan("Cooked", stages, milk_c=31.0))
        ph = kitchen.trace("milk-ph", [0, 40, 80], [6.62, 6.60, 6.54])
        return kitchen.make(ph, begun=1, finished=False)

    assert forecast(made(40.0), 5.4).reached_at_ms > forecast(made(34.0), 5.4).reached_at_ms


def test_what_was_logged_counts_before_what_was_planned(warm) -> None:
    whole = warm.make(finished=False)
    minutes = np.arange(0, 121, 5.0)
    cold = replace(whole, traces={"milk-temp": warm.trace("milk-temp", minutes, minutes * 0 + 20)})
    at = np.array([120.0])
    assert culture_time(cold).at(at) < 0.6 * culture_time(whole).at(at)


def test_curd_out_of_the_vat_cools_slowly_and_a_thermophilic_culture_wakes(kitchen_of) -> None:
    stages = (Stage("cook", 60, target_c=54.0, ramp_min=0), Stage("press", 1200))
    plan = Plan("Hot", stages, milk_c=54.0, culture_type="thermophilic")
    time_ = culture_time(kitchen_of(plan=plan).make(begun=1, finished=False))
    assert time_.at(np.array([60.0])) == pytest.approx(0, abs=1e-9)
    assert time_.at(np.array([400.0])) > 100


def test_the_clock_of_the_culture_starts_when_it_goes_in(kitchen) -> None:
    whole = kitchen.make(finished=False)
    assert culture_time(whole).minutes[0] == pytest.approx(26)  # the ripening's begin
    added = Addition(1, 2, "culture", "mixed strains", 1.0, "g", kitchen.at(33))
    assert culture_time(replace(whole, additions=(added,))).minutes[0] == pytest.approx(33)
    dose = Dose("culture", "mixed strains", 0.1, "g")
    stages = (replace(kitchen.plan.stages[0], doses=(dose,)), *kitchen.plan.stages[1:])
    plan = replace(kitchen.plan, stages=stages)
    assert culture_time(replace(whole, plan=plan)).minutes[0] == 0.0


def test_the_fan_holds_the_middle_and_passes_the_forecast(warm) -> None:
    whole = read(warm, np.arange(0, 130, 10.0), noise=0.01)
    got = fan(whole)
    assert got.minutes[0] == pytest.approx(120)
    assert got.minutes[-1] == pytest.approx(600)
    assert (got.low <= got.mid + 1e-9).all()
    assert (got.mid <= got.high + 1e-9).all()
    assert (np.diff(got.mid) <= 0).all()
    report = minutes_of(warm, forecast(whole, 5.4).reached_at_ms)
    assert np.interp(report, got.minutes, got.mid) == pytest.approx(5.4, abs=0.01)
    whey = fan(whole, "whey", from_min=120, to_min=300, points=10)
    assert len(whey.minutes) == 10
    apart = whey.mid - np.interp(whey.minutes, got.minutes, got.mid)
    assert (apart > 0).all()
    assert apart[-1] == pytest.approx(0.15, abs=0.01)


def test_the_same_make_is_told_the_same_each_time(warm) -> None:
    whole = read(warm, np.arange(0, 130, 10.0))
    assert forecast(whole, 5.4) == forecast(whole, 5.4)
    assert forecast(whole, 5.4, fitted=fit(whole)) == forecast(whole, 5.4)


def test_what_cannot_be_foretold_is_refused(warm) -> None:
    whole = warm.make(finished=False)
    with refused(CurveError, "curves.forecast-of"):
        forecast(whole, 5.4, of="milk")
    with refused(CurveError, "curves.forecast-ph"):
        forecast(whole, 54.0)
    with refused(CurveError, "curves.no-culture-type"):
        prior_of([], "wild")


def timed(whole: WholeMake) -> float:
    """Seconds of work, which a busy machine does not make longer."""
    began = time.thread_time()
    forecast(whole, 5.4)
    return time.thread_time() - began


def test_a_logger_of_many_readings_is_thinned_not_slowed(warm) -> None:
    whole = read(warm, np.linspace(0, 400, 50_000), noise=0.03)
    few = read(warm, np.linspace(0, 400, 60), noise=0.03)
    got = forecast(whole, 5.4)
    turns = [(timed(whole), timed(few)) for _ in range(7)]
    many, bare = (min(times) for times in zip(*turns, strict=True))
    assert many < 2 * bare  # the same forecast on as many readings as are fitted at most
    assert "50000 pH readings" in text_of(got.basis)
    assert minutes_of(warm, got.reached_at_ms) == pytest.approx(true_minutes(whole, 5.4), abs=2.0)


def held_share(kitchen, courses, past, noise=0.03) -> float:
    """How often the 80 % range of makes read by hand half-way holds the true instant."""
    held = 0
    for i, course in enumerate(courses):
        minutes = np.arange(0, 150, 25.0)
        whole = read(kitchen, minutes, course=course, noise=noise, seed=100 + i)
        got = forecast(whole, 5.4, past=past)
        true = kitchen.start_ms + true_minutes(whole, 5.4, course) * 60_000
        high = np.inf if got.high_at_ms is None else got.high_at_ms
        held += got.low_at_ms is not None and got.low_at_ms <= true <= high
    return held / len(courses)


def test_without_a_past_the_range_holds_the_truth_eight_times_in_ten(warm) -> None:
    """200 invented makes drawn from the wide prior: 80 % ± three standard errors."""
    prior = prior_of([], "mesophilic")[0]
    courses = np.random.default_rng(12).multivariate_normal(prior.mean, prior.covariance, 200)
    error = np.sqrt(0.8 * 0.2 / 200)
    assert held_share(warm, courses, ()) == pytest.approx(0.8, abs=3 * error)


def test_with_ten_past_makes_the_range_still_holds_it(warm) -> None:
    """200 makes of one culture: not less than 80 % by three standard errors, nor always."""
    rng = np.random.default_rng(11)
    courses = COURSE + rng.normal(size=(210, 6)) * [0.03, 0.08, 0.12, 0.12, 0.3, 0.02]
    minutes = np.arange(0, 400, 25.0)
    past = [
        fit(read(warm, minutes, course=c, noise=0.03, seed=i)) for i, c in enumerate(courses[:10])
    ]
    assert 0.8 - 3 * np.sqrt(0.8 * 0.2 / 200) <= held_share(warm, courses[10:], past) <= 0.95


def test_courses_of_any_usual_shape_are_held(warm) -> None:
    """150 makes, logistic, Gompertz's and between: no less than 80 % by three standard errors."""
    rng = np.random.default_rng(5)
    courses = COURSE + rng.normal(size=(150, 6)) * [0.03, 0.08, 0.12, 0.12, 0.0, 0.02]
    courses[:, 4] = np.resize([0.0, -1.0, -8.0], 150)
    assert held_share(warm, courses, ()) >= 0.8 - 3 * np.sqrt(0.8 * 0.2 / 150)


def test_a_gate_near_the_milks_own_ph_is_not_awaited(warm) -> None:
    """Guelph, cheddar: rennet goes in with the milk down by 0.05 pH, less than a sensor can
    tell."""
    found = fit(read(warm, [0, 30.0], kind="milk-ph"))
    assert not tells_when(found, 6.62 - 0.05)
    assert not tells_when(fit(warm.make(finished=False)), 6.58)
    assert tells_when(found, 6.3)


def test_a_fit_is_plain_data() -> None:
    names = {"params", "draws", "sensor_sd", "readings", "past", "culture_type"}
    names |= {"plan", "failed", "stalled", "acid_targets", "met", "titrated"}
    assert set(AcidFit.__dataclass_fields__) == names


@pytest.mark.parametrize("shown", [0, 1, 3, 5])
def test_will_not_is_said_only_where_nine_in_ten_never_get_there(warm, shown) -> None:
    """Levels about where the course ends: the chance falls from sure to none."""
    whole = read(warm, np.linspace(30, 500, shown))
    fitted = fit(whole)
    for ph in np.arange(3.8, 5.6, 0.05):
        found = forecast(whole, float(ph), fitted=fitted)
        assert (found.tenths == 0) == (found.chance <= 0.1)
        words = doubt_text(found, "14:00")
        assert ("will not" in words) == (found.chance <= 0.1)
        if found.tenths:
            assert f"{found.tenths} in 10" in words
            assert found.tenths / 10 <= found.chance < found.tenths / 10 + 0.1 + 1e-9
            if found.reached_at_ms is None:
                assert found.by_at_ms is not None
