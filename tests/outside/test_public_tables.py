"""Public tables read as any table is, against analyses that were published of them.

Stack loss: 21 days of a plant that oxidises ammonia, Brownlee 1965, Statistical Theory and
Methodology in Science and Engineering, p. 454; coefficients as R's `summary(lm(stack.loss ~ .))`
prints them (r-tutor.com, Significance Test for MLR): 0.716, 1.295, -0.152, se 0.135, 0.368, 0.156,
R² 0.914. Cake: breaking angles of 270 chocolate cakes, Cook 1938, Chocolate cake I, in Cochran &
Cox 1957, Experimental Designs, p. 300, as `cake` of R's lme4, whose summary has
the mean 32.12. The design is balanced, so that differences of recipes are those of raw means
(lmerTest's own test says so of `angle ~ recipe * temp + (1|recipe:replicate)`); these and the slope
are recomputed from the data. Wines: bitterness of eight bottles by nine judges, Randall 1989,
Biometrical Journal 31, 781-793, as table 1 of Christensen's "A tutorial on fitting cumulative link
models with the ordinal package" prints it; balanced, so that warmth and contact with the skins are
differences of raw means; that tutorial's model has warmth 2.50 (se 0.53), contact 1.53 (0.48), both
with p under 0.002 (from memory). Apples: see test_apple_tasting.py. Tolerances are
half the last digit printed.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from journal.exchange.foreign import read_scores
from journal.findings import study

DATA = Path(__file__).parent / "data"


@pytest.fixture(scope="module")
def cake():
    return study(read_scores(DATA / "cake.csv", "angle"))


def test_stack_loss():
    found = study(read_scores(DATA / "stackloss.csv", "stack.loss"))
    assert found.r2 == pytest.approx(0.914, abs=5e-4)
    for name, slope, se in (
        ("Air.Flow", 0.716, 0.135), ("Water.Temp", 1.295, 0.368), ("Acid.Conc.", -0.152, 0.156)
    ):  # fmt: skip
        one = found.finding(name)
        assert one.ols_effect == pytest.approx(slope, abs=5e-4)
        assert one.effect / one.step == pytest.approx(slope, abs=se / 2)
    assert [found.finding(v).evidence for v in ("Air.Flow", "Water.Temp")] == ["clear", "clear"]


def test_recipes_of_cake_are_contrasts_and_the_heat_a_slope(cake):
    with (DATA / "cake.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    angle = np.array([float(row["angle"]) for row in rows])
    assert angle.mean() == pytest.approx(32.12, abs=5e-3)
    recipe = np.array([row["recipe"] for row in rows])
    heat = np.array([float(row["temperature"]) for row in rows])
    for one in "BC":
        output = cake.finding(f"recipe: {one}")
        raw = angle[recipe == one].mean() - angle[recipe == "A"].mean()
        assert output.ols_effect == pytest.approx(raw)
        assert output.effect == pytest.approx(raw, abs=0.1)
        assert output.as_json()["step"] is None
    slope = np.polyfit(heat, angle, 1)[0]
    heated = cake.finding("temperature")
    assert heated.ols_effect == pytest.approx(slope)
    assert heated.effect / heated.step == pytest.approx(slope, abs=0.005)
    assert heated.evidence == "clear"


def test_what_replicates_of_cake_share_is_no_variable_and_makes_the_ranges_narrower(cake):
    table = read_scores(DATA / "cake.csv", "angle")
    assert table.makes == 270
    assert [one.column for one in table.not_looked_at] == ["replicate"]
    blind = study(read_scores(DATA / "cake.csv", "angle", ["recipe", "temperature"]))
    assert blind.variables_tried == cake.variables_tried == 3
    heated = cake.finding("temperature")
    spread = float(table.y.std())
    assert heated.high95 - heated.low95 < 0.75 * 2 * 1.96 * spread / np.sqrt(270)


def test_apples_are_levelled_for_who_tasted_them():
    table = read_scores(DATA / "appletaste.csv", "aftertaste")
    assert (table.makes, table.assessors) == (4, 20)
    at = {float(x): y for x, y in zip(table.x[:, 0], table.y, strict=True)}
    output = [at[code] - at[298.0] for code in (493.0, 649.0, 937.0)]
    assert output == pytest.approx([20.575, -13.375, -48.800], rel=1e-4)


def test_bitter_wines_are_those_that_were_warm_and_stood_on_their_skins():
    table = read_scores(DATA / "wine_bitterness.csv", "rating", ["temp", "contact"])
    assert table.assessors == 9
    with (DATA / "wine_bitterness.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    rating = np.array([float(row["rating"]) for row in rows])
    found = study(table)
    for name, value in (("temp", "warm"), ("contact", "yes")):
        own = np.array([row[name] == value for row in rows])
        output = found.finding(f"{name}: {value}")
        raw = rating[own].mean() - rating[~own].mean()
        assert output.ols_effect == pytest.approx(raw)
        assert output.low95 <= raw <= output.high95
        assert output.low80 > 0
    warm, skins = (found.finding(v).effect for v in ("temp: warm", "contact: yes"))
    slope, slope_se, other, other_se = 2.50, 0.53, 1.53, 0.48  # of the published model
    off = 2 * slope / other * np.hypot(slope_se / slope, other_se / other)
    assert warm / skins == pytest.approx(slope / other, abs=off)


def test_the_number_of_a_bottle_says_which_wine_it_was_and_is_no_variable():
    table = read_scores(DATA / "wine_bitterness.csv", "rating")
    assert [v.key for v in table.variables] == ["temp_warm", "contact_yes"]
    assert (table.makes, table.assessors) == (8, 9)
    assert "bottle" in [one.column for one in table.not_looked_at]
    assert any(note.values.get("column") == "bottle" for note in table.notes)


@pytest.fixture(scope="module")
def milk():
    return read_scores(DATA / "milk_to_cheese.csv", "cheese")


def test_milk_gives_cheese_by_its_fat_and_its_casein(milk):
    with (DATA / "milk_to_cheese.csv").open(encoding="utf-8", newline="") as file:
        rows = [{k: float(v) for k, v in row.items()} for row in csv.DictReader(file)]
    assert len(rows) == 86
    named = ["density", "fat", "casein", "milk dry matter"]
    assert [rows[62][k] for k in named] == [rows[63][k] for k in named]
    design = np.array([[1.0, *(row[k] for k in named)] for row in rows])
    cheese = np.array([row["cheese"] for row in rows])
    plain, left, *_ = np.linalg.lstsq(design, cheese, rcond=None)
    found = study(milk.choosing(named))
    assert found.r2 == pytest.approx(1 - left[0] / ((cheese - cheese.mean()) ** 2).sum())
    for name, slope in zip(named, plain[1:], strict=True):
        output = found.finding(name)
        assert output.ols_effect == pytest.approx(slope)
        assert output.low80 <= slope * output.step <= output.high80
    assert [found.finding(v).evidence for v in ("fat", "casein")] == ["clear", "clear"]


def test_what_was_measured_twice_is_told_as_one_and_a_slip_is_named(milk):
    assert [one.column for one in milk.not_looked_at] == ["container"]
    found = study(milk)
    assert found.finding("protein").moved_with == ["casein"]
    assert found.finding("laboratory dry matter").moved_with == ["factory dry matter"]
    assert found.finding("fat").evidence == "clear"
    dry = milk.choosing(["casein", "laboratory dry matter"])
    pulls = {one.make: one.pulls for one in study(dry).residuals}
    assert max(pulls, key=pulls.__getitem__) == "70"
