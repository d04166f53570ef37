"""Variables with a best value in the middle: found, placed and followed, and straight ones left."""

from __future__ import annotations

import numpy as np
import pytest

from journal.findings import ScoreTable, Variable, scatter, study
from journal.findings.predict import PredictionBase, predict
from journal.wording.effects import best_words, settle_words
from tests.pace.curves_proof import Hill, curved, journal_of

WORLDS = 30


@pytest.mark.parametrize(("makes", "found"), [(25, 0.50), (40, 0.88)])
def test_a_hill_is_found_and_straight_lines_are_left(makes, found):
    """The shares asked for, less three standard errors of so few journals; the whole is
    `start.py pace findings-proof curves`."""
    hills = [curved(journal_of(Hill(makes), n)) for n in range(WORLDS)]
    share = np.mean([0 in one for one in hills])
    assert share >= found - 3 * np.sqrt(found * (1 - found) / WORLDS)
    straight = [curved(journal_of(Hill(makes, loss=0.0), n)) for n in range(WORLDS)]
    assert np.mean([bool(one) for one in straight]) <= 0.05 + 3 * np.sqrt(0.05 * 0.95 / WORLDS)


def test_where_it_is_best_lies_in_its_range():
    held = []
    for n in range(30):
        best = study(journal_of(Hill(40), n), permutations=9).finding("v0").best
        if best is not None:
            assert best.low80 <= best.value <= best.high80
            held.append(best.low80 <= Hill.at <= best.high80)
    assert len(held) >= 15
    assert np.mean(held) >= 0.8 - 3 * np.sqrt(0.16 / len(held))


def salted(loss: float) -> ScoreTable:
    """Forty makes whose score is best at 1.8 % of salt, worst there where the loss is below 0."""
    draw = np.random.default_rng(3)
    salt = 1.9 + 0.3 * draw.normal(size=40)
    y = 7 - loss * ((salt - 1.8) / 0.3) ** 2 + 0.5 * draw.normal(size=40)
    other = draw.normal(size=40)
    variables = [Variable("salt in curd", unit="%", step=0.3), Variable("acid")]
    return ScoreTable("overall", [f"m{i}" for i in range(40)], ["A"] * 40, y, np.full(40, np.nan),
                      variables, np.column_stack([salt, other]))  # fmt: skip


def test_a_curve_is_clear_as_a_whole_and_says_where_it_is_best():
    table = salted(0.5)
    answer = study(table, permutations=9)
    finding = answer.finding("salt in curd")
    assert finding.evidence == "clear"
    data = finding.as_json()
    assert data["shape"] == "curve"
    assert data["best"]["low80"] < 1.8 < data["best"]["high80"]
    assert best_words(finding).startswith(f"best near {finding.best.value:.3g} % (")
    assert settle_words(finding).startswith("Best near")
    here = PredictionBase.of(table, "m0")
    scores = [predict(table, answer, here, {"salt in curd": v}).score for v in (1.3, 1.8, 2.4)]
    assert scores[1] > scores[0] + 0.5
    assert scores[1] > scores[2] + 0.5
    seen = scatter(table, answer, "salt in curd")
    assert seen.best == finding.best
    assert seen.line_x[np.argmax(seen.line_y)] == pytest.approx(finding.best.value, abs=0.1)
    assert answer.finding("acid").as_json()["shape"] == "line"
    assert answer.finding("acid").as_json()["best"] is None


def test_the_effect_of_a_curve_is_that_in_the_middle_of_the_journal():
    table = salted(0.5)
    middle = float(table.x[:, 0].mean())
    true = -2 * 0.5 * (middle - 1.8) / 0.3
    finding = study(table, permutations=9).finding("salt in curd")
    assert finding.low95 <= true <= finding.high95


def test_a_valley_is_a_curve_without_a_best_value():
    finding = study(salted(-0.5), permutations=9).finding("salt in curd")
    assert finding.curved
    assert finding.best is None
    assert best_words(finding) == ""


def test_two_values_cannot_bend():
    draw = np.random.default_rng(5)
    x = np.column_stack([draw.integers(0, 2, 30), draw.normal(size=30)]).astype(float)
    y = 6 + x[:, 0] + 0.3 * draw.normal(size=30)
    table = ScoreTable("overall", [f"m{i}" for i in range(30)], ["A"] * 30, y, np.full(30, np.nan),
                       [Variable("kind"), Variable("v1")], x)  # fmt: skip
    assert not study(table, permutations=9).finding("kind").curved


def test_leaning_is_told_with_its_share_of_chance():
    """In pure noise about as many lean as by chance; the share never exceeds those that lean."""
    leaning, chance = 0, 0.0
    for n in range(20):
        answer = study(journal_of(Hill(25, loss=0.0, slopes=0), n), permutations=9)
        words = [one.evidence for one in answer.findings]
        assert 0 <= answer.leaning_by_chance <= words.count("leaning")
        leaning, chance = leaning + words.count("leaning"), chance + answer.leaning_by_chance
    assert chance >= 0.6 * leaning


def test_settling_is_told_as_a_range():
    answer = study(journal_of(Hill(25, loss=0.0), 1), permutations=9)
    waiting = [one for one in answer.findings if one.makes_to_settle is not None]
    assert waiting
    for one in waiting:
        assert one.makes_to_settle_low <= one.makes_to_settle <= one.makes_to_settle_high
