"""Few makes: a heavy-tailed prior that gives way, what hardly varied, groups without chains, ranks
within makes, and pairs that are looked at only where they were declared."""

from __future__ import annotations

import numpy as np
import pytest

from journal.findings import AGE_KEY, ScoreTable, Variable, study
from journal.findings.evidence import HARDLY
from journal.findings.heavy import A_CHANGE, fit_faded, fit_heavy, weight_of, worth_of_a_change
from journal.findings.joint import JointData, fit_given
from journal.findings.pairs import with_pairs
from journal.findings.predict import PredictionBase, predict
from journal.findings.single import Orders, within_makes
from journal.findings.together import entries_of
from journal.wording.effects import settle_words
from journal.wording.findings import study_headline
from tests.pace.settling_proof import Going, watched


def given_of(makes: int, effect: float, seed: int = 1) -> JointData:
    draw = np.random.default_rng(seed)
    z = draw.normal(size=(makes, 4))
    y = 6 + effect * z[:, 0] + 0.5 * draw.normal(size=makes)
    alone, none = np.arange(makes), np.zeros(makes, dtype=np.intp)
    return JointData.of(z, y, np.zeros(makes), alone, none, np.ones(4), 4)


def test_it_counts_alone_to_twenty_makes_and_not_from_thirty_on():
    assert [weight_of(n) for n in (6, 20, 25, 30, 60)] == [1, 1, 0.5, 0, 0]
    assert [worth_of_a_change(n) for n in (5, 6, 9, 12, 20)] == pytest.approx(
        [0.3, 0.3, 0.4, 0.5, 0.5]
    )
    scales = np.full(4, A_CHANGE)
    thirty = given_of(30, 1.0)
    assert fit_faded(thirty, scales).mean.tolist() == fit_given(thirty).mean.tolist()
    assert (
        fit_faded(given_of(12, 1.0), None).weights.size == fit_given(given_of(12, 1.0)).weights.size
    )
    half = fit_faded(given_of(25, 1.0), scales)
    assert half.weights.sum() == pytest.approx(1.0)
    both = [
        fit(given_of(25, 1.0), *more).mean[1]
        for fit, more in ((fit_given, ()), (fit_heavy, (scales,)))
    ]
    assert min(both) <= half.mean[1] <= max(both)


def test_one_that_is_known_at_once_is_that_of_a_t_by_quadrature():
    """One variable, scatter as good as known: the mean of the effect by its density on a grid."""
    draw = np.random.default_rng(2)
    makes, effect = 200, 1.4
    z = draw.normal(size=(makes, 1))
    z = (z - z.mean()) / z.std(ddof=1)
    y = effect * z[:, 0] + 3.0 * draw.normal(size=makes)
    given = JointData.of(
        z, y, np.zeros(makes), np.arange(makes), np.zeros(makes, dtype=np.intp), np.ones(1), 1
    )
    found = fit_heavy(given, np.array([0.2]))
    at = np.linspace(-4, 4, 4001)
    rest = y - y.mean()
    sd = float(
        np.sqrt(
            ((rest - (rest @ z[:, 0] / (z[:, 0] @ z[:, 0])) * z[:, 0]) ** 2).sum() / (makes - 2)
        )
    )
    output = (z[:, 0] @ rest) / sd**2 * at - (z[:, 0] @ z[:, 0]) / sd**2 * at**2 / 2
    log = output - 2.5 * np.log1p((at / 0.2) ** 2 / 4)
    density = np.exp(log - log.max())
    density /= density.sum()
    mean = float(density @ at)
    spread = float(np.sqrt(density @ (at - mean) ** 2))
    assert found.mean[1] == pytest.approx(mean, abs=0.25 * spread)
    assert np.sqrt(found.covariance[1, 1]) == pytest.approx(spread, rel=0.2)


def test_what_hardly_varied_says_so_and_shows_no_prior():
    draw = np.random.default_rng(3)
    x = np.column_stack([2.5 + 0.03 * draw.normal(size=14), 38 + draw.normal(size=14)])
    y = 6 + 0.5 * (x[:, 1] - 38) + 0.3 * draw.normal(size=14)
    table = ScoreTable(
        "overall", [f"m{i}" for i in range(14)], ["A"] * 14, y, np.zeros(14),
        [Variable("salt in curd", unit="%", step=0.3),
         Variable("cook temperature", unit="°C", step=1.0)], x,
    )  # fmt: skip
    salt = study(table, permutations=9).finding("salt_in_curd")
    assert salt.evidence == HARDLY
    assert salt.as_json()["low80"] is None
    assert "hardly varied" in settle_words(salt)
    assert study(table, permutations=9).finding("cook_temperature").evidence != HARDLY


def test_a_chain_of_neighbours_is_not_one_variable():
    """a goes with b and b with c, each by more than 0.9, but a with c by less: complete linkage
    joins the nearest two and leaves the third alone."""
    draw = np.random.default_rng(4)
    a, c = draw.normal(size=(2, 400))
    c = 0.7 * a + np.sqrt(1 - 0.49) * c
    b = a + c
    r = np.corrcoef([a, b, c])
    assert r[0, 1] > 0.9
    assert r[1, 2] > 0.9
    assert r[0, 2] < 0.9
    members = [entry.members for entry in entries_of(np.column_stack([a, b, c])).entries]
    assert sorted(map(len, members)) == [1, 2]
    assert max(members, key=len) in ((0, 1), (1, 2))
    turned = entries_of(np.column_stack([a, -a + 0.01 * c])).entries[0]
    assert turned.signs == (1, -1)


def test_what_varies_within_makes_is_ranked_within_them():
    """Makes differ by luck far more than ages do: within makes the age is plain, and a make that
    was tasted old and was good besides is no evidence."""
    draw = np.random.default_rng(5)
    make = np.repeat(np.arange(12), 3)
    age = np.tile([60.0, 120.0, 200.0], 12) + draw.integers(-5, 6, 36)
    score = 3.0 * draw.normal(size=12)[make] + 0.01 * age + 0.2 * draw.normal(size=36)
    rho, p = within_makes(age, score, make, Orders(999, 0))
    assert rho > 0.8
    assert p <= 0.002
    ps = [within_makes(age, 3.0 * draw.normal(size=12)[make] + draw.normal(size=36), make,
                       Orders(199, n))[1] for n in range(120)]  # fmt: skip
    share = float(np.mean(np.array(ps) <= 0.05))
    assert share <= 0.05 + 3 * np.sqrt(0.05 * 0.95 / 120)
    many = np.repeat(np.arange(300), 3)
    x, y = draw.normal(size=(2, 900))
    by_limit = within_makes(x, y, many, Orders(9999, 0))[1]
    few = within_makes(x[:450], y[:450], many[:450], Orders(9999, 0))[1]
    assert 0 < by_limit <= 1
    assert 0 < few <= 1


def test_the_headline_speaks_of_what_can_be_chosen():
    draw = np.random.default_rng(6)
    make = np.repeat(np.arange(30), 2)
    age = np.tile([60.0, 180.0], 30) + draw.integers(-9, 10, 60)
    salt = (2.5 + 0.3 * draw.normal(size=30))[make]
    y = 6 + 0.01 * age + 2.0 * (salt - 2.5) + 0.2 * draw.normal(size=60)
    table = ScoreTable(
        "overall", [f"m{i}" for i in make], ["A"] * 60, y, np.zeros(60),
        [Variable("salt in curd", unit="%", step=0.3),
         Variable("age at tasting", AGE_KEY, "days", 30.0)],
        np.column_stack([salt, age]),
    )  # fmt: skip
    answer = study(table, permutations=9)
    assert answer.finding(AGE_KEY).evidence == "clear"
    assert study_headline(answer) == "One thing goes with the score so far: salt in curd."


def test_two_that_act_together_are_found_only_where_that_was_declared():
    draw = np.random.default_rng(7)
    x = np.column_stack([5.3 + 0.1 * draw.normal(size=40), 38 + draw.normal(size=40)])
    y = 6 + 0.8 * (x[:, 0] - 5.3) / 0.1 * (x[:, 1] - 38) + 0.4 * draw.normal(size=40)
    usual = [Variable("pH at milling", unit="pH", step=0.1),
             Variable("cook temperature", unit="°C", step=1.0)]  # fmt: skip
    assert with_pairs(usual, x, ())[0] == usual
    variables, wide = with_pairs(usual, x, {"acid_with_cook", "salt_with_age"})
    assert [v.key for v in variables[2:]] == ["acid_with_cook"]
    codes = [f"m{i}" for i in range(40)]
    table = ScoreTable("overall", codes, ["A"] * 40, y, np.zeros(40), variables, wide)
    answer = study(table, permutations=9)
    assert answer.finding("acid with cook").evidence == "clear"
    assert answer.finding("acid with cook").low95 <= 0.8 <= answer.finding("acid with cook").high95
    here = PredictionBase.of(table, "m0")
    far = [{"cook_temperature": 39.5, "ph_at_milling": ph} for ph in (5.15, 5.45)]
    sour, sweet = (predict(table, answer, here, change).score for change in far)
    assert sweet - sour > 1.5  # the pair follows what it is made of


def test_so_many_more_makes_is_a_range_that_comes_true():
    """Four times in five, less three standard errors; the whole is `findings-proof settling`."""
    rows = np.array([watched(Going(12), 9, n) for n in range(24)])
    known = rows[np.isfinite(rows[:, 0])]
    low, _, high, took = known.T
    held = float(((low <= took) & (took <= high)).mean())
    assert len(known) >= 20
    assert held >= 0.8 - 3 * np.sqrt(0.16 / len(known))


def test_a_bad_make_is_seen_and_its_weight_is_that_of_leaving_it_out():
    draw = np.random.default_rng(8)
    x = np.column_stack([2.5 + 0.3 * draw.normal(size=30), 38 + draw.normal(size=30)])
    y = 6 + 1.5 * (x[:, 0] - 2.5) + 0.3 * draw.normal(size=30)
    x[12, 0], y[12] = 3.1, 3.0
    codes = [f"m{i}" for i in range(30)]
    usual = [Variable("salt in curd", unit="%", step=0.3),
             Variable("cook temperature", unit="°C", step=1.0)]  # fmt: skip

    def of(kept) -> ScoreTable:
        rows = [codes[i] for i in kept]
        return ScoreTable("overall", rows, ["A"] * len(rows), y[kept], np.zeros(len(rows)), usual,
                          x[kept])  # fmt: skip

    whole, kept = of(list(range(30))), [i for i in range(30) if i != 12]
    answer = study(whole, permutations=9)
    far = [one for one in answer.residuals if one.is_far]
    assert [one.make for one in far] == ["m12"]
    assert far[0].weighs
    assert far[0].off < -2
    without = study(of(kept), permutations=9).finding("salt_in_curd").effect
    effect, sd = answer.finding("salt_in_curd").effect, x[:, 0].std(ddof=1)
    output = effect + far[0].moves * 0.3 / sd
    assert abs(without - effect) > 0.1
    assert output == pytest.approx(without, abs=0.35 * abs(without - effect))
    assert not any(one.is_far for one in study(of(kept), permutations=9).residuals)
