"""Difference tests, rankings and what they say."""

from __future__ import annotations

from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.findings import FindingError
from journal.findings.panel_tests import (
    CHANCE,
    DUO_TRIO,
    PAIRED,
    TRIANGLE,
    TWO_OF_FIVE,
    _leasts,
    least_right,
    panel_size,
    power,
    powers,
    result_of,
    right_range,
)
from journal.findings.ranking import ranking
from journal.wording.panel import (
    apart_words,
    fitting_words,
    ranking_words,
    result_words,
    size_words,
    times_words,
    verdict_words,
)
from tests.refusals import refused


def test_the_answer_is_a_sentence():
    found = result_of(TRIANGLE, 5, 6)
    assert result_words(found, TRIANGLE) == (
        "5 of 6 told them apart; by chance that happens 2 times in 100."
    )
    assert verdict_words(found).startswith("That is evidence of a difference: ")
    assert found.least == 5


def test_no_difference_is_no_proof_of_none():
    output = verdict_words(result_of(TRIANGLE, 3, 6))
    assert "no evidence" in output
    assert "5 right of 6" in output


def test_people_who_tasted_again_speak_for_themselves_alone():
    found, none = result_of(TRIANGLE, 5, 6), result_of(TRIANGLE, 3, 6)
    assert "for the one person who tasted" in verdict_words(found, 1)
    assert "for the two people who tasted" in verdict_words(found, 2)
    assert "such people" in verdict_words(found, 6)
    assert all("%" not in verdict_words(one, 2) for one in (found, none))
    assert verdict_words(none, 2).endswith("5 right of 6 would have been.")


def test_a_difference_is_not_said_beside_a_share_from_nought():
    found = result_of(PAIRED, 5, 5)
    assert found.differs
    assert found.low == 0
    assert "0 % to" not in verdict_words(found, 5)


def test_too_few_answers_are_said_to_be_too_few():
    output = verdict_words(result_of(TRIANGLE, 2, 2))
    assert "can never show a difference" in output
    assert result_of(TRIANGLE, 2, 2).least is None


def test_a_paired_comparison_counts_both_ways_unless_foreseen():
    both, one = result_of(PAIRED, 9, 10, two_sided=True), result_of(PAIRED, 9, 10)
    assert both.p == pytest.approx(2 * one.p)
    assert result_words(both, PAIRED, "bitter", "HL-0001-A") == (
        "9 of 10 found HL-0001-A more bitter; by chance that happens 2 times in 100."
    )
    assert result_of(PAIRED, 5, 10, two_sided=True).p == 1.0


@pytest.mark.parametrize(
    ("p", "words"),
    [
        (0.0178, "2 times in 100"), (0.35, "35 times in 100"), (0.0143, "1 time in 100"),
        (0.0021, "2 times in 1,000"), (0.0002, "2 times in 10,000"),
        (1e-7, "less than once in 10,000"), (1.0, "nearly always"),
    ],
)  # fmt: skip
def test_chances_as_how_often(p, words):
    assert times_words(p) == words


@settings(deadline=None)
@given(st.sampled_from(sorted(CHANCE)), st.integers(1, 120), st.sampled_from([0.2, 0.05, 0.01]))
def test_the_least_number_is_the_least(kind, answers, level):
    least = least_right(answers, CHANCE[kind], level)
    if least is None:
        assert result_of(kind, answers, answers, level=level).p > level
        return
    assert result_of(kind, least, answers, level=level).p <= level * (1 + 1e-12)
    if least > 0:
        assert result_of(kind, least - 1, answers, level=level).p > level


@pytest.mark.parametrize("kind", [TRIANGLE, DUO_TRIO, TWO_OF_FIVE])
def test_the_quick_table_of_least_numbers_is_the_exact_one(kind):
    quick = _leasts(CHANCE[kind], 0.05)
    for n in range(1, 200):
        assert quick[n - 1] == (least_right(n, CHANCE[kind]) or n + 1)


@settings(deadline=None)
@given(st.integers(1, 200), st.data())
def test_the_exact_range_holds_what_was_seen(answers, data):
    right = data.draw(st.integers(0, answers))
    low, high = right_range(right, answers)
    assert 0 <= low <= right / answers <= high <= 1


def test_how_many_it_takes_is_said():
    size = panel_size(TRIANGLE, 0.5)
    assert "from 16 answers on" in size_words(TRIANGLE, 0.5, 0.8, size)
    with refused(FindingError, "findings.too-many-answers", most=2950):
        panel_size(TRIANGLE, 0.01)
    with refused(FindingError, "findings.share-outside"):
        panel_size(TRIANGLE, 0.0)


@pytest.mark.parametrize(("right", "answers"), [(7, 6), (-1, 6)])
def test_counts_that_cannot_be_are_refused(right, answers):
    with refused(FindingError, "findings.impossible-count", right=right, answers=answers):
        result_of(TRIANGLE, right, answers)


def test_a_test_that_nobody_answered_is_refused():
    with refused(FindingError, "findings.no-answer-yet"):
        result_of(TRIANGLE, 0, 0)


def test_a_ranking_with_ties_counts_every_order():
    """Against every order of every row, listed: three people, three cheeses, one tie."""
    table = np.array([[1.0, 2.0, 3.0], [1.0, 2.5, 2.5], [1.0, 2.0, 3.0]])
    found = ranking(table)
    seen = ((table.sum(axis=0) - 6) ** 2).sum()
    rows = [list(permutations(row)) for row in table.tolist()]
    hits = [((np.sum(each, axis=0) - 6) ** 2).sum() >= seen - 1e-9 for each in product(*rows)]
    assert found.exact
    assert found.p == pytest.approx(np.mean(hits))


def test_many_cheeses_are_ranked_over_random_orders():
    rng = np.random.default_rng(3)
    table = np.array([rng.permutation(7) + 1 for _ in range(5)])
    found = ranking(table)
    assert not found.exact
    assert 0 < found.p <= 1
    assert ranking(table).p == found.p


def test_full_agreement_and_none_at_all():
    names = ["HL-0001-A", "HL-0002-A", "HL-0003-A"]
    alike = ranking([[1, 2, 3]] * 5)
    assert alike.w == pytest.approx(1.0)
    assert ranking_words(alike, names, "bitter").startswith(
        "From the most bitter to the least: HL-0001-A, HL-0002-A, HL-0003-A"
    )
    assert "HL-0001-A before HL-0003-A" in apart_words(alike, names)
    level = ranking([[1, 2, 3], [3, 2, 1], [2, 2, 2]])
    assert level.w == 0.0
    assert level.p == pytest.approx(1.0)
    assert "does not agree on an order" in ranking_words(level, names, "bitter")
    assert apart_words(level, names).startswith("No two")


@pytest.mark.parametrize("table", [[[1, 2]], [[1], [1]], [[1, float("nan")], [1, 2]]])
def test_too_little_to_rank_is_refused(table):
    with refused(FindingError, "findings.ranking-too-small"):
        ranking(table)


def test_few_people_are_told_kindly_what_they_can_do():
    assert "few who know the cheese" in fitting_words(3)
    assert fitting_words(1).startswith("One person")
    assert "60 people" in fitting_words(12)


@pytest.mark.parametrize("two_sided", [False, True])
@pytest.mark.parametrize("level", [0.05, 0.5])
@pytest.mark.parametrize("kind", CHANCE)
def test_the_quick_powers_are_those_of_each_number_of_answers(kind, level, two_sided):
    quick = powers(kind, 0.3, level, two_sided=two_sided)[:40]
    each = [power(kind, n, 0.3, level, two_sided=two_sided) for n in range(1, 41)]
    assert quick == pytest.approx(each, abs=1e-12)


def test_drawn_orders_count_those_as_far_apart():
    """Two people who put seven cheeses in one order but for two neighbours: 7 of the 5040 orders
    agree as well (Spearman's own count); of 99999 drawn ones within four standard errors."""
    found = ranking([range(7), [1, 0, *range(2, 7)]])
    assert not found.exact
    assert found.p == pytest.approx(7 / 5040, abs=4 * (7 / 5040 / 99_999) ** 0.5)
