"""How a wheel dries against the usual: kitchens whose truths are known."""

from __future__ import annotations

import numpy as np
import pytest

from journal.curves.drying import (
    BARE,
    CLOTH,
    SEALED,
    DriedWheel,
    air_sum,
    drying,
    expected,
    rind_of,
)
from journal.reckoning.drying import dryness_kpa, loss_after_pct
from journal.reckoning.loss import Loss
from journal.records.instants import DAY_MS
from journal.records.traces import AirTrace
from journal.records.wheels import Care, Room

SERIES = [Loss(31.75, 4.4, 20, 2.5), Loss(15.88, 10.0, 20, 5.9), Loss(5.67, 15.6, 20, 8.1)]
KPA = float(dryness_kpa(12.0, 85.0))


def wheel(rate: float, rng: np.random.Generator, kpa: float = KPA, every: int = 14) -> DriedWheel:
    """A wheel of 1 kg or so, weighed to 2 g; on top of what it dries it loses 2 % at first."""
    green = float(rng.uniform(0.6, 1.6))
    days = np.arange(0, 120, every, dtype=float)
    lost = np.asarray(loss_after_pct(rate, green, kpa * days)) + 2 * (days > 3)
    kg = green * (1 - lost / 100) + rng.normal(0, 0.002, len(days))
    return DriedWheel("A", green, BARE, tuple(days), tuple(kg), tuple(kpa * days))


def test_the_usual_is_drawn_to_the_kitchens_own_wheels_and_holds_so_many_as_it_says() -> None:
    rng = np.random.default_rng(4)
    inside, widths = [], {0: [], 3: [], 12: []}
    for _ in range(120):
        middle = 0.015 * np.exp(rng.normal(0, 0.5))
        rates = middle * np.exp(rng.normal(0, 0.25, 13))
        for known in widths:
            usual = expected(BARE, [wheel(rate, rng) for rate in rates[:known]], SERIES)
            widths[known].append(np.log(usual.high / usual.low))
            if known == 12:
                inside.append(usual.low <= rates[12] <= usual.high)
    assert 0.68 <= np.mean(inside) <= 0.92  # 80 in 100
    assert np.mean(widths[12]) < np.mean(widths[3]) < np.mean(widths[0])


@pytest.mark.parametrize(("times", "humidity", "fast", "air"), [
    (1.0, 85.0, False, True), (3.0, 85.0, True, False), (1.0, 65.0, True, True),
    (0.4, 85.0, False, True),
])  # fmt: skip
def test_a_wheel_that_dries_too_fast_is_told_and_whether_the_air_explains_it(
    times: float, humidity: float, fast: bool, air: bool
) -> None:
    rng = np.random.default_rng(7)
    usual = expected(BARE, [wheel(0.015 * np.exp(x), rng) for x in rng.normal(0, 0.2, 8)], SERIES)
    kpa = float(dryness_kpa(12.0, humidity))
    found = [drying(wheel(0.015 * times, rng, kpa), usual, KPA) for _ in range(40)]
    output = [one.too_fast for one in found if one is not None]
    assert len(output) == 40
    assert np.mean(output) > 0.9 if fast else np.mean(output) < 0.1
    explained = [one.by_the_air for one in found if one is not None]
    assert np.mean(explained) > 0.85 if air else np.mean(explained) < 0.15


def test_nothing_is_said_of_a_young_wheel_or_one_weighed_once() -> None:
    rng = np.random.default_rng(1)
    usual = expected(BARE, [], SERIES)
    assert usual.wheels == 0
    one = wheel(0.1, rng)
    for days in (one.days[:1], one.days[:2]):
        count = len(days)
        short = DriedWheel("A", one.green_kg, BARE, days, one.kg[:count], one.kpa_days[:count])
        assert drying(short, usual, KPA) is None


def test_a_rind_is_told_by_its_care() -> None:
    care = [Care(1, kind, 0) for kind in ("turn", "oil")]
    assert rind_of(care, 1.0) == BARE
    assert rind_of([*care, Care(1, "bandage", 0)], 1.0) == CLOTH
    assert rind_of([Care(1, "wax", 0)], 1.0) == SEALED
    assert rind_of([], 8.0) == CLOTH


def test_the_dryness_between_two_instants_is_that_of_the_readings_there() -> None:
    hours = np.arange(0, 48) * DAY_MS // 24
    trace = AirTrace(hours, np.full(48, 12.0), np.r_[np.full(24, 85.0), np.full(24, 65.0)])
    summed = air_sum(trace, Room("Cellar", 12.0, 85.0))
    dry = float(dryness_kpa(12.0, 65.0))
    assert summed(0, DAY_MS) == pytest.approx(KPA, rel=0.05)
    assert summed(DAY_MS, 47 * DAY_MS // 24) == pytest.approx(dry * 23 / 24, rel=0.05)
    assert summed(10 * DAY_MS, 12 * DAY_MS) == pytest.approx(2 * KPA)  # nothing read: as wanted
    empty = air_sum(AirTrace(np.empty(0, np.int64), np.empty(0), np.empty(0)), None)
    assert empty(0, DAY_MS) == pytest.approx(KPA)


def test_two_sensors_that_speak_in_turn_are_one_air() -> None:
    """One says the temperature, the other the humidity, never in the same moment."""
    hours = np.arange(0, 48) * 3_600_000
    warm = np.where(np.arange(48) % 2, np.nan, 12.0)
    damp = np.where(np.arange(48) % 2, 80.0, np.nan)
    together = air_sum(AirTrace(hours, np.full(48, 12.0), np.full(48, 80.0)), None)
    in_turn = air_sum(AirTrace(hours, warm, damp), None)
    assert in_turn(0, int(hours[-1])) == pytest.approx(together(0, int(hours[-1])))
    apart = AirTrace(np.array([0, 9 * 3_600_000]), np.array([12.0, np.nan]), np.array([np.nan, 80]))
    assert len(apart.both().at_ms) == 0
