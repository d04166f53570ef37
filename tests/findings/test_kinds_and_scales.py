"""Kinds as contrasts, doses as ratios, age as a curve, gaps by what is known, where scores part."""

from __future__ import annotations

import math

import numpy as np
import pytest

from journal.findings import AGE_KEY, ScoreTable, Variable, scatter, study
from journal.findings.categories import contrasts
from journal.findings.missing import fill
from journal.findings.scales import INVERSE_KELVIN, LOG, entered, entered_step
from journal.findings.spreads import session_share, spreads_of
from journal.message import Message
from journal.wording import text_of


def table(x, y, variables, make=None, wheel=None, **more):
    rows = len(y)
    return ScoreTable(
        "overall",
        [f"m{i}" for i in (range(rows) if make is None else make)],
        ["A"] * rows if wheel is None else wheel,
        np.asarray(y, float),
        np.full(rows, np.nan),
        variables,
        np.asarray(x, float),
        **more,
    )


def test_kinds_stand_against_the_usual_one():
    make = list("abcdefgh")
    found = contrasts("animal", make, ["cow"] * 4 + ["goat"] * 3 + ["sheep"])
    assert [(v.name, text_of(v.step_label)) for v, _ in found] == [("animal: goat", "for cow")]
    values = np.array(found[0][1])
    assert values[:7].tolist() == [0] * 4 + [1] * 3
    assert math.isnan(values[7])  # one sheep's make says nothing about goats


def test_a_single_kind_never_varied_and_rare_lots_are_not_told():
    ((variable, values),) = contrasts("animal", ["a", "b"], ["cow", "cow"])
    assert variable.step_label == Message("findings.only-kind", kind="cow")
    assert values == [0.0, 0.0]
    assert contrasts("lot", list("abcd"), ["1", "2", "3", "4"], least=5) == []
    assert contrasts("lot", ["a", "b"], ["", ""]) == []


def test_the_rest_is_told_as_another():
    make = [str(i) for i in range(12)]
    kinds = ["x"] * 6 + ["y"] * 2 + ["z"] * 2 + ["u", "v"]
    found = contrasts("source", make, kinds, least=2)
    assert [v.name for v, _ in found] == ["source: y", "source: z", "source: another"]


def test_an_effect_of_a_kind_is_found():
    draw = np.random.default_rng(1)
    goat = (np.arange(40) % 3 == 0).astype(float)
    y = 6 + 1.5 * goat + 0.5 * draw.normal(size=40)
    ((variable, _),) = contrasts("animal", ["a", "b", "c", "d"], ["cow", "cow", "goat", "goat"])
    answer = study(table(goat[:, None], y, [variable]), permutations=99)
    f = answer.findings[0]
    assert f.evidence == "clear"
    assert f.low95 < 1.5 < f.high95


def test_declared_scales_rise_and_are_exact():
    dose = np.array([0.01, 0.02, 0.04, np.nan])
    assert entered(dose, LOG)[:3] == pytest.approx(np.log(dose[:3]))
    warm = entered(np.array([8.0, 12.0]), INVERSE_KELVIN)
    assert warm == pytest.approx([-1 / 281.15, -1 / 285.15])
    assert entered_step(dose, LOG, 0.002) == pytest.approx(math.log(1.1))
    assert entered(np.array([0.0, 1.0]), LOG).tolist() == [0.0, 1.0]  # zero has no logarithm


def test_a_dose_that_works_by_its_ratio_is_found_and_drawn_bent():
    draw = np.random.default_rng(2)
    dose = np.exp(draw.uniform(math.log(0.005), math.log(0.08), 60))
    y = 6 + 0.9 * np.log(dose / 0.02) + 0.4 * draw.normal(size=60)
    more = Message("findings.share-more", percent=10)
    variable = Variable("culture dose", unit="g/L", step=0.002, step_label=more, scale=LOG)
    t = table(dose[:, None], y, [variable])
    answer = study(t, permutations=99)
    f = answer.findings[0]
    middle = float(np.median(dose))
    assert f.low95 < 0.9 * math.log((middle + 0.002) / middle) < f.high95
    seen = scatter(t, answer, "culture dose")
    truth = 6 + 0.9 * np.log(seen.line_x / 0.02)
    assert ((seen.low95 - 0.1 < truth) & (truth < seen.high95 + 0.1)).all()
    first, last = np.diff(seen.line_y)[[0, -1]] / np.diff(seen.line_x)[[0, -1]]
    assert first > 3 * last


def test_age_that_rises_and_falls_is_a_curve():
    draw = np.random.default_rng(3)
    make = np.repeat(np.arange(20), 3)
    age = np.tile([60.0, 150.0, 300.0], 20) + draw.integers(-20, 20, 60)
    y = 7 - ((age - 170) / 90) ** 2 + 0.3 * draw.normal(size=60)
    t = table(age[:, None], y, [Variable("age at tasting", AGE_KEY, "days", 30.0)], make)
    answer = study(t, permutations=99)
    assert answer.curves
    seen = scatter(t, answer, "age at tasting")
    peak = seen.line_x[int(np.argmax(seen.line_y))]
    assert 150 < peak < 190
    assert (seen.low95 < 7 - ((seen.line_x - 170) / 90) ** 2 + 0.4).all()
    straight = study(table(age[:9, None], y[:9], t.variables, make[:9]), permutations=9)
    assert not straight.curves  # too few ages and rows, told by the design alone


def test_gaps_are_filled_by_what_the_others_tell():
    draw = np.random.default_rng(4)
    a = draw.normal(size=60)
    x = np.column_stack([a, 2 * a + 0.3 * draw.normal(size=60), draw.normal(size=60)])
    truth = x[:20, 1].copy()
    x[:20, 1] = np.nan
    filled = fill(table(x, np.zeros(60), [Variable(n) for n in ("a", "b", "c")])).x[:20, 1]
    middle = np.nanmedian(x[:, 1])
    # half as far off as the middle is: as much as we ask, no source
    assert np.mean((filled - truth) ** 2) < 0.5**2 * np.mean((middle - truth) ** 2)
    assert np.corrcoef(filled, truth)[0, 1] > 0.9


def test_no_make_is_dropped_and_ranges_hold_with_gaps():
    draw = np.random.default_rng(5)
    held = []
    for _ in range(60):
        x = draw.normal(size=(30, 4))
        x[:, 1] = 0.6 * x[:, 0] + 0.8 * x[:, 1]
        y = 6 + x @ [0.5, 0.5, 0.0, -0.5] + 0.8 * draw.normal(size=30)
        seen = np.where(draw.random(x.shape) < 0.15, np.nan, x)
        answer = study(table(seen, y, [Variable(f"v{j}", step=1.0) for j in range(4)]),
                       permutations=9)  # fmt: skip
        assert answer.makes == 30
        for j, true in enumerate([0.5, 0.5, 0.0, -0.5]):
            f = answer.finding(f"v{j}")
            held.append((f.low80 <= true <= f.high80, f.low95 <= true <= f.high95))
    at80, at95 = np.mean(held, axis=0)
    assert 0.75 - 3 * math.sqrt(0.16 / 240) < at80
    assert 0.91 - 3 * math.sqrt(0.0475 / 240) < at95


def panel_of(draw, sitting_sd, makes=24):
    rows = []
    moods = sitting_sd * draw.normal(size=makes // 2 * 3)
    for m in range(makes):
        level = 0.8 * draw.normal()
        for k, days in enumerate((60.0, 120.0, 200.0)):
            session = m // 2 + k * (makes // 2)
            for person, off in enumerate((0.5, -0.5, 0.0)):
                value = 6 + level + moods[session] + off + 0.35 * draw.normal()
                rows.append((m, m, person, session, days, value))
    return np.array(rows, dtype=float).T


def test_where_single_scores_part():
    draw = np.random.default_rng(6)
    found = [spreads_of(*panel_of(draw, 0.4)) for _ in range(12)]
    assert np.mean([s.make for s in found]) == pytest.approx(0.8, abs=0.1)
    assert np.mean([s.session for s in found]) == pytest.approx(0.4, abs=0.08)
    assert np.mean([s.rest for s in found]) == pytest.approx(0.35, abs=0.02)
    assert np.mean([s.assessor for s in found]) == pytest.approx(0.5, abs=0.02)
    assert "sessions 0." in text_of(found[0].message())
    assert spreads_of(*panel_of(draw, 0.4)[:, :9]) is None


def test_a_mood_shared_by_a_sitting_does_not_pass_for_an_effect():
    """Wheels of one session share its mood: ignored, a variable that goes with it looks sure."""
    draw = np.random.default_rng(7)
    wrong = {True: 0, False: 0}
    for _ in range(60):
        session = np.repeat(np.arange(6), 6)
        mood = 0.8 * draw.normal(size=6)
        x = (np.repeat(draw.normal(size=6), 6) + 0.2 * draw.normal(size=36))[:, None]
        y = 6 + mood[session] + 0.4 * draw.normal(size=36)
        common = 0.8 * (session[:, None] == np.arange(6)).astype(float)
        for report in (True, False):
            t = table(x, y, [Variable("v", step=1.0)], shared=common if report else None)
            f = study(t, permutations=9).findings[0]
            wrong[report] += f.low95 > 0 or f.high95 < 0
    assert wrong[True] <= 8
    assert wrong[False] > 2 * wrong[True] + 5


def test_a_sittings_share_of_a_wheels_score():
    from journal.findings.panel import panel_scores

    wheel, session = np.array([0.0, 0, 1, 1]), np.array([5.0, 5, 5, 9])
    age, value = np.array([60.0] * 4), np.array([6.0, 7, 5, 6])
    panel = panel_scores(wheel, [0, 1, 0, 1], session, age, value)
    assert session_share(panel, wheel, session, age, value).tolist() == [[1, 0], [0.5, 0.5]]


def test_a_spoonful_leaves_a_share_open_whatever_the_dose():
    """A tenth of it: of a dose that works by its ratio 0.1 at any dose, else a tenth of the dose;
    what was not read leaves nothing open here."""
    x = np.array([[0.01, 2.0], [0.04, 3.0], [0.02, np.nan]])
    variables = [Variable("culture dose", unit="g/L", scale=LOG), Variable("salt in curd")]
    unsure = fill(table(x, np.zeros(3), variables, off=np.full((3, 2), 0.1))).unsure
    measured = {int(row): one for one in unsure for row in one.rows if len(one.columns) == 2}
    for row, salt in ((0, 0.2), (1, 0.3)):
        assert measured[row].covariance == pytest.approx(np.diag([0.1**2, salt**2]))
    lost = np.array([[0.01, 2.0], [0.04, 3.0], [np.nan, 2.0]])
    with_spoons, without = (
        [one for one in fill(table(lost, np.zeros(3), variables, off=off)).unsure
         if 2 in one.rows and 0 in one.columns]
        for off in (np.full((3, 2), 0.1), None)
    )  # fmt: skip
    assert len(with_spoons) == len(without) == 1
    assert with_spoons[0].covariance == pytest.approx(without[0].covariance)


def test_gaps_beside_values_far_out_are_filled_within_reason():
    """Many small values and few large ones: the middle is not the mean, and yet what is filled
    lies half as far off the truth as the middle does (as much as we ask, no source)."""
    draw = np.random.default_rng(3)
    a = np.exp(draw.normal(size=200))
    b = a * (1 + 0.1 * draw.normal(size=200))
    x = np.column_stack([a, np.where(np.arange(200) < 60, np.nan, b)])
    filled = fill(table(x, np.zeros(200), [Variable("a"), Variable("b")])).x[:60, 1]
    off, middle = np.mean((filled - b[:60]) ** 2), np.mean((np.median(b) - b[:60]) ** 2)
    assert off < 0.5**2 * middle
