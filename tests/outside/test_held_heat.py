"""Readings of a make that pasteurises, against the published pairs of temperature and time.

Source: Michigan law MCL 288.697 with 21 CFR 131.3, after the Grade A Pasteurized Milk Ordinance;
typed from them into data/pasteurisation.csv.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.curves.held_heat import HeldHeat, held_heat
from journal.records.calibrations import Calibration
from journal.records.makes import Make, Milk, StageRun
from journal.records.plan_text import builtin_plan
from journal.records.traces import Trace
from journal.records.whole import WholeMake
from journal.wording.heat import held_words
from tests.outside.test_reckon_vat import rows

MIN_MS = 60_000
QUARK = builtin_plan("quark")
PLAIN = Milk(5.0)
ICE = Calibration(1, "thermometer", 0, (0.0,), (0.0,))
# The milk's rows, then those of 10 % fat or more, or sweetened.
PAIRS = [(row["product"], float(row["temp_F"]), float(row["hold_s"]))
         for row in rows("pasteurisation")[:14]]  # fmt: skip


def held(
    shown_c: float, seconds: float, milk: Milk = PLAIN, checks: tuple[Calibration, ...] = (ICE,)
) -> HeldHeat:
    """What a make of quark says whose thermometer showed that for so long, and cold around it."""
    at = np.array([0, 1000, 1000 + round(1000 * seconds), 2000 + round(1000 * seconds)], np.int64)
    temp = np.array([20.0, shown_c, shown_c, 20.0])
    run = StageRun(1, 0, "pasteurise", 0, 75 * MIN_MS, began_ms=0)
    make = Make("A-1", 1, milk, 0, "UTC", id=1)
    traces = {"milk-temp": Trace("milk-temp", at, temp, np.zeros(4, np.uint8))}
    whole = WholeMake(make, QUARK, (run,), calibrations=checks, traces=traces)
    found = held_heat(whole, 200 * MIN_MS)
    assert found is not None
    return found


@pytest.mark.parametrize(("product", "temp_f", "hold_s"), PAIRS)
def test_each_published_pair_is_reached_at_its_figure_and_not_below(product, temp_f, hold_s):
    fat = 3.7 if product.startswith("milk < 10 % fat") else 12.0
    at = (temp_f - 32) / 1.8
    whole = held(at + 1e-3, hold_s, Milk(5.0, fat_pct=fat))
    assert whole.met
    assert whole.pair.hold_s >= hold_s
    colder = held(at - 0.3, hold_s, Milk(5.0, fat_pct=fat))
    assert not (colder.met and colder.pair.temp_f == temp_f)


@pytest.mark.parametrize("milk", [
    Milk(5.0, fat_pct=10.0), Milk(5.0, "sheep"), Milk(5.0, "buffalo"), Milk(5.0, fat_pct=7.0),
])  # fmt: skip
def test_rich_milk_needs_the_hotter_pair(milk):
    """63 °C for 30 min is the pair of plain milk; rich milk needs 65.6 °C (150 °F)."""
    assert held(63.0, 1800).met
    assert not held(63.0, 1800, milk).met
    assert held(65.6, 1800, milk).met


def test_a_thermometer_that_nobody_checked_is_taken_to_read_half_a_degree_too_high():
    assert not held(63.0, 1800, checks=()).met
    assert held(63.3, 1800, checks=()).met
    freed = Calibration.none_from_now(1, "thermometer", 0)
    assert not held(63.0, 1800, checks=(ICE, freed)).met
    late = replace(ICE, at_ms=100 * MIN_MS)
    assert not held(63.0, 1800, checks=(late,)).met


def test_no_pair_is_put_together_and_nothing_is_said_to_be_longer_than_it_was():
    """68 °C for 126 s would be enough by one z line; the published table has no such pair."""
    short = held(68.0, 126)
    assert not short.met
    assert "2 min of 30 min" in held_words(short)[0]
    almost = held(62.9, 1799)
    assert "29 min of 30 min" in held_words(almost)[0]
    assert not almost.met


def test_nothing_is_called_safe_and_raw_milk_stays_raw():
    met = held(63.0, 1801)
    failed = replace(held(60.0, 1800, Milk(5.0, treatment="raw")), over=True, just=False)
    for heat in (met, failed, replace(met, over=True, just=True)):
        words = held_words(heat)[0]
        assert "safe" not in words.lower()
        assert "local codes" in words.lower()
    words, attention = held_words(failed)
    assert attention
    assert words.startswith("No published pair was reached")
    assert held_words(replace(met, over=True, just=False)) == ("", False)
