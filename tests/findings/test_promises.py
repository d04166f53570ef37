"""The promises of the findings, held over simulated journals (a short run of the proof).

Bounds are the promises widened by three standard errors of so many trials: a variable of a journal
is one, a journal, or a make predicted.
"""

from __future__ import annotations

import importlib.util
import math
import sys
from functools import cache
from pathlib import Path

import numpy as np
import pytest

PROOF = Path(__file__).parents[1] / "pace" / "findings_proof.py"
JOURNALS = 40
SIZES = (6, 12, 25, 60)


def _proof():
    spec = importlib.util.spec_from_file_location("findings_proof", PROOF)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["findings_proof"] = module
    spec.loader.exec_module(module)
    return module


proof = _proof()


@cache
def report(makes, correlation=0.0, matter=proof.Kitchen.matter):
    """A run of journals, once for all tests."""
    return proof.tally(proof.Kitchen(makes, correlation, matter), JOURNALS, seed=7)


def error(share: float, trials: int) -> float:
    """Return three binomial standard errors around a promised share."""
    return 3 * math.sqrt(share * (1 - share) / trials)


@pytest.mark.parametrize("correlation", [0.0, 0.5])
@pytest.mark.parametrize("makes", SIZES)
def test_ranges_hold_the_truth(makes, correlation):
    t = report(makes, correlation)
    trials = JOURNALS * proof.VARIABLES
    bounds = (
        {80: (0.77, 0.90), 95: (0.92, 0.99)} if makes < 25 else {80: (0.77, 0.83), 95: (0.92, 0.98)}
    )
    for held, (level, (low, high)) in zip((t.held80, t.held95), bounds.items(), strict=True):
        margin = error(level / 100, trials)
        assert low - margin <= held.mean() <= high + margin
    if makes >= 25:
        trials = JOURNALS * proof.Kitchen.matter
        assert np.nanmean(t.mattering80) >= 0.75 - error(0.75, trials)
        assert np.nanmean(t.mattering95) >= 0.91 - error(0.91, trials)


def test_false_clears_are_few():
    """Over journals of noise, and of real effects beside it, together."""
    runs = [report(n, c, m) for n in SIZES for c, m in ((0.0, 4), (0.5, 4), (0.0, 0))]
    wrong = np.concatenate([t.false_clear for t in runs])
    assert wrong.mean() <= 0.05 + error(0.05, wrong.size)
    for t in runs:
        assert t.false_clear.mean() <= 0.05 + error(0.05, JOURNALS)


@pytest.mark.parametrize("makes", [25, 60])
def test_ranges_are_no_wider_than_those_of_least_squares(makes):
    t = report(makes)
    assert t.width95.mean() <= np.nanmean(t.plain_width95)


@pytest.mark.parametrize(
    ("correlation", "matter"), [(0.0, 4), (0.5, 4), (0.0, 0)], ids=["apart", "together", "noise"]
)
def test_a_next_make_lies_in_its_range(correlation, matter):
    """A make two sds off in one variable and a make as they fall: 80 and 95 in 100 within 3, from
    12 makes on together, and at 6 makes 77 to 90. Two makes a journal."""
    runs = [report(n, correlation, matter) for n in SIZES]
    later = np.concatenate([v for t in runs[1:] for v in (t.next80, t.any80)])
    assert 0.77 - error(0.8, later.size) <= later.mean() <= 0.83 + error(0.8, later.size)
    few = np.concatenate([runs[0].next80, runs[0].any80])
    assert 0.77 - error(0.8, few.size) <= few.mean() <= 0.90 + error(0.8, few.size)
    wide = np.concatenate([t.next95 for t in runs])
    assert 0.92 - error(0.95, wide.size) <= wide.mean() <= 0.98 + error(0.95, wide.size)


def test_a_large_effect_is_clear_at_forty_makes():
    t = proof.tally(proof.Kitchen(40, effect=0.7), JOURNALS, seed=10, ahead=False)
    assert np.nanmean(t.power) >= 0.80 - error(0.80, JOURNALS * proof.Kitchen.matter)


def test_several_tastings_of_a_make_keep_the_promise():
    journals = 24
    t = proof.tally(proof.Kitchen(25, tastings=True), journals, seed=11, ahead=False)
    trials = journals * proof.VARIABLES
    assert 0.77 - error(0.8, trials) <= t.held80.mean() <= 0.83 + error(0.8, trials)
    assert 0.92 - error(0.95, trials) <= t.held95.mean() <= 0.98 + error(0.95, trials)
    assert t.false_clear.mean() <= 0.05 + error(0.05, journals)


def test_values_nobody_wrote_down_leave_ranges_that_hold():
    """A quarter of the values missing, filled by what the others tell."""
    journals = 50
    t = proof.tally(proof.Kitchen(25, 0.5, gaps=0.25), journals, seed=12)
    trials = journals * proof.VARIABLES
    assert 0.77 - error(0.8, trials) <= t.held80.mean() <= 0.83 + error(0.8, trials)
    assert 0.92 - error(0.95, trials) <= t.held95.mean() <= 0.98 + error(0.95, trials)
    ahead = np.concatenate([t.next80, t.any80])
    assert 0.77 - error(0.8, ahead.size) <= ahead.mean() <= 0.83 + error(0.8, ahead.size)
