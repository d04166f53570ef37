"""The promises of the forecasts, held over simulated makes (a short run of the proof).

Bounds are the promises widened by three standard errors of so many makes.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import numpy as np
import pytest

PACE = str(Path(__file__).parents[1] / "pace")
KITCHENS, PAST, MAKES, SOUND_MAKES = (401, 402, 403, 404, 405), 24, 24, 20


@pytest.fixture(scope="module")
def proofs() -> Iterator[tuple]:
    """The proof's own modules, which import each other by their plain names."""
    sys.path.insert(0, PACE)
    try:
        import forecast_proof
        import heating_proof

        yield forecast_proof, heating_proof
    finally:
        sys.path.remove(PACE)


@pytest.fixture(scope="module")
def makes(proofs) -> list:
    """Makes to be forecast, each with the fits of its kitchen's past."""
    proof, out = proofs[0], []
    for seed in KITCHENS:
        every = proof.kitchen(seed, PAST + MAKES)
        fits = [proof.fit(made.whole) for made in every[:PAST]]
        out += [(made, fits) for made in every[PAST:]]
    return out


def error(share: float, trials: int) -> float:
    """Three binomial standard errors around a promised share."""
    return 3 * math.sqrt(share * (1 - share) / trials)


@pytest.mark.slow
def test_ranges_hold_what_came_and_the_middle_is_near(proofs, makes) -> None:
    proof, some = proofs[0], makes[::2]
    count = len(some)
    asked = [a for made, fits in some for a in proof.asked_of(made, fits)]
    for share in proof.SHARES:
        held = np.mean([a.held for a in asked if a.share == share])
        assert 0.75 - error(0.75, count) <= held <= 0.85 + error(0.85, count)
    late = [a.error for a in asked if a.share == proof.SHARES[1]]
    assert np.median(late) < 0.08


@pytest.mark.slow
def test_without_a_past_the_ranges_are_wide_and_hold_at_least_as_often(proofs, makes) -> None:
    proof, some = proofs[0], makes[::2]
    count = len(some)
    asked = [a for made, _ in some for a in proof.asked_of(made, ())]
    leaning = [a for made, fits in makes[::4] for a in proof.asked_of(made, fits)]
    for share in proof.SHARES:
        held = np.mean([a.held for a in asked if a.share == share])
        assert held >= 0.80 - error(0.80, count)
    assert np.median([a.width for a in asked]) > 2 * np.median([a.width for a in leaning])


@pytest.mark.slow
def test_first_makes_of_a_world_that_is_not_the_models_are_held_as_often_as_promised(
    proofs,
) -> None:
    """Pace 0.6 to 2 times the prior's, six kinds of cheese, once a reading has fallen by 0.2: 75 to
    88 %, by three standard errors of so many makes."""
    proof, kitchens = proofs[0], range(701, 706)
    every = [a for k in proof.OTHER_KINDS for seed in kitchens for a in proof.first_makes(k, seed)]
    assert {a.kind for a in every} == set(proof.OTHER_KINDS)
    makes = len({(a.kind, a.pace) for a in every})
    held = np.mean([a.held for a in every])
    assert 0.75 - error(0.75, makes) <= held <= 0.88 + error(0.88, makes)


@pytest.mark.slow
def test_before_it_shows_a_failing_culture_is_a_live_possibility(proofs, makes) -> None:
    proof = proofs[0]
    failing = [(m, fits) for m, fits in makes if m.fate != proof.SOUND]
    for made, fits in failing:
        early = proof.fit(made.until(made.culture_min + 60.0), fits)
        assert not early.called
        assert np.mean(early.draws[:, 6] < 1e6) + early.stalled > 0.02


@pytest.mark.slow
def test_failing_cultures_are_called_within_the_hour_and_sound_ones_seldom(proofs, makes) -> None:
    proof = proofs[0]
    failing = [(m, fits) for m, fits in makes if m.fate != proof.SOUND]
    sound = [(m, fits) for m, fits in makes if m.fate == proof.SOUND]
    assert len(failing) >= 8
    soon = [proof.called_of(m, f).after <= proof.WITHIN_MIN for m, f in failing]
    assert np.mean(soon) >= 0.9 - error(0.9, len(failing))
    step = len(sound) // SOUND_MAKES
    some = list(islice(sound[::step], SOUND_MAKES))
    false = [np.isfinite(proof.called_of(m, f).after) for m, f in some]
    assert np.mean(false) <= 0.05 + error(0.05, len(some))


@pytest.mark.slow
@pytest.mark.parametrize("logged", [False, True])
def test_heated_steadily_it_arrives_as_told_and_coasts_in(proofs, logged) -> None:
    heating = proofs[1]
    found = heating.trials(range(501, 507), heating.Way(logged=logged, past=2), 3)
    arrived, coasted = heating.shares(found)
    assert arrived >= 0.9 - error(0.9, len(found))
    assert coasted >= 0.9 - error(0.9, len(found))
