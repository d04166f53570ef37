"""Defects by logistic regression: against closed forms, few makes, one bad make, the sample."""

from __future__ import annotations

import math

import numpy as np
import pytest

from journal.findings import FindingError, ScoreTable, Variable, scatter, study
from journal.findings.defect_table import defect_counts, defect_table
from journal.findings.defects import fit_logistic, more_in_100, share_at
from journal.records.makes import Make, Milk
from journal.records.plans import Plan, Stage
from journal.records.whole import Given, Named, WholeMake


def table(x, named, cards, make=None):
    rows = len(named)
    return ScoreTable(
        "bitter",
        [f"m{i}" for i in (range(rows) if make is None else make)],
        ["A"] * rows,
        100 * np.asarray(named, float) / np.asarray(cards, float),
        np.full(rows, np.nan),
        [Variable(f"v{j}", step=1.0) for j in range(x.shape[1])],
        np.asarray(x, float),
        named=np.asarray(named, float),
        cards=np.asarray(cards, float),
    )


def test_with_many_cards_it_is_the_log_odds_ratio_of_a_two_by_two_table():
    """Two sets of 200 makes, 60 of 200 and 120 of 200: log(120·140 / (60·80)) = 1.2528."""
    x = np.repeat([0.0, 1.0], 200)
    named = np.concatenate([np.arange(200) < 60, np.arange(200) < 120]).astype(float)
    z = (x - x.mean()) / x.std(ddof=1)
    joint = fit_logistic(z[:, None], named, np.ones(400), np.arange(400), np.ones(1), 1)
    least = joint.means[0]  # hardly any luck of makes
    assert least[1] / x.std(ddof=1) == pytest.approx(math.log(120 * 140 / (60 * 80)), rel=0.02)
    se = math.sqrt(1 / 60 + 1 / 140 + 1 / 120 + 1 / 80) * x.std(ddof=1)
    assert math.sqrt(joint.covariances[0, 1, 1]) == pytest.approx(se, rel=0.02)


def test_a_defect_of_one_half_only_stays_finite():
    x = np.repeat([0.0, 1.0], 8)[:, None]
    answer = study(table(x, x[:, 0] * 3, np.full(16, 3.0)), permutations=99)
    f = answer.findings[0]
    assert math.isfinite(f.effect)
    assert 0 < f.low95 < f.high95 <= 100


def test_cards_of_one_bad_make_do_not_pass_for_makes():
    """One make of ten, bitter on all of its eight cards, at the far end of a variable."""
    x = np.arange(10.0)[:, None]
    named = np.where(np.arange(10) == 9, 8.0, 0.0)
    f = study(table(x, named, np.full(10, 8.0)), permutations=99).findings[0]
    assert f.evidence != "clear"


def test_its_ranges_hold_the_truth_and_noise_is_seldom_clear():
    draw = np.random.default_rng(1)
    held, wrong = [], 0
    for _ in range(80):
        x = draw.normal(size=(40, 4))
        truth = np.array([1.0, -0.6, 0.0, 0.0])
        eta = -1.0 + x @ truth + 0.5 * draw.normal(size=40)
        named = draw.binomial(4, 1 / (1 + np.exp(-eta))).astype(float)
        z = (x - x.mean(0)) / x.std(0, ddof=1)
        joint = fit_logistic(z, named, np.full(40, 4.0), np.arange(40), np.ones(4), 4)
        per_sd = truth * x.std(0, ddof=1)
        low95, low80, high80, high95 = joint.quantiles(np.eye(5)[1:], [0.025, 0.1, 0.9, 0.975])
        inside80 = (low80 <= per_sd) & (per_sd <= high80)
        held.append((inside80, (low95 <= per_sd) & (per_sd <= high95)))
        answer = study(table(x, named, np.full(40, 4.0)), permutations=9)
        words = [answer.finding(key).evidence for key in ("v2", "v3")]
        wrong += "clear" in words
    at80, at95 = np.mean(held, axis=(0, 2))
    error80, error95 = (3 * math.sqrt(p * (1 - p) / 320) for p in (0.8, 0.95))
    assert 0.77 - error80 <= at80 <= 0.83 + error80  # it errs on the wide side
    assert 0.92 - error95 <= at95 <= 0.98 + error95
    assert wrong / 80 <= 0.05 + 3 * math.sqrt(0.0475 / 80)


def test_effects_are_told_as_cards_in_100_and_drawn_within_them():
    draw = np.random.default_rng(2)
    x = draw.normal(size=(60, 2))
    named = draw.binomial(3, 1 / (1 + np.exp(1 - 1.5 * x[:, 0]))).astype(float)
    t = table(x, named, np.full(60, 3.0))
    answer = study(t, permutations=99)
    f = answer.finding("v0")
    assert f.evidence == "clear"
    assert f.effect == pytest.approx(
        more_in_100(answer.joint, answer.joint.mean[1] / x[:, 0].std(ddof=1)), rel=1e-9
    )
    assert 0 < share_at(answer.joint) < 1
    seen = scatter(t, answer, "v0")
    assert (seen.line_y >= 0).all()
    assert (seen.line_y <= 100).all()
    assert seen.line_y[-1] > seen.line_y[0] + 30


def whole(code, marks, animal="cow"):
    zero = 1_700_000_000_000
    day = 86_400_000
    plan = Plan("p", (Stage("warm", 30.0),))
    return WholeMake(
        make=Make(code, 1, Milk(10.0, animal=animal), zero),
        plan=plan,
        scores=tuple(
            Given(f"{code}-A", 1, who, "overall", 6.0, zero + 60 * day) for who in ("Orla", "Tam")
        ),
        named=tuple(
            Named(f"{code}-A", 1, who, "bitter", "slight", zero + 60 * day) for who in marks
        ),
    )


def test_the_table_counts_cards():
    wholes = [whole("A", ["Orla", "Tam", "Tam"]), whole("B", []), whole("C", ["Orla"], "goat")]
    assert defect_counts(wholes)["bitter"] == 3
    t = defect_table(wholes, "Bitter")
    assert t.cards.tolist() == [2, 2, 2]
    assert t.named.tolist() == [2, 0, 1]
    assert t.y.tolist() == [100, 0, 50]
    assert "bitter was named on 3 of 6 cards." in t.notes
    with pytest.raises(FindingError, match="begin at 3"):
        defect_table(wholes[1:], "bitter")
