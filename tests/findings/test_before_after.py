"""Before and after a change: what differed, what may be the reason, makes and not rows."""

from __future__ import annotations

import numpy as np
import pytest

from journal.findings import AGE_KEY, FindingError, ScoreTable, Variable, study
from journal.findings.before_after import compare, season, split_p


def table(x, y, variables, make=None):
    rows = len(y)
    return ScoreTable(
        "overall",
        [f"m{i:03d}" for i in (range(rows) if make is None else make)],
        ["A"] * rows,
        np.asarray(y, float),
        np.full(rows, np.nan),
        variables,
        np.asarray(x, float),
    )


def kitchen(draw, rows=30, effect=1.0, drift=0.0):
    late = np.arange(rows) >= rows // 2
    x = draw.normal(size=(rows, 2))
    x[:, 1] += drift * late
    y = 6 + effect * late + 0.8 * x[:, 1] + 0.5 * draw.normal(size=rows)
    return table(x, y, [Variable("milk ripened", step=1.0), Variable("salt", step=1.0)]), late


def test_a_change_is_found_with_all_else_held():
    draw = np.random.default_rng(1)
    inside = 0
    for _ in range(40):
        t, late = kitchen(draw)
        found = compare(t, study(t, permutations=9), late, [1] * 15 + [7] * 15)
        inside += found.held_low95 <= 1.0 <= found.held_high95
        assert found.before == found.after == 15
    assert inside >= 35


def test_what_moved_with_it_is_named_and_taken_off():
    draw = np.random.default_rng(2)
    t, late = kitchen(draw, effect=0.0, drift=2.0)
    found = compare(t, study(t, permutations=9), late, [6] * 30)
    assert found.difference > 1.0
    assert found.p < 0.01
    assert found.held_low95 < 0 < found.held_high95
    assert any(s.startswith("Also salt was") for s in found.beside)
    assert "may be the reason" in found.words


def test_season_and_ageing_are_named():
    draw = np.random.default_rng(3)
    late = np.arange(20) >= 10
    age = np.where(late, 60.0, 150.0) + draw.integers(-9, 10, 20)
    t = table(age[:, None], 6 + 0.3 * draw.normal(size=20),
              [Variable("age at tasting", AGE_KEY, "days", 30.0)])  # fmt: skip
    answer = study(t, permutations=9)
    found = compare(t, answer, late, [12, 1] * 5 + [6, 7] * 5)
    assert found.beside[0].startswith("The milk's season changed with it: winter before, summer")
    assert found.beside[1].startswith("Ageing differed too")
    same = compare(t, answer, late, [1, 4, 7, 10] * 5)
    assert not same.beside[0].startswith("The milk's season")
    assert [season(m) for m in (12, 3, 8, 11)] == ["winter", "spring", "summer", "autumn"]


def test_a_variables_own_split_is_not_held_against_itself():
    draw = np.random.default_rng(4)
    t, _ = kitchen(draw, effect=0.0)
    high = t.x[:, 1] > np.median(t.x[:, 1])
    answer = study(t, permutations=9)
    found = compare(t, answer, high, [6] * 30, split_by="salt")
    assert found.held_low80 > 0
    assert not any("salt" in s for s in found.beside)


def test_makes_count_and_too_few_are_refused():
    draw = np.random.default_rng(5)
    make = np.repeat(np.arange(8), 5)
    late = make >= 5
    y = np.where(late, 6.5, 6.0) + np.repeat(draw.normal(size=8), 5)
    t = table(draw.normal(size=(40, 1)), y, [Variable("v")], make)
    answer = study(t, permutations=9)
    assert compare(t, answer, late, [6] * 40).p >= 2 / 56  # of 8 makes, never of 40 rows
    with pytest.raises(FindingError, match="three of each"):
        compare(t, answer, make >= 6, [6] * 40)
    with pytest.raises(FindingError, match="before and after"):
        compare(t, answer, np.arange(40) % 2 == 0, [6] * 40)


def test_random_splits_come_near_all_of_them():
    draw = np.random.default_rng(6)
    a, b = draw.normal(size=14), draw.normal(size=14) + 0.7
    exact_few = split_p(a[:9], b[:9])
    assert 0 < exact_few <= 1
    assert split_p(a, b) == pytest.approx(split_p(a, b, seed=9), abs=0.02)
