"""Weighted samples against densities whose size is known."""

from __future__ import annotations

import numpy as np
import pytest

from journal.curves.sampling import FIRST, FROM_PRIOR, sampled
from journal.curves.solver import Prior, Solution

HUMPS = np.array([[-60.0, 0.0], [60.0, 5.0]])


def hump(centre: np.ndarray) -> Solution:
    """The least of a normal density of sd 0.1 about a centre."""
    return Solution(centre, np.eye(2) / 0.01, 0.0, np.ones(2, bool))


def test_two_solutions_and_what_is_believed_are_tried_by_their_shares() -> None:
    """Two normal humps, one three times the size of the other, both far from the prior."""
    prior = Prior(np.zeros(2), np.eye(2))

    def target(trial: np.ndarray) -> np.ndarray:
        square = np.sum((trial[:, None] - HUMPS) ** 2, axis=2) / 0.01
        return np.logaddexp.reduce(
            np.log([0.25, 0.75]) - square / 2 - np.log(2 * np.pi * 0.01), axis=1
        )

    modes = [hump(centre) for centre in HUMPS]
    trial, log_weight = sampled(modes, prior, target, np.random.default_rng(1))
    weight = np.exp(log_weight)
    assert weight.sum() == pytest.approx(1.0, abs=0.05)
    assert weight[trial[:, 0] > 30].sum() == pytest.approx(0.75, abs=0.05)
    around = np.abs(trial[:FIRST, 0]) < 30  # so that nothing that is believed is left out
    assert np.count_nonzero(around) == pytest.approx(FROM_PRIOR * FIRST, abs=2)
