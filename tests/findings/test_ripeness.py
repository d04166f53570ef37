"""The ages liked best, held to kitchens whose truths are known, the sample's among them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from journal.findings.ripeness import AgedScore, best_ages
from journal.keeping import Journal
from journal.records import id_of
from journal.reports.readiness import Ripening, make_days, openings
from journal.sample import write_sample
from tests.present import NOW


def scores(truth: Callable[[float], float], seed: int = 3) -> list[AgedScore]:
    """Twelve makes tasted at 60 to 240 days by two persons; good makes happen to be tasted old."""
    rng = np.random.default_rng(seed)
    found = []
    for make in range(12):
        level = 0.08 * make + rng.normal(0, 0.2)
        for age in (60 + 5 * make, 120 + 5 * make, 180 + 5 * make):
            for person, lean in (("Ann", 0.4), ("Bo", -0.4)):
                value = truth(age) + level + lean + rng.normal(0, 0.35)
                found.append(AgedScore(f"M{make}", person, age, round(2 * value) / 2))
    return found


@pytest.mark.parametrize(("truth", "low", "high"), [
    (lambda age: 6 - ((age - 150) / 45) ** 2, 150 - 45 * 0.3**0.5, 150 + 45 * 0.3**0.5),
    (lambda age: 5 + 0.3 * age / 30, 205, None),
    (lambda age: 8 - 0.5 * age / 30, 60, 78),
])  # fmt: skip
def test_the_window_goes_where_the_scores_are_best(truth, low, high) -> None:
    for seed in range(5):
        found = best_ages(scores(truth, seed))
        assert found is not None
        assert found.low == pytest.approx(low, abs=30)
        assert (found.high is None) == (high is None)
        assert high is None or found.high == pytest.approx(high, abs=30)
        assert found.low <= found.best <= (found.high or found.ages[-1])


def test_too_few_scores_say_nothing() -> None:
    few = scores(lambda age: 6.0)
    assert best_ages(few[:5]) is None
    assert best_ages([one for one in few if one.age == 60]) is None


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sample") / "hollow.vatside"
    write_sample(path, seed=1, makes=24, readings_per_make=0, now_ms=NOW)
    return path


def test_the_samples_wheels_are_ready_when_its_scores_say(sample: Path) -> None:
    """There each month adds 0.3 points and no age is too old: so the window opens a month before
    the oldest that were tasted, and has no end. Scores turned round move it to the youngest."""
    with Journal.open(sample) as journal:
        now = max(one.at_ms for one in journal.weighings.all())
        ripening = Ripening(journal, now)
        plan = ripening.lives[0].plan
        best = ripening.best(plan)
        assert best is not None
        assert best.high is None
        oldest = best.ages[-1]
        assert oldest - 75 <= best.low <= oldest - 10
        ready = ripening.of(ripening.lives[-1])
        assert ready.best is not None
        life = ripening.lives[-1]
        assert (ready.best[0] - life.begun).days == pytest.approx(best.low, rel=0.25)
        on = ready.best[0]
        ranked = openings(ripening, on)
        assert ranked[0].in_window
        assert ranked[0].score == max(one.score for one in ranked if one.in_window)
        days = make_days(
            ripening, journal.plans.latest()[0], [life.begun.replace(year=2030)], [5, 6]
        )
        assert days[0].on is not None
        assert days[0].on.weekday() in (5, 6)
        assert days[0].age_days == pytest.approx(best.best, abs=7)
        with journal.unit("scores turned round"):
            for score in journal.scores.all():
                if score.attribute == "overall":
                    journal.scores.save(type(score)(
                        **{**vars(score), "value": 10.0 - score.value}
                    ))  # fmt: skip
        turned = Ripening(journal, now).best(plan)
        assert turned is not None
        assert turned.high is not None
        assert turned.high < best.low
        assert id_of(life.wheel) in {id_of(one.life.wheel) for one in ranked}
