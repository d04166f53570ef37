"""The promises of the findings, held over simulated journals (a short run of the proof).

Bounds are the promises widened by three standard errors of so many journals.
"""

from __future__ import annotations

import importlib.util
import math
import sys
from pathlib import Path

import numpy as np
import pytest

PROOF = Path(__file__).parents[1] / "pace" / "findings_proof.py"
JOURNALS = 200


def _proof():
    spec = importlib.util.spec_from_file_location("findings_proof", PROOF)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["findings_proof"] = module
    spec.loader.exec_module(module)
    return module


proof = _proof()


def error(share: float, trials: int) -> float:
    """Return three binomial standard errors around a promised share."""
    return 3 * math.sqrt(share * (1 - share) / trials)


@pytest.mark.parametrize("correlation", [0.0, 0.5])
@pytest.mark.parametrize("makes", [12, 25, 60])
def test_ranges_hold_the_truth(makes, correlation):
    t = proof.tally(proof.Kitchen(makes, correlation), JOURNALS, seed=7)
    trials = JOURNALS * proof.VARIABLES
    bounds = (
        {80: (0.77, 0.90), 95: (0.92, 0.99)} if makes < 25 else {80: (0.77, 0.83), 95: (0.92, 0.98)}
    )
    for held, (level, (low, high)) in zip((t.held80, t.held95), bounds.items(), strict=True):
        margin = error(level / 100, trials)
        assert low - margin <= held.mean() <= high + margin
    if makes >= 25:
        trials = JOURNALS * proof.MATTER
        assert np.nanmean(t.mattering80) >= 0.75 - error(0.75, trials)
        assert np.nanmean(t.mattering95) >= 0.91 - error(0.91, trials)
    assert t.false_clear.mean() <= 0.05 + error(0.05, JOURNALS)


@pytest.mark.parametrize("makes", [25, 60])
def test_ranges_are_no_wider_than_those_of_least_squares(makes):
    t = proof.tally(proof.Kitchen(makes), 60, seed=8)
    assert t.width95.mean() <= np.nanmean(t.plain_width95)


@pytest.mark.parametrize("makes", [6, 25])
def test_when_nothing_matters_little_is_clear(makes):
    t = proof.tally(proof.Kitchen(makes, matter=0), JOURNALS, seed=9)
    assert t.false_clear.mean() <= 0.05 + error(0.05, JOURNALS)


def test_a_large_effect_is_clear_at_forty_makes():
    t = proof.tally(proof.Kitchen(40, effect=0.7), JOURNALS, seed=10)
    assert np.nanmean(t.power) >= 0.80 - error(0.80, JOURNALS * proof.MATTER)


def test_several_tastings_of_a_make_keep_the_promise():
    journals = 50
    t = proof.tally(proof.Kitchen(25, tastings=True), journals, seed=11)
    trials = journals * proof.VARIABLES
    assert 0.77 - error(0.8, trials) <= t.held80.mean() <= 0.83 + error(0.8, trials)
    assert 0.92 - error(0.95, trials) <= t.held95.mean() <= 0.98 + error(0.95, trials)
    assert t.false_clear.mean() <= 0.05 + error(0.05, journals)
