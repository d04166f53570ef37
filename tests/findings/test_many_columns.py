"""Many sessions: held sparse they give the answer they give whole, in memory that grows with the
makes."""

from __future__ import annotations

import sys
import tracemalloc

import numpy as np
import pytest

from journal.findings import ScoreTable, Variable, many_columns, study
from journal.findings.many_columns import is_sparse, sparse
from journal.findings.mixed import RandomEffect, fit_mixed

MOOD = 0.6


def tasted(makes: int, seed: int = 3) -> ScoreTable:
    """Every make tasted young and old, three makes a session; sessions have moods."""
    draw = np.random.default_rng(seed)
    make = np.repeat(np.arange(makes), 2)
    session = make // 3 + np.tile([0, 4], makes)
    x = draw.normal(size=(makes, 6))[make]
    mood = MOOD * draw.normal(size=session.max() + 1)
    y = 6 + 0.4 * x[:, 0] + mood[session] + 0.5 * draw.normal(size=makes)[make]
    y = y + 0.3 * draw.normal(size=y.size)
    rows = np.arange(y.size)
    shared = sparse((y.size, mood.size), rows, session, np.full(y.size, MOOD))
    se = np.full(y.size, np.hypot(MOOD, 0.3))
    codes = [f"m{i:05d}" for i in make]
    variables = [Variable(f"v{j}", step=1.0) for j in range(6)]
    return ScoreTable("overall", codes, codes, y, se, variables, x, shared=shared)


def test_many_sessions_give_the_same_answer_sparse_and_whole(monkeypatch):
    table = tasted(360)
    assert is_sparse(table.shared)
    sparse = study(table).finding("v0")
    monkeypatch.setattr(many_columns, "MANY", 10**9)
    whole = study(tasted(360)).finding("v0")
    for name in ("effect", "low80", "high80", "low95", "high95"):
        assert getattr(sparse, name) == pytest.approx(getattr(whole, name), abs=1e-4)


def test_a_mixed_model_of_many_levels_is_the_same_sparse_and_whole(monkeypatch):
    draw = np.random.default_rng(1)
    session, person = np.repeat(np.arange(130), 5), np.tile(np.arange(5), 130)
    y = 0.8 * draw.normal(size=130)[session] + 0.4 * draw.normal(size=5)[person]
    y = y + 0.5 * draw.normal(size=y.size)
    terms = [RandomEffect("session", session), RandomEffect("person", person)]
    sparse = fit_mixed(y, np.ones((y.size, 1)), terms, to_the_last=False)
    monkeypatch.setattr(many_columns, "MANY", 10**9)
    whole = fit_mixed(y, np.ones((y.size, 1)), terms, to_the_last=False)
    assert sparse.sd("session") == pytest.approx(whole.sd("session"), rel=1e-5)
    assert sparse.levels["session"] == pytest.approx(whole.levels["session"], abs=1e-5)
    assert sparse.sd("session") == pytest.approx(0.8, abs=0.15)


def peak_mb(makes: int) -> float:
    """The most memory that the study of so many makes takes beside what was there before."""
    table = tasted(makes)
    tracemalloc.start()
    try:
        study(table, permutations=9)
        return tracemalloc.get_traced_memory()[1] / 1e6
    finally:
        tracemalloc.stop()


def test_four_times_the_makes_take_no_more_than_four_times_the_memory(monkeypatch):
    """Whole columns take sixteen times; the pairs of makes of one slope, which are let go at
    once, are left out."""
    monkeypatch.setattr(sys.modules["journal.findings.study"], "theil_sen", lambda x, y: 0.0)
    study(tasted(400), permutations=9)  # what is loaded once does not count
    assert peak_mb(1600) < 5 * peak_mb(400)
