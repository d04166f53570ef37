"""Cook rates and delays against what the trade reckons."""

from __future__ import annotations

import numpy as np
import pytest

from journal.curves.deviation import deviation, planned_cook_rate
from journal.records.makes import Make, Milk, StageRun
from journal.records.plans import Plan, Stage
from journal.records.traces import Trace
from journal.records.whole import WholeMake

START_MS = 1_760_000_000_000
PLAN = Plan(
    "Plain",
    (
        Stage("set", 40, target_c=31.0, ramp_min=0),
        Stage("cut", 10, target_c=31.0, ramp_min=0),
        Stage("cook", 40, target_c=39.0),
    ),
    milk_c=31.0,
)


def at(minutes: float) -> int:
    return START_MS + round(minutes * 60_000)


def run(position: int, planned: tuple[float, float], real: tuple[float, float]) -> StageRun:
    kind = PLAN.stages[position - 1].kind
    return StageRun(1, position, kind, at(planned[0]), at(planned[1]), at(real[0]), at(real[1]))


def test_a_break_clean_at_50_instead_of_40_and_a_cook_from_31_to_39_in_40() -> None:
    """Common practice, no source: a delay of +10 min; 31 to 39 °C in 40 min is 0.2 °C/min."""
    runs = (
        run(1, (0, 40), (0, 50)),
        run(2, (40, 50), (50, 60)),
        run(3, (50, 90), (60, 100)),
    )
    minutes = np.arange(0, 101, 5)
    milk = Trace(
        "milk-temp",
        np.array([at(m) for m in minutes], np.int64),
        np.interp(minutes, [60, 100], [31.0, 39.0]),
        np.zeros(len(minutes), np.uint8),
    )
    make = Make("HL-0001", 1, Milk(12), START_MS, finished_ms=at(100))
    got = deviation(WholeMake(make, PLAN, runs, traces={"milk-temp": milk}))
    assert [s.minutes for s in got.delay_min] == [0, 10, 10]
    assert got.cook_rate_c_per_min == pytest.approx(0.2)
    assert got.planned_cook_rate_c_per_min == pytest.approx(0.2)
    assert got.rms_c == pytest.approx(0, abs=1e-9)


# Mean rates of published cook ramps: University of Guelph procedures for cheddar (30 to 39 °C
# in 30 min) and romano (32 to 46 °C in 50 min), to the digits printed.
@pytest.mark.parametrize(
    ("first_c", "last_c", "minutes", "rate", "tolerance"),
    [(30, 39, 30, 0.3, 0.05), (32, 46, 50, 0.28, 0.005)],
)
def test_published_ramps(
    first_c: float, last_c: float, minutes: float, rate: float, tolerance: float
) -> None:
    plan = Plan("Ramp", (Stage("cook", minutes, target_c=last_c),), milk_c=first_c)
    assert planned_cook_rate(plan) == pytest.approx(rate, abs=tolerance)
