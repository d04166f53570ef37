"""The truth can be found again by someone who knows the design: a check of the simulator alone."""

from __future__ import annotations

import csv

import numpy as np
import pytest

from journal.records.instants import DAY_MS
from journal.records.shelf import shelf
from journal.records.tastings import half_point
from journal.sample.made import Made, made
from journal.sample.panel import AGES, sessions
from journal.sample.truth import (
    ASSESSORS,
    CENTRE,
    EFFECTS,
    NULLS,
    Facts,
    defect_chances,
    quality,
)
from tests.present import NOW

NAMES = (*EFFECTS, *NULLS)
PEOPLE = tuple(ASSESSORS)


def scored(seed: int, makes: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Design (scores, variables and assessors), overall scores, and each score's make."""
    kitchen = made(seed, makes, NOW)
    design, score, make = [], [], []
    for session in sessions(seed, kitchen, NOW):
        for tasted in session.tasted:
            for given in tasted.given:
                design.append(_row(kitchen[tasted.cheese.make], tasted.age_days, given.assessor))
                score.append(given.scores["overall"])
                make.append(tasted.cheese.make)
    return np.array(design), np.array(score), np.array(make)


def _row(one: Made, age_days: float, assessor: str) -> list[float]:
    values = {**vars(one.facts), "age_days": age_days}
    return [*(values[name] for name in NAMES), *(float(assessor == p) for p in PEOPLE)]


def oracle(design: np.ndarray, score: np.ndarray, make: np.ndarray) -> tuple[np.ndarray, ...]:
    """Least squares with the truth's own design; errors by makes (sandwich), not by scores."""
    centred = design.copy()
    centred[:, : len(NAMES)] -= design[:, : len(NAMES)].mean(axis=0)
    coefficient = np.linalg.lstsq(centred, score, rcond=None)[0]
    left = score - centred @ coefficient
    bread = np.linalg.inv(centred.T @ centred)
    sums = np.array([centred[make == m].T @ left[make == m] for m in np.unique(make)])
    groups, width = len(sums), centred.shape[1]
    spread = bread @ (sums.T @ sums) @ bread * groups / (groups - width)
    return coefficient, np.sqrt(np.diag(spread))


def true_slopes() -> np.ndarray:
    return np.array([EFFECTS[n].slope if n in EFFECTS else 0.0 for n in NAMES])


def test_oracle_finds_every_effect_and_every_null() -> None:
    coefficient, error = oracle(*scored(5, 240))
    off = (coefficient[: len(NAMES)] - true_slopes()) / error[: len(NAMES)]
    # Twelve standard normal deviates: beyond 3.5 one set in two hundred.
    assert np.abs(off).max() < 3.5
    # And it is no empty statement: each true effect stands many errors clear of zero.
    sure = np.abs(coefficient / error)[: len(EFFECTS)]
    assert sure.min() > 8


def test_estimates_at_kitchen_size_are_not_off_on_average() -> None:
    slopes = np.array([oracle(*scored(seed, 24))[0][: len(NAMES)] for seed in range(40)])
    error = slopes.std(axis=0, ddof=1) / np.sqrt(len(slopes))
    off = (slopes.mean(axis=0) - true_slopes()) / error
    assert np.abs(off).max() < 3.7  # twelve t deviates with 39 degrees of freedom


def test_assessors_differ_in_level_as_told() -> None:
    coefficient, error = oracle(*scored(5, 240))
    level, spread = coefficient[-len(PEOPLE) :], error[-len(PEOPLE) :]
    report = np.array(list(ASSESSORS.values()))
    between = level - level.mean() - (report - report.mean())
    assert np.abs(between).max() < 3.5 * spread.max()
    assert len(set(report.tolist())) == 3


def test_quality_is_the_centre_where_every_effect_is_at_its_middle() -> None:
    facts = _middle()
    assert quality(facts, EFFECTS["age_days"].middle) == pytest.approx(CENTRE)
    assert quality(facts, EFFECTS["age_days"].middle + 30) == pytest.approx(CENTRE + 0.30)


def _middle() -> Facts:
    nulls = dict.fromkeys(NULLS, 1.0)
    known = {n: e.middle for n, e in EFFECTS.items() if n != "age_days"}
    return Facts(washed=False, **nulls, **known)


def test_scores_are_what_a_person_may_give() -> None:
    kitchen = made(2, 24, NOW)
    values = [
        (value, attribute)
        for session in sessions(2, kitchen, NOW)
        for tasted in session.tasted
        for given in tasted.given
        for attribute, value in given.scores.items()
    ]
    assert len(values) > 1000
    for value, attribute in values:
        assert half_point(value, attribute) == value
    overall = np.array([value for value, attribute in values if attribute == "overall"])
    assert np.mean((overall == 0) | (overall == 10)) < 0.02  # the scale's ends hide no effect


def test_sittings_fall_at_two_four_six_and_nine_months() -> None:
    kitchen = made(1, 24, NOW)
    ages = np.array([t.age_days for session in sessions(1, kitchen, NOW) for t in session.tasted])
    nearest = np.abs(ages[:, None] - np.array(AGES)).min(axis=1)
    assert nearest.max() <= 15.5  # a session every four weeks, in the evening
    for age in AGES:
        assert np.sum(np.abs(ages - age) <= 15.5) >= 5


def test_codes_are_blind_and_differ_within_a_sitting() -> None:
    for session in sessions(1, made(1, 24, NOW), NOW):
        codes = [t.blind_code for t in session.tasted]
        assert all(len(c) == 3 and c.isdigit() and c[0] != "0" for c in codes)
        assert len(set(codes)) == len(codes)
        assert session.at_ms < session.lifted_ms < NOW
        assert {g.assessor for t in session.tasted for g in t.given} <= set(PEOPLE)


def test_defects_are_terms_of_the_trade_table() -> None:
    with shelf("tables", "defect_terms.csv").open(encoding="utf-8", newline="") as file:
        known = {(row["group"], row["term"]) for row in csv.DictReader(file)}
    assert set(defect_chances(_middle(), 100.0, 1.0)) <= known


def test_newest_finished_make_lies_about_six_weeks_back_and_all_within_twenty_months() -> None:
    kitchen = made(1, 24, NOW)
    ago = [(NOW - one.started_ms) / DAY_MS for one in kitchen]
    assert ago == sorted(ago, reverse=True)
    assert ago[-2] == pytest.approx(42, abs=1)
    assert ago[0] - ago[-2] == pytest.approx(20 * 365.25 / 12, abs=2)
