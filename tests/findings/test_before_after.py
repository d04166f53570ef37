"""Before and after a change: what differed, what may be the reason, makes and not rows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.findings import AGE_KEY, FindingError, ScoreTable, Variable, study
from journal.findings.before_after import _differed, compare_change, season, split_p
from journal.wording import text_of
from journal.wording.findings import compared_words
from tests.refusals import refused


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
        found = compare_change(t, study(t, permutations=9), late, [1] * 15 + [7] * 15)
        inside += found.held_low95 <= 1.0 <= found.held_high95
        assert found.before == found.after == 15
    assert inside >= 35


def test_what_moved_with_it_is_named_and_taken_off():
    draw = np.random.default_rng(2)
    t, late = kitchen(draw, effect=0.0, drift=2.0)
    found = compare_change(t, study(t, permutations=9), late, [6] * 30)
    assert found.difference > 1.0
    assert found.p < 0.01
    assert found.held_low95 < 0 < found.held_high95
    output = {s.id: s.values for s in found.beside}
    assert output["findings.also-differed"]["variable"] == "salt"
    assert "may be the reason" in compared_words(found)


def test_season_and_ageing_are_named():
    draw = np.random.default_rng(3)
    late = np.arange(20) >= 10
    age = np.where(late, 60.0, 150.0) + draw.integers(-9, 10, 20)
    t = table(age[:, None], 6 + 0.3 * draw.normal(size=20),
              [Variable("age at tasting", AGE_KEY, "days", 30.0)])  # fmt: skip
    answer = study(t, permutations=9)
    found = compare_change(t, answer, late, [12, 1] * 5 + [6, 7] * 5)
    assert text_of(found.beside[0]).startswith(
        "The milk's season changed at the same time: December to February before, June to August"
    )
    assert found.beside[1].id == "findings.age-differed"
    assert text_of(found.beside[1]).startswith("Ageing differed too")
    same = compare_change(t, answer, late, [1, 4, 7, 10] * 5)
    assert same.beside[0].id != "findings.season-changed"
    many = compare_change(t, answer, late, [1, 1, 1, 4, 4, 4, 7, 7, 7, 7] + [10] * 10)
    assert "and June to August before, September to November after." in text_of(many.beside[0])
    assert [season(m) for m in (12, 3, 8, 11)] == [
        "findings.december-to-february", "findings.march-to-may", "findings.june-to-august",
        "findings.september-to-november",
    ]  # fmt: skip


def test_a_variables_own_split_is_not_held_against_itself():
    draw = np.random.default_rng(4)
    t, _ = kitchen(draw, effect=0.0)
    high = t.x[:, 1] > np.median(t.x[:, 1])
    answer = study(t, permutations=9)
    found = compare_change(t, answer, high, [6] * 30, split_by="salt")
    assert found.held_low80 > 0
    assert all(s.values.get("variable") != "salt" for s in found.beside)
    assert not any("salt" in text_of(s) for s in found.beside)


def test_makes_count_and_too_few_are_refused():
    draw = np.random.default_rng(5)
    make = np.repeat(np.arange(8), 5)
    late = make >= 5
    y = np.where(late, 6.5, 6.0) + np.repeat(draw.normal(size=8), 5)
    t = table(draw.normal(size=(40, 1)), y, [Variable("v")], make)
    answer = study(t, permutations=9)
    assert compare_change(t, answer, late, [6] * 40).p >= 2 / 56  # of 8 makes, never of 40 rows
    with refused(FindingError, "findings.too-few-either-side", before=6, after=2):
        compare_change(t, answer, make >= 6, [6] * 40)
    with refused(FindingError, "findings.make-on-both-sides"):
        compare_change(t, answer, np.arange(40) % 2 == 0, [6] * 40)


def test_random_splits_come_near_all_of_them():
    draw = np.random.default_rng(6)
    a, b = draw.normal(size=14), draw.normal(size=14) + 0.7
    exact_few = split_p(a[:9], b[:9])
    assert 0 < exact_few <= 1
    assert split_p(a, b) == pytest.approx(split_p(a, b, seed=9), abs=0.02)


def samples_table(draw, rows=24, change=1.5, random_effect=0.5, never_before=False):
    """Makes with four samples each, of which some name a defect; the log odds change half way."""
    late = np.arange(rows) >= rows // 2
    x = draw.normal(size=(rows, 1))
    odds = -1.5 + change * late + 0.8 * x[:, 0] + random_effect * draw.normal(size=rows)
    named = draw.binomial(4, 1 / (1 + np.exp(-odds))).astype(float)
    if never_before:
        named[~late] = 0
    samples = np.full(rows, 4.0)
    found = ScoreTable(
        "bitter", [f"m{i:03d}" for i in range(rows)], ["A"] * rows, 100 * named / samples,
        np.full(rows, np.nan), [Variable("salt", step=1.0)], x, named=named, samples=samples,
    )  # fmt: skip
    return found, late


def test_a_defect_is_compared_in_samples_of_100():
    """The true change, over makes such as these and at the middle of the salt, lies in its range 8
    times in 10 within 3 in 100 and three standard errors of so many journals."""
    journals, draw = 60, np.random.default_rng(8)
    random_effect = 0.5 * draw.normal(size=4000)
    salty = 0.8 * draw.normal(size=4000)
    at = [100 / (1 + np.exp(1.5 - c - random_effect)) for c in (0.0, 1.5)]
    over = [100 / (1 + np.exp(1.5 - c - random_effect - salty)) for c in (0.0, 1.5)]
    plain = over[1].mean() - over[0].mean()
    held_true = at[1].mean() - at[0].mean()
    inside = []
    for _ in range(journals):
        t, late = samples_table(draw)
        found = compare_change(t, study(t, permutations=9), late, [6] * 24)
        inside.append((found.low80 <= plain <= found.high80,
                       found.held_low80 <= held_true <= found.held_high80))  # fmt: skip
        assert "bitter was named in" in compared_words(found)
    error = 3 * np.sqrt(0.16 / journals)
    for held in np.mean(inside, axis=0):
        assert 0.77 - error <= held <= 0.83 + error


def test_a_defect_that_was_never_named_before_still_has_a_range():
    t, late = samples_table(np.random.default_rng(9), never_before=True)
    found = compare_change(t, study(t, permutations=9), late, [6] * 24)
    assert found.low95 < found.low80 < found.difference < found.high80 < found.high95 <= 100
    assert found.low95 > 0
    assert found.p < 0.05


@pytest.mark.parametrize(
    ("name", "unit", "output"),
    [
        ("salt in curd", "%", "Also salt in curd was 2 % before and 2.4 % after."),
        ("pH at drain", "pH", "Also pH at drain was 2 before and 2.4 after."),
        ("animal: goat", "", "Also animal: goat was 2 before and 2.4 after."),
    ],
)
def test_what_differed_too_is_told_in_its_unit(name, unit, output):
    assert text_of(_differed(Variable(name, unit=unit), [2.0, 2.4])) == output


def test_what_differed_most_is_named_first():
    draw = np.random.default_rng(10)
    late = np.arange(30) >= 15
    x = draw.normal(size=(30, 4)) + late[:, None] * [0.0, 2.0, 8.0, 4.0]
    t = table(x, 6 + draw.normal(size=30), [Variable(name) for name in ("a", "b", "c", "d")])
    found = compare_change(t, study(t, permutations=9), late, [6] * 30)
    assert [s.values["variable"] for s in found.beside] == ["c", "d", "b"]


def test_of_a_defect_makes_are_compared_by_their_shares():
    """A make that was tasted three times as often, and named as often in it, is one make still."""
    t, late = samples_table(np.random.default_rng(11))
    times = np.where(np.arange(24) % 3 == 0, 3.0, 1.0)
    more = replace(t, named=t.named * times, samples=t.samples * times)
    one, other = (
        compare_change(each, study(each, permutations=9), late, [6] * 24) for each in (t, more)
    )
    assert other.p == one.p < 0.2
