"""How good a panel is: worked by hand, and what is said of it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from journal.findings import FindingError
from journal.findings.agreement import (
    complete_table,
    defect_agreement,
    fleiss_kappa,
    intraclass,
    members,
)
from journal.wording.panel import agreed_defect_words, agreement_words, member_words
from tests.refusals import refused


def test_levels_spread_and_doubles_by_hand():
    """Two people, three cheeses, the first served twice.

    Means of the wheels 7, 5, 6 and 6, 4, 5: levels ±0.5. Doubles 7.5 and 6.5 scatter by √0.5,
    6 and 6 not at all.
    """
    found = members(
        [0, 0, 0, 0, 1, 1, 1, 1],
        [0, 1, 2, 3, 0, 1, 2, 3],
        [0, 0, 1, 2, 0, 0, 1, 2],
        [7.5, 6.5, 5.0, 6.0, 6.0, 6.0, 4.0, 5.0],
    )
    assert [m.level for m in found] == pytest.approx([0.5, -0.5])
    assert [m.repeat_sd for m in found] == pytest.approx([0.5**0.5, 0.0])
    assert [m.doubles for m in found] == [1, 1]
    assert [m.spread for m in found] == pytest.approx([1.0, 1.0])
    assert [m.with_others for m in found] == pytest.approx([1.0, 1.0])


def test_one_who_turns_the_scale_about_is_told_kindly():
    scores = [3.0, 5.0, 7.0, 9.0, 8.0, 6.0, 4.0, 2.0]
    found = members([0] * 4 + [1] * 4, [0, 1, 2, 3] * 2, [0, 1, 2, 3] * 2, scores)
    assert found[0].with_others == pytest.approx(-1.0)
    assert "worth discussing" in member_words(found[1], "Tam")
    assert math.isnan(found[0].repeat_sd)
    assert "repeat" not in member_words(found[0], "Orla")


def test_a_lone_score_says_nothing_of_spread():
    found = members([0], [0], [0], [7.0])
    assert math.isnan(found[0].spread)
    assert member_words(found[0], "Orla") == "Orla scores at the panel's level."


def test_a_simulated_panel_is_read_back():
    rng = np.random.default_rng(5)
    wheel = rng.normal(6, 1.5, 60)
    level, noise = np.array([0.6, -0.2, -0.4]), np.array([0.3, 0.6, 0.9])
    who, sample, cheese, score = [], [], [], []
    for c in range(60):
        for twice in range(2):
            for a in range(3):
                who.append(a)
                sample.append(2 * c + twice)
                cheese.append(c)
                score.append(wheel[c] + level[a] + rng.normal(0, noise[a]))
    found = members(who, sample, cheese, score)
    assert [m.level for m in found] == pytest.approx(level, abs=0.15)
    assert [m.repeat_sd for m in found] == pytest.approx(noise, rel=3 / 120**0.5)  # 3 se of a sd
    table = np.reshape(score, (120, 3))
    assert 0.7 < intraclass(table).one[2] < 0.95
    assert "can be trusted" in agreement_words(intraclass(table), 3)
    assert "so few samples" not in agreement_words(intraclass(table), 3)


def test_trust_out_of_three_samples_is_said_to_be_out_of_few():
    """Two people, three samples: the mean agrees above 0.75, its range begins below zero."""
    found = intraclass([[5.0, 5.0], [6.0, 6.5], [7.0, 6.0]])
    assert found.mean[1] > 0.75
    assert found.low < 0
    assert "as far as so few samples can show" in agreement_words(found, 2)


def test_the_range_holds_the_correlation_as_often_as_it_says():
    """ICC(3,1) of 8 samples by 3 assessors, true value 0.5: within 95 % ± 2.5 of 1,000."""
    rng = np.random.default_rng(11)
    inside = 0
    for _ in range(1000):
        table = rng.normal(0, 1, (8, 1)) + rng.normal(0, 0.5, 3) + rng.normal(0, 1, (8, 3))
        found = intraclass(table)
        inside += found.low <= 0.5 <= found.high
    assert 925 <= inside <= 975


@pytest.mark.parametrize("table", [[[1, 2]], [[1], [2]], [[1, 2], [float("nan"), 3]]])
def test_too_little_to_tell_is_refused(table):
    with refused(FindingError, "findings.agreement-too-small"):
        intraclass(table)


def test_scores_all_alike_are_refused():
    with refused(FindingError, "findings.panel-all-alike"):
        intraclass([[4, 4], [4, 4]])


def test_agreement_in_full_and_on_one_thing_alone():
    assert fleiss_kappa([[3, 0], [0, 3]]) == 1.0
    assert math.isnan(fleiss_kappa([[3, 0], [3, 0]]))
    with refused(FindingError, "findings.defect-agreement-uneven"):
        fleiss_kappa([[1, 0], [0, 1]])
    with refused(FindingError, "findings.defect-agreement-uneven"):
        fleiss_kappa([[2, 0], [0, 3]])


def test_only_samples_that_all_scored_make_the_table():
    who = [0, 0, 0, 1, 1, 1, 2]
    sample = [0, 1, 2, 0, 1, 2, 0]
    table, people = complete_table(who, sample, [7, 6, 5, 6, 5, 4, 9])
    assert people == [0, 1]
    assert table.tolist() == [[7, 6], [6, 5], [5, 4]]
    assert complete_table([0, 0], [0, 1], [7, 6])[0].size == 0


def test_agreement_on_defects_by_hand():
    """Two people, four samples: bitter always together, open never; kappas 1 and −1/3.

    Open: named once on two samples of four: seen (0 + 0 + 1 + 1) / 4 = .5, by chance
    .25² + .75² = .625, so (.5 − .625) / .375.
    """
    tasted = dict.fromkeys(range(4), ("Orla", "Tam"))
    named = [(0, "Orla", "bitter"), (0, "Tam", "bitter"), (1, "Orla", "bitter"),
             (1, "Tam", "bitter"), (2, "Orla", "open"), (3, "Tam", "open")]  # fmt: skip
    found = defect_agreement(tasted, named)
    assert [(term, times) for term, _, times in found] == [("bitter", 4), ("open", 2)]
    assert [kappa for _, kappa, _ in found] == pytest.approx([1.0, (0.5 - 0.625) / 0.375])
    assert "agree well on bitter" in agreed_defect_words(found)
    assert "Too few" in agreed_defect_words([])
    assert agreed_defect_words([("curdy", 0.0, 3)]).endswith("you name it on different samples.")
    assert agreed_defect_words([("curdy", 0.0, 3), ("acid", 0.1, 4)]).endswith(
        "curdy and acid: you name them on different samples."
    )
    assert defect_agreement({0: ("Orla",)}, named) == []
