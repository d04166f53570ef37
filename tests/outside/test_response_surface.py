"""Curves beside a published response surface.

Montgomery, Design and Analysis of Experiments, 5th edition 2001, Example 11-1, p. 431: yield of a
chemical process by time (min) and temperature (°F), a central composite design, as the reliawiki
page "Central Composite Response Surface Method" prints data and result: yield = -1430.52285 +
7.80749 time + 13.27053 temp - 0.05505 time² - 0.04005 temp² + 0.01 time temp, highest, 80.21, at
87 minutes and 176.5 °F.
"""

from __future__ import annotations

import numpy as np
import pytest

from journal.findings import ScoreTable, Variable, study
from journal.findings.predict import PredictionBase, predict

TIMES = (80, 80, 90, 90, 85, 85, 85, 85, 85, 92.07, 77.93, 85, 85)
TEMPERATURES = (170, 180, 170, 180, 175, 175, 175, 175, 175, 175, 175, 182.07, 167.93)
YIELDS = (76.5, 77.0, 78.0, 79.5, 79.9, 80.3, 80.0, 79.7, 79.8, 78.4, 75.6, 78.5, 77.0)


@pytest.fixture(scope="module")
def table():
    rows = len(YIELDS)
    return ScoreTable(
        "yield", [f"m{i}" for i in range(rows)], ["A"] * rows, np.array(YIELDS),
        np.full(rows, np.nan), [Variable("time", unit="min"), Variable("temperature", unit="°F")],
        np.column_stack([TIMES, TEMPERATURES]),
    )  # fmt: skip


def test_both_are_curves_and_best_where_the_surface_is_highest(table):
    found = study(table, permutations=9)
    for name, best in (("time", 87.0), ("temperature", 176.5)):
        one = found.finding(name)
        assert (one.evidence, one.as_json()["shape"]) == ("clear", "curve")
        assert one.best.low80 <= best <= one.best.high80
        assert one.best.value == pytest.approx(best, abs=0.5)


def test_what_is_foretold_there_is_what_is_published(table):
    found = study(table, permutations=9)
    output = predict(
        table, found, PredictionBase.of(table, "m4"), {"time": 87.0, "temperature": 176.5}
    )
    assert output.low80 <= 80.21 <= output.high80
    assert output.score == pytest.approx(80.21, abs=0.2)
