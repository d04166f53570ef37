"""The mature cheddars by command: `vatside findings TABLE` against the published fit.

Data: G. T. Lloyd and E. H. Ramshaw, CSIRO Division of Food Research, printed in Moore & McCabe,
Introduction to the Practice of Statistics. Fit: answers to exercise 28.14 of Baldi & Moore, The
Practice of Statistics in the Life Sciences, 3rd ed.; asked for to 3 significant digits.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from journal.command import main

DATA = Path(__file__).parent / "data" / "cheddar_taste.csv"
PUBLISHED = {"Acetic": 0.328, "H2S": 3.912, "Lactic": 19.671}


def answer(capsys, *words):
    assert main([*map(str, words), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def three_digits(value: float) -> str:
    return f"{value:.3g}"


def test_least_squares_of_taste(capsys):
    found = answer(capsys, "findings", DATA, "--score", "taste")
    assert (found["makes"], found["variables_tried"], found["assessors"]) == (30, 3, None)
    assert found["r2"] == pytest.approx(0.652, abs=0.0005)  # as printed
    effects = {one["variable"]: one["ols_effect"] for one in found["findings"]}
    assert {k: three_digits(v) for k, v in effects.items()} == {
        k: three_digits(v) for k, v in PUBLISHED.items()
    }
    assert found["findings"][0]["variable"] == "H2S"


def test_two_measures_only(capsys):
    found = answer(capsys, "findings", DATA, "--score", "taste", "--variables", "H2S,Lactic")
    assert {one["variable"] for one in found["findings"]} == {"H2S", "Lactic"}


def test_the_same_cheeses_brought_into_a_journal(capsys, tmp_path):
    """Brought in on a scale of 0 to 60, a point of the table is a sixth of a point here."""
    path = tmp_path / "past.vatside"
    answer(capsys, "begin", path, "--plan", "cheddar type", "--milk", "12l")
    words = ("--score", "taste", "--scale", "0-60", "--date", "2025-01-01")
    done = answer(capsys, "import-makes", path, DATA, *words)
    assert (done["read"], done["kept"], done["skipped"]) == (30, 30, 0)
    found = answer(capsys, "findings", path, "--score", "taste")
    effects = {one["variable"]: one["ols_effect"] for one in found["findings"]}
    for name, value in PUBLISHED.items():
        assert three_digits(effects[name] * 6) == three_digits(value)
