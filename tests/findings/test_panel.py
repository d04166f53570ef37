"""Wheel scores from single scores: levels taken out, nothing dropped."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.findings import FindingError, panel_scores
from journal.message import Message
from journal.wording import text_of
from tests.refusals import refused


def full(wheels: int, people: int) -> tuple[np.ndarray, np.ndarray]:
    return np.repeat(np.arange(wheels), people), np.tile(np.arange(people), wheels)


def test_a_full_panel_gives_row_means_and_a_textbook_error():
    wheel, person = full(4, 3)
    score = np.array([5, 6, 7, 6, 7, 9, 4, 5, 5, 8, 8, 9.5])
    found = panel_scores(wheel, person, 0 * wheel, 0 * wheel + 60, score)
    cells = score.reshape(4, 3)
    assert found.score == pytest.approx(cells.mean(axis=1))
    rest = cells - cells.mean(1, keepdims=True) - cells.mean(0, keepdims=True) + cells.mean()
    variance = (rest**2).sum() / 6
    assert found.df == 6
    assert found.residual_sd == pytest.approx(np.sqrt(variance))
    assert found.se == pytest.approx(np.full(4, np.sqrt(variance / 3)))


def test_a_wheel_the_strict_one_missed_is_no_better_off():
    wheel, person = full(5, 3)
    truth, level = np.array([5.0, 6, 7, 4, 8]), np.array([-2.0, 0.5, 1.5])
    score = truth[wheel] + level[person]
    score[(wheel == 2) & (person == 0)] = np.nan
    found = panel_scores(wheel, person, 0 * wheel, 0 * wheel, score)
    assert np.diff(found.score) == pytest.approx(np.diff(truth))
    assert np.diff(found.assessor_level) == pytest.approx(np.diff(level))
    assert found.count.tolist() == [3, 3, 2, 3, 3]


def test_one_assessor_will_do():
    found = panel_scores([3, 1, 2], [7, 7, 7], [0, 0, 0], [60, 60, 61], [5.0, 6.5, 8.0])
    assert found.wheel_ix.tolist() == [1, 2, 3]
    assert found.score == pytest.approx([6.5, 8.0, 5.0])
    assert np.isnan(found.se).all()
    assert found.df == 0
    assert found.assessor_level == pytest.approx([0.0])
    assert found.notes == [Message("findings.scatter-unknown")]


def test_one_score_will_do():
    found = panel_scores([0], [0], [0], [30], [7.0])
    assert found.score == pytest.approx([7.0])


def test_two_ages_are_two_rows():
    wheel, person = full(2, 2)
    wheel, person = np.tile(wheel, 2), np.tile(person, 2)
    age = np.repeat([60, 120], 4)
    found = panel_scores(wheel, person, age, age, np.arange(8.0))
    assert list(zip(found.wheel_ix.tolist(), found.age_days.tolist(), strict=True)) == [
        (0, 60.0),
        (0, 120.0),
        (1, 60.0),
        (1, 120.0),
    ]
    assert not found.session_fitted


def test_sittings_are_levelled_where_wheels_link_them():
    # Wheels 0 and 1 at session 0, wheels 1 and 2 at session 1, where everybody was a point mild.
    rows = [(w, p, s) for s, ws in ((0, (0, 1)), (1, (1, 2))) for w in ws for p in (0, 1)]
    wheel, person, session = np.array(rows).T
    score = np.array([5.0, 6, 7])[wheel] + np.array([-0.5, 0.5])[person] + session
    found = panel_scores(wheel, person, session, 0 * wheel + 90, score)
    assert found.session_fitted
    assert np.diff(found.score) == pytest.approx([1.0, 1.0])


def test_people_who_share_no_wheel_are_not_levelled_and_it_says_so():
    found = panel_scores([0, 1, 2, 3], [0, 0, 1, 1], [0] * 4, [0] * 4, [4.0, 5, 8, 9])
    assert found.score == pytest.approx([4, 5, 8, 9])
    assert Message("findings.wheels-unlinked") in found.notes


def test_a_wheel_without_any_score_is_said():
    found = panel_scores([0, 1], [0, 0], [0, 0], [0, 0], [5.0, np.nan])
    assert found.wheel_ix.tolist() == [0]
    assert Message("findings.wheels-without-score", wheels=1) in found.notes
    assert text_of(found.notes[0]) == "1 wheel has no score yet."


def test_no_score_at_all_is_refused():
    with refused(FindingError, "findings.no-score-yet"):
        panel_scores([0], [0], [0], [0], [np.nan])
    with refused(FindingError, "findings.panel-uneven"):
        panel_scores([0], [0, 1], [0], [0], [5.0])


@settings(max_examples=40, deadline=None)
@given(st.integers(2, 6), st.integers(1, 4), st.integers(0, 10_000), st.floats(0.3, 1.0))
def test_no_wheel_is_ever_dropped(wheels, people, seed, share):
    draw = np.random.default_rng(seed)
    wheel, person = full(wheels, people)
    score = draw.normal(6, 1, wheel.size)
    score[draw.random(wheel.size) > share] = np.nan
    score[person == 0] = np.where(np.isnan(score[person == 0]), 5.0, score[person == 0])
    found = panel_scores(wheel, person, 0 * wheel, 0 * wheel, score)
    assert found.wheel_ix.tolist() == list(range(wheels))
    assert np.isfinite(found.score).all()
    # adding a point to everything adds a point to every wheel
    more = panel_scores(wheel, person, 0 * wheel, 0 * wheel, score + 1)
    assert more.score == pytest.approx(found.score + 1)
