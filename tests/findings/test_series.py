"""A designed series: balanced sets, blocks, and an answer with the milk's season taken out."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from journal.findings import FindingError
from journal.findings.evidence import CLEAR
from journal.findings.series import (
    BEST,
    FULL,
    HALF,
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
from tests.refusals import refused

TWO = (Factor("salt in curd", 2.1, 2.9, "%"), Factor("curd size", 8, 14, "mm"))
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
    with refused(FindingError, "findings.series-variables"):
        design(TWO[:1], 6)
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
