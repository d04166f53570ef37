"""A designed series: balanced sets, blocks, and an answer with the milk's season taken out."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from journal.findings import FindingError, study
from journal.findings.evidence import CLEAR
from journal.findings.fractions import aliases
from journal.findings.series import (
    BEST,
    EIGHTH,
    FULL,
    HALF,
    MIRRORED,
    QUARTER,
    Design,
    Factor,
    design,
    efficiency,
    lean,
    width_80,
)
from journal.findings.series_answer import analyse, answer_series
from journal.findings.table import ScoreTable, Variable
from journal.message import Message
from journal.wording import text_of
from journal.wording.series_answer import fit_words
from journal.wording.series_kinds import alias_words
from tests.refusals import refused

TWO = (Factor("salt in curd", 2.1, 2.9, "%"), Factor("curd size", 8, 14, "mm"))
SIX = tuple(Factor(f"v{i}", 0, 1) for i in range(6))
THREE = (*TWO, Factor("cook temperature", 37, 40, "°C"))


@pytest.mark.parametrize(("factors", "makes"), [(TWO, 4), (TWO, 8), (THREE, 8), (THREE, 16)])
def test_a_full_factorial_holds_every_combination_alike(factors, makes):
    made = design(factors, makes)
    assert made.kind == FULL
    rows = [tuple(row) for row in made.coded]
    wanted = set(product((-1.0, 1.0), repeat=len(factors)))
    assert {row: rows.count(row) for row in wanted} == dict.fromkeys(wanted, makes // len(wanted))
    assert made.efficiency == pytest.approx(1.0)


def test_half_a_factorial_of_three_keeps_main_effects_apart():
    made = design(THREE, 4)
    assert made.kind == HALF
    assert (made.coded.T @ made.coded == 4 * np.eye(3)).all()
    assert len({tuple(r) for r in made.coded}) == 4


@pytest.mark.parametrize(("factors", "makes"), [(TWO, 5), (TWO, 6), (TWO, 7), (THREE, 6),
                                                (THREE, 10), (THREE, 12)])  # fmt: skip
def test_other_numbers_get_the_best_set_there_is(factors, makes):
    made = design(factors, makes)
    assert made.kind == BEST
    assert made.efficiency > 0.85
    draw = np.random.default_rng(1)
    k = len(factors)
    others = [efficiency(draw.choice([-1.0, 0.0, 1.0], size=(makes, k))) for _ in range(300)]
    assert made.efficiency >= np.quantile(others, 0.97)


def test_blocks_are_balanced_and_made_one_after_the_other():
    made = design(THREE, 8, blocks=2)
    assert made.block.tolist() == [0] * 4 + [1] * 4
    for part in (0, 1):
        assert made.coded[made.block == part].sum(axis=0).tolist() == [0, 0, 0]


def test_values_are_those_of_the_factors():
    made = design(TWO, 4)
    assert set(made.values()[:, 0]) == {2.1, 2.9}
    assert set(made.values()[:, 1]) == {8.0, 14.0}
    assert TWO[0].coded(2.5) == pytest.approx(0.0)
    assert design(TWO, 8, seed=3).coded.tolist() == design(TWO, 8, seed=3).coded.tolist()


def test_a_change_of_milk_between_the_blocks_is_taken_out():
    draw = np.random.default_rng(2)
    inside, width, without = [], [], []
    for seed in range(60):
        made = design(TWO, 8, blocks=2, seed=seed)
        truth = np.array([0.8, -0.4])
        y = 6 + made.coded @ truth / 2 + 2.0 * made.block + 0.3 * draw.normal(size=8)
        found = analyse(made, made.values(), made.block, y)
        plain = analyse(made, made.values(), np.zeros(8, dtype=int), y)
        inside += [f.low80 <= t <= f.high80 for f, t in zip(found, truth, strict=True)]
        width.append(np.mean([f.high80 - f.low80 for f in found]))
        without.append(np.mean([f.high80 - f.low80 for f in plain]))
    assert 0.7 <= np.mean(inside) <= 0.97
    assert np.mean(width) < 0.6 * np.mean(without)


def test_it_waits_for_scores_and_refuses_what_is_no_series():
    made = design(TWO, 6)
    score = np.array([6.0, 7.0, 6.5, np.nan, np.nan, np.nan])
    with refused(FindingError, "findings.too-few-scored", scored=3, least=5):
        analyse(made, made.values(), made.block, score)
    with refused(FindingError, "findings.series-variables", most=6):
        design(TWO[:1], 6)
    with refused(FindingError, "findings.series-too-few", variables=4, least=8):
        design(SIX[:4], 6)
    with refused(FindingError, "findings.series-middle", most=8):
        design(TWO, 8, middle=9)
    with refused(FindingError, "findings.series-makes", least=4, most=32):
        design(TWO, 3)
    with refused(FindingError, "findings.series-parts"):
        design(TWO, 4, blocks=3)
    with refused(FindingError, "findings.low-not-below-high", variable="salt"):
        Factor("salt", 3, 2)


def test_fewer_than_five_scores_have_no_range_but_plain_means():
    made = design(TWO, 8)
    table = score_table_of(made, [6.0, 7.0, 6.5, 7.5])
    report = answer_series(made, ("salt_in_curd", "curd_size"), [f"m{i}" for i in range(8)], table)
    assert report.effects == []
    assert report.why == Message("findings.too-few-scored", scored=4, least=5)
    assert text_of(report.why) == "4 makes of the series have a score: ranges need at least 5."
    assert report.scored == 4
    low = [y for y, c in zip([6.0, 7.0, 6.5, 7.5], made.coded[:4, 0], strict=True) if c < 0]
    assert report.means[0].low == pytest.approx(np.mean(low))
    assert report.means[0].lows == len(low)


def score_table_of(made, scores, real=None, age=60.0) -> ScoreTable:
    """A table of the first makes of a design, one wheel each."""
    n = len(scores)
    x = made.values()[:n] if real is None else np.asarray(real)[:n]
    ages = np.broadcast_to(np.asarray(age, dtype=float), (n,))
    return ScoreTable(
        "overall", [f"m{i}" for i in range(n)], [f"m{i}-A" for i in range(n)],
        np.asarray(scores, dtype=float), np.zeros(n),
        [Variable("salt in curd", unit="%", step=0.3), Variable("curd size", unit="mm", step=2.0),
         Variable("age at tasting", "age_at_tasting", "days", 30.0)],
        np.column_stack([x, ages]),
    )  # fmt: skip


def test_what_was_really_made_counts_and_is_named():
    made = design(TWO, 8)
    real = made.values().copy()
    real[2, 0] = 2.5  # the middle, where an end was wanted
    y = 6 + 2 * np.array([TWO[0].coded(v) for v in real[:, 0]])
    report = answer_series(
        made, ("salt_in_curd", "curd_size"), [f"m{i}" for i in range(8)],
        score_table_of(made, y, real),
    )  # fmt: skip
    assert report.off == [(2, 0)]
    assert report.means[0].lows + report.means[0].highs == 7  # the middle is neither
    assert report.effects[0].effect == pytest.approx(4.0, abs=0.3)
    assert report.effects[0].evidence == CLEAR


def test_ages_that_lie_far_apart_are_taken_out():
    made = design(TWO, 12)
    draw = np.random.default_rng(5)
    age = 60 + 60 * (np.arange(12) >= 6)
    y = 6 + 0.02 * age + 0.6 * made.coded[:, 0] + 0.05 * draw.normal(size=12)
    table = score_table_of(made, y, age=age)
    report = answer_series(made, ("salt_in_curd", "curd_size"), [f"m{i}" for i in range(12)], table)
    assert report.age_out
    assert report.effects[0].low95 <= 1.2 <= report.effects[0].high95
    near = answer_series(
        made, ("salt_in_curd", "curd_size"), [f"m{i}" for i in range(12)],
        score_table_of(made, y, age=60 + np.arange(12) / 2),
    )  # fmt: skip
    assert not near.age_out


def test_noise_is_seldom_called_clear():
    """At most 5 in 100 series of noise may call any of their factors clear; 120 of them, with
    the two standard errors such a share has."""
    draw, clear = np.random.default_rng(8), 0
    for seed in range(120):
        made = design(TWO, 8, seed=seed)
        found = analyse(made, made.values(), made.block.tolist(), 6 + draw.normal(size=8))
        clear += any(e.evidence == CLEAR for e in found)
    assert clear / 120 <= 0.05 + 2 * np.sqrt(0.05 * 0.95 / 120)


def test_the_foreseen_width_is_that_of_least_squares():
    """Half an effect's 80 % range: 1.2816 standard errors of twice a slope (normal theory)."""
    made = design(TWO, 8)
    assert width_80(made, 0.5) == pytest.approx(1.2816 * 2 * 0.5 / np.sqrt(8))
    assert width_80(design(TWO, 8, blocks=2), 0.5) == pytest.approx(width_80(made, 0.5))


def test_a_season_that_leans_is_measured():
    assert lean(design(THREE, 8, blocks=2)) == pytest.approx(0.0)
    whole = design(TWO, 4, blocks=1)
    turned = Design(whole.kind, whole.factors, whole.coded, (whole.coded[:, 0] > 0).astype(int),
                    whole.efficiency)  # fmt: skip
    assert lean(turned) == pytest.approx(2.0)


def test_a_kept_design_comes_back():
    made = design(THREE, 10, blocks=2)
    again = Design.of_makes(THREE, made.values(), made.block.tolist(), made.kind)
    np.testing.assert_allclose(again.coded, made.coded)
    assert again.efficiency == pytest.approx(made.efficiency)
    assert again.parts == [0, 1]


@pytest.mark.parametrize("makes", [13, 22, 31])
def test_the_exchange_leaves_nothing_better_by_one_swap(makes):
    """D-optimality as far as an exchange can tell: no single swap makes the determinant larger."""
    made = design(THREE, makes)
    candidates = np.array(list(product((-1.0, 0.0, 1.0), repeat=3)))

    def size(points) -> float:
        pairs = [points[:, i] * points[:, j] for i in range(3) for j in range(i + 1, 3)]
        x = np.column_stack([np.ones(len(points)), points, *pairs])
        return float(np.linalg.slogdet(x.T @ x)[1])

    here = size(made.coded)
    for i in range(makes):
        for candidate in candidates:
            trial = made.coded.copy()
            trial[i] = candidate
            assert size(trial) <= here + 1e-6


@pytest.mark.parametrize(("many", "makes", "kind"), [
    (4, 8, HALF), (5, 8, QUARTER), (5, 16, HALF), (6, 8, EIGHTH), (6, 16, MIRRORED), (6, 32, HALF),
])  # fmt: skip
def test_a_fraction_keeps_every_effect_apart_from_every_other(many, makes, kind):
    made = design(SIX[:many], makes)
    assert made.kind == kind
    assert (made.coded.T @ made.coded == makes * np.eye(many)).all()
    assert made.efficiency == pytest.approx(1.0)


def test_a_folded_series_answers_after_half_and_its_mirror_sets_pairs_apart():
    made = design(SIX, 16)
    first, then = made.coded[:8], made.coded[8:]
    assert {tuple(-row) for row in first} == {tuple(row) for row in then}
    assert set(aliases(first).singles) == set(range(6))
    assert aliases(made.ends).singles == {}
    in_seasons = design(SIX, 16, blocks=2)
    assert lean(in_seasons) == pytest.approx(0.0)
    assert set(aliases(in_seasons.coded[in_seasons.block == 0]).singles) == set(range(6))


def test_makes_in_the_middle_are_spread_over_the_series_and_its_seasons():
    made = design(THREE, 8, blocks=2, middle=4)
    assert made.coded.shape == (12, 3)
    assert [int(made.middle[made.block == b].sum()) for b in (0, 1)] == [2, 2]
    assert made.middle[[0, -1]].all()
    assert made.efficiency == pytest.approx(1.0)
    assert made.values()[made.middle][0].tolist() == pytest.approx([2.5, 11.0, 38.5])
    again = Design.of_makes(THREE, made.values(), made.block.tolist(), made.kind)
    assert (again.middle == made.middle).all()
    assert again.efficiency == pytest.approx(1.0)


def answered(made, score, real=None):
    codes = [f"m{i}" for i in range(len(score))]
    return answer_series(made, KEYS, codes, score_table_of(made, score, real))


KEYS = ("salt_in_curd", "curd_size")


def test_a_bend_is_told_by_the_makes_in_the_middle_and_seldom_where_there_is_none():
    made, draw = design(TWO, 8, middle=4), np.random.default_rng(4)
    lines = 6 + 0.5 * made.coded[:, 0]
    output = {"bent": 0, "straight": 0}
    for _ in range(80):
        luck = 0.3 * draw.normal(size=12)
        for name, bend in (("bent", 1.2), ("straight", 0.0)):
            fit = answered(made, lines + bend * made.middle + luck).fit
            assert fit.pure_df == 7  # four pairs made alike, and four in the middle
            output[name] += fit.bend_p < 0.05
    assert output["bent"] >= 70
    assert output["straight"] <= 80 * (0.05 + 3 * np.sqrt(0.05 * 0.95 / 80))


def test_two_that_act_together_are_lack_of_fit():
    made = design(TWO, 8, middle=3)
    luck = 0.1 * np.random.default_rng(1).normal(size=11)
    fit = answered(made, 6 + made.coded[:, 0] * made.coded[:, 1] + luck).fit
    assert fit.p < 0.001
    assert fit.bend_p > 0.05
    assert "or two act together" in fit_words(fit)[0]
    assert answered(design(TWO, 4), [6.0, 7.0, 6.0, 7.0]).fit is None


def test_a_make_done_otherwise_is_like_no_other():
    made = design(TWO, 8)
    real = made.values().copy()
    real[0, 0] = 2.5
    assert answered(made, 6 + 0.1 * np.arange(8.0), real).fit.pure_df == 3


def test_all_makes_of_the_journal_speak_of_the_same_change():
    """A series of eight beside forty other makes: the effect of both ways together is narrower
    than either, and holds the truth."""
    made, draw = design(TWO, 8), np.random.default_rng(6)
    others = np.column_stack([2.5 + 0.2 * draw.normal(size=40), 11 + 2 * draw.normal(size=40)])
    x = np.vstack([made.values(), others])
    y = 6 + 2.0 * (x[:, 0] - 2.5) + 0.4 * draw.normal(size=48)
    table = ScoreTable(
        "overall", [f"m{i}" for i in range(48)], ["A"] * 48, y, np.zeros(48),
        [Variable("salt in curd", unit="%", step=0.3), Variable("curd size", unit="mm", step=2.0)],
        x,
    )  # fmt: skip
    codes = [f"m{i}" for i in range(8)]
    found = answer_series(made, KEYS, codes, table, study(table, permutations=9))
    own, whole = found.effects[0], found.together[0]
    assert whole.makes == 48
    assert whole.low80 <= 2.0 * 0.8 <= whole.high80
    assert whole.high80 - whole.low80 < own.high80 - own.low80
    assert answer_series(made, KEYS, codes, table).together == (None, None)


def test_what_cannot_be_told_apart_is_said_by_name():
    [words] = alias_words(design(THREE, 4))
    assert "salt in curd with curd size like cook temperature" in words
    assert "With 8 makes each stands alone." in words
    assert alias_words(design(THREE, 8)) == [
        "Every variable, and every two that act together, can be told apart."
    ]
    assert "v0 with v1 or v2 with v3" in alias_words(design(SIX[:4], 8))[0]
