"""The truth can be found again by someone who knows the design: a check of the simulator alone."""

from __future__ import annotations

import csv
from dataclasses import replace

import numpy as np
import pytest

from journal.records.instants import DAY_MS
from journal.records.own_files import own_file
from journal.records.tastings import half_point
from journal.sample.made import Made, made
from journal.sample.panel import AGES, sessions
from journal.sample.truth import (
    ASSESSORS,
    CENTRE,
    DRIFT_A_YEAR,
    EFFECTS,
    NULLS,
    OPTIMA,
    Facts,
    defect_chances,
    level_of,
    quality,
)
from tests.present import NOW

NAMES = (*EFFECTS, *NULLS, *OPTIMA)
BENT = len(NAMES) + len(OPTIMA)  # columns that say something of the cheese
PEOPLE = tuple(ASSESSORS)


def scored(seed: int, makes: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Design (scores, variables, bends, assessors now and a year ago), overall scores, and each
    score's make."""
    kitchen = made(seed, makes, NOW)
    design, score, make = [], [], []
    for session in sessions(seed, kitchen, NOW):
        for tasted in session.tasted:
            for given in tasted.given:
                years = (NOW - session.at_ms) / (365.25 * DAY_MS)
                one = kitchen[tasted.cheese.make]
                design.append(_row(one, tasted.age_days, given.assessor, years))
                score.append(given.scores["overall"])
                make.append(tasted.cheese.make)
    return np.array(design), np.array(score), np.array(make)


def _row(one: Made, age_days: float, assessor: str, years: float) -> list[float]:
    values = {**vars(one.facts), "age_days": age_days}
    bends = ((values[name] - bend.best) ** 2 for name, bend in OPTIMA.items())
    who = [float(assessor == p) for p in PEOPLE]
    return [*(values[name] for name in NAMES), *bends, *who, *(-years * w for w in who)]


def oracle(design: np.ndarray, score: np.ndarray, make: np.ndarray) -> tuple[np.ndarray, ...]:
    """Least squares with the truth's own design; errors by makes (sandwich), not by scores."""
    centred = design.copy()
    centred[:, :BENT] -= design[:, :BENT].mean(axis=0)
    coefficient = np.linalg.lstsq(centred, score, rcond=None)[0]
    left = score - centred @ coefficient
    bread = np.linalg.inv(centred.T @ centred)
    sums = np.array([centred[make == m].T @ left[make == m] for m in np.unique(make)])
    groups, width = len(sums), centred.shape[1]
    spread = bread @ (sums.T @ sums) @ bread * groups / (groups - width)
    return coefficient, np.sqrt(np.diag(spread))


def true_slopes() -> np.ndarray:
    lines = [EFFECTS[n].slope if n in EFFECTS else 0.0 for n in NAMES]
    return np.array([*lines, *(-bend.points / bend.step**2 for bend in OPTIMA.values())])


def test_oracle_finds_every_effect_and_every_null() -> None:
    coefficient, error = oracle(*scored(5, 400))
    off = (coefficient[:BENT] - true_slopes()) / error[:BENT]
    # Thirteen standard normal deviates: beyond 3.5 one set in two hundred.
    assert np.abs(off).max() < 3.5
    # And it is no empty statement: each true effect stands many errors clear of zero.
    sure = np.abs(coefficient / error)
    assert min(*sure[: len(EFFECTS)], *sure[len(NAMES) : BENT]) > 6


def test_estimates_at_kitchen_size_are_not_off_on_average() -> None:
    slopes = np.array([oracle(*scored(seed, 40))[0][:BENT] for seed in range(40)])
    error = slopes.std(axis=0, ddof=1) / np.sqrt(len(slopes))
    off = (slopes.mean(axis=0) - true_slopes()) / error
    assert np.abs(off).max() < 3.7  # thirteen t deviates with 39 degrees of freedom


def test_assessors_differ_in_level_and_drift_as_told() -> None:
    coefficient, error = oracle(*scored(5, 400))
    for place, output in ((BENT, ASSESSORS), (BENT + len(PEOPLE), DRIFT_A_YEAR)):
        found = coefficient[place : place + len(PEOPLE)]
        report = np.array(list(output.values()))
        between = found - found.mean() - (report - report.mean())
        assert np.abs(between).max() < 3.5 * error[place : place + len(PEOPLE)].max()
        assert len(set(report.tolist())) == 3
    assert level_of("Orla", 365.25) == pytest.approx(ASSESSORS["Orla"] - DRIFT_A_YEAR["Orla"])


def test_quality_is_the_centre_where_every_effect_is_at_its_middle() -> None:
    facts = _middle()
    assert quality(facts, EFFECTS["age_days"].middle) == pytest.approx(CENTRE)
    assert quality(facts, EFFECTS["age_days"].middle + 30) == pytest.approx(CENTRE + 0.30)
    for off in (-0.1, 0.1):  # and a bend costs its points on either side
        beside = replace(facts, mill_ph=OPTIMA["mill_ph"].best + off)
        assert quality(beside, EFFECTS["age_days"].middle) == pytest.approx(CENTRE - 0.55)


def test_makes_that_are_alike_differ_by_half_a_point() -> None:
    """The means of makes, less what they deserve: the sd of so many makes lies within 15 %."""
    kitchen = made(5, 400, NOW)
    own = {}
    for one in kitchen:
        for cheese in one.cheeses:
            own.setdefault(cheese.make, []).append(cheese.random_effect)
    effects = np.array([np.mean(found) for found in own.values()])
    assert len(effects) > 350
    assert np.std(effects) == pytest.approx(0.5, rel=0.15)


def _middle() -> Facts:
    nulls = dict.fromkeys(NULLS, 1.0)
    known = {n: e.middle for n, e in EFFECTS.items() if n != "age_days"}
    known |= {n: bend.best for n, bend in OPTIMA.items()}
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
    kitchen = made(1, 40, NOW)
    ages = np.array(
        [
            tasted.age_days
            for session in sessions(1, kitchen, NOW)
            for tasted in session.tasted
            if not kitchen[tasted.cheese.make].noted
        ]
    )
    nearest = np.abs(ages[:, None] - np.array(AGES)).min(axis=1)
    assert nearest.max() <= 15.5  # a session every four weeks, in the evening
    for age in AGES:
        assert np.sum(np.abs(ages - age) <= 15.5) >= 5


def test_codes_are_blind_and_differ_within_a_sitting() -> None:
    for session in sessions(1, made(1, 40, NOW), NOW):
        codes = [t.blind_code for t in session.tasted]
        assert all(len(c) == 3 and c.isdigit() and c[0] != "0" for c in codes)
        assert len(set(codes)) == len(codes)
        assert session.at_ms < session.lifted_ms < NOW
        assert {g.assessor for t in session.tasted for g in t.given} <= set(PEOPLE)


def test_defects_are_terms_of_the_trade_table() -> None:
    with own_file("tables", "defect_terms.csv").open(encoding="utf-8", newline="") as file:
        known = {(row["group"], row["term"]) for row in csv.DictReader(file)}
    assert set(defect_chances(_middle(), 100.0, 1.0)) <= known


def test_newest_finished_make_lies_about_six_weeks_back_and_all_within_three_years() -> None:
    kitchen = made(1, 40, NOW)
    ago = [(NOW - one.started_ms) / DAY_MS for one in kitchen]
    assert ago == sorted(ago, reverse=True)
    assert ago[-2] == pytest.approx(42, abs=1)
    journal = [(NOW - one.started_ms) / DAY_MS for one in kitchen if not one.noted]
    assert len(journal) == 24
    assert journal[0] - journal[-2] == pytest.approx(20 * 365.25 / 12, abs=2)
    assert ago[0] < 3 * 365.25
