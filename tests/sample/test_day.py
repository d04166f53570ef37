"""Days at the vat: plausible temperatures, acid targets, a make that fails, curves that stray."""

from __future__ import annotations

import numpy as np
import pytest

from journal.sample.culture import BEST_C, SimulatedCulture, Souring
from journal.sample.design import FAILED, HURRIED, intents, numbers
from journal.sample.made import Made, made
from tests.present import NOW


@pytest.fixture(scope="module")
def kitchen() -> list[Made]:
    return made(1, 24, NOW)


def finished(kitchen: list[Made]) -> list[Made]:
    return [one for one in kitchen if not one.day.failed and not one.running]


def test_temperatures_stay_where_milk_and_curd_can_be(kitchen: list[Made]) -> None:
    for one in kitchen:
        temp = one.day.vat.temperature_at(np.arange(0.0, 480.0))
        goal = one.intent.version.cook_c
        assert 2.0 < temp[0] < 9.0
        assert temp.min() > 2.0
        assert temp.max() < goal + 1.5  # coasts, but is no other make


def test_no_curve_follows_the_plan_but_all_stay_near_it(kitchen: list[Made]) -> None:
    for one in kitchen:
        day = one.day
        at = np.arange(day.begin_of("ripen"), day.end_of("cook"))
        plan = day.plan.temperature_at(at, [*day.begins[:-1], *_rest(one)])
        off = day.vat.temperature_at(at) - plan
        assert 0.1 < np.sqrt(np.mean(off**2)) < 2.0
        assert np.abs(off).max() > 0.3


def _rest(one: Made) -> list[float]:
    """Begins of stages that never came."""
    missing = len(one.day.plan.stages) - len(one.day.begins) + 1
    return [one.day.begins[-1] + 10.0 * (i + 1) for i in range(missing)]


def test_cook_ends_near_its_target(kitchen: list[Made]) -> None:
    for one in kitchen:
        end = one.day.vat.temperature_at(np.array([one.day.end_of("cook")]))[0]
        assert abs(end - one.intent.version.cook_c) < 0.8


def test_curd_sours_through_its_gates_in_order(kitchen: list[Made]) -> None:
    for one in finished(kitchen):
        assert one.facts is not None
        end = one.day.ph_at(one.day.begins[-1])
        assert 6.5 > one.facts.drain_ph > one.facts.mill_ph > end > 4.8


def test_acid_never_turns_back(kitchen: list[Made]) -> None:
    for one in kitchen:
        ph = one.day.souring.ph_at(np.arange(0.0, one.day.begins[-1]))
        assert np.all(np.diff(ph) <= 1e-12)


def test_one_make_fails_by_slow_acid_after_looking_sound(kitchen: list[Made]) -> None:
    failed = [one for one in kitchen if one.day.failed]
    assert [one.number for one in failed] == [FAILED]
    day = failed[0].day
    culture_in = day.begin_of("ripen")
    # Six hours after the culture went in the curd is still above the plan's own line of pH 6.2.
    assert day.ph_at(culture_in + 360.0) > 6.2
    others = [one.day.ph_at(one.day.begin_of("ripen") + 360.0) for one in finished(kitchen)]
    assert max(others) < 5.8
    assert failed[0].cheeses == ()


def test_acid_slows_in_a_hot_vat() -> None:
    # Lactococci slow from about 35 °C (University College Cork authors, cheesescience.net).
    culture = SimulatedCulture(6.65, 4.95, 150.0, 0.0056)
    fallen = []
    for temp in (BEST_C, 36.0, 39.0):
        souring = Souring(culture, 0.0)
        souring.run(240.0, temp, temp)
        fallen.append(6.65 - souring.ph)
    assert fallen[0] > fallen[1] > fallen[2] > 0


def test_stages_come_late_and_one_in_a_while_very_late(kitchen: list[Made]) -> None:
    delays = np.array(
        [
            begin - planned
            for one in finished(kitchen)
            for begin, planned in zip(one.day.begins[:-1], one.day.plan.starts(), strict=True)
        ]
    )
    assert np.median(delays) > 0
    assert sum(len(one.day.lates) for one in kitchen) >= 5


def test_newest_make_is_in_the_middle_of_its_cook(kitchen: list[Made]) -> None:
    assert [one.running for one in kitchen] == [False] * 23 + [True]
    newest = kitchen[-1]
    assert newest.day.begin_of("cook") < newest.until_min < newest.day.end_of("cook")
    assert newest.at_ms(newest.until_min) == pytest.approx(NOW, abs=1000)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_every_variable_varies_and_none_moves_with_another(seed: int) -> None:
    rows = [one.facts for one in finished(made(seed, 40, NOW))]
    names = [name for name in vars(rows[0]) if name not in ("washed", "matted_min")]
    table = np.array([[getattr(row, name) for name in names] for row in rows], dtype=float)
    assert np.all(table.std(axis=0) > 0)
    between = np.corrcoef(table.T) - np.eye(len(names))
    assert np.abs(between).max() < 0.75  # the journal tells two apart below 0.9


def test_a_round_holds_both_plans_and_the_notebook_comes_before_it() -> None:
    meant = intents(1, 40)
    assert sum(one.version.washed for one in meant) == 16
    assert intents(1, 24) == meant[16:]
    assert list(numbers(30)) == list(range(-5, 25))
    assert intents(1, 60)[:39] == meant[:39]  # the newest has come out as it is always done
    assert not any(one.failing for one in intents(1, FAILED))  # the newest never fails


def test_a_hurried_make_is_the_only_one_that_grows_gassy(kitchen: list[Made]) -> None:
    assert [one.number for one in kitchen if one.gassy] == [HURRIED]
    noted = [one for one in made(1, 40, NOW) if one.noted]
    assert not any(one.gassy for one in noted)
