"""The whole study: words, sentences, JSON, few makes, gaps, variables that moved together."""

from __future__ import annotations

import json
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.findings import (
    CLEAR,
    LEANING,
    NEVER,
    UNDECIDED,
    FindingError,
    ScoreTable,
    Variable,
    scatter,
    study,
)
from journal.findings.evidence import MOST_MORE
from journal.message import Message
from journal.wording import text_of
from journal.wording.findings import doubt, doubt_of, study_headline
from journal.wording.sentences import count
from tests.refusals import refused

KEYS = {
    "variable",
    "step",
    "effect",
    "low80",
    "high80",
    "low95",
    "high95",
    "chance_positive",
    "ols_effect",
    "rho",
    "p",
    "q",
    "partial_r",
    "evidence",
    "moved_with",
    "makes_to_settle",
    "makes_to_settle_low",
    "makes_to_settle_high",
    "shape",
    "best",
}


def table(x, y, variables=None, **more):
    rows = len(y)
    given_names = variables or [Variable(f"v{j}") for j in range(np.shape(x)[1])]
    plain = {"make": [f"HL-{i}" for i in range(rows)], "wheel": ["A"] * rows, "assessors": 3}
    return ScoreTable(
        score_name="overall",
        y=np.array(y, dtype=float),
        y_se=np.full(rows, 0.2),
        variables=given_names,
        x=np.array(x, dtype=float),
        **{**plain, **more},
    )


def kitchen(makes=30, seed=1):
    draw = np.random.default_rng(seed)
    x = draw.normal(size=(makes, 4))
    y = 6 + 1.0 * x[:, 0] - 0.8 * x[:, 1] + 0.5 * draw.normal(size=makes)
    return x, y


def test_json_has_the_agreed_keys_and_no_nan():
    x, y = kitchen()
    x[:, 3] = 7
    output = study(table(x, y)).as_json()
    assert list(output) == [
        "score",
        "makes",
        "wheels",
        "assessors",
        "variables_tried",
        "r2",
        "r2_left_one_out",
        "findings",
        "leaning_by_chance",
    ]
    assert all(set(f) == KEYS for f in output["findings"])
    json.dumps(output, allow_nan=False)
    assert output["variables_tried"] == 4
    assert output["assessors"] == 3
    assert output["r2_left_one_out"] < output["r2"]


def test_true_effects_are_clear_and_come_first():
    answer = study(table(*kitchen()))
    first, second = answer.findings[:2]
    assert {first.variable, second.variable} == {"v0", "v1"}
    assert first.evidence == second.evidence == CLEAR
    assert answer.finding("v0").effect > 0 > answer.finding("v1").effect
    assert answer.finding("v0").chance_positive > 0.99
    assert first.makes_to_settle is None
    assert study_headline(answer) == "Two things go with the score so far."


def test_a_step_scales_and_turns_the_effect():
    x, y = kitchen()
    by_one = study(table(x, y)).finding("v0")
    stepped = [
        Variable("acid at milling", unit="pH", step=-0.1),
        *[Variable(f"v{j}") for j in (1, 2, 3)],
    ]
    f = study(table(x, y, stepped)).finding("acid at milling")
    sd = x[:, 0].std(ddof=1)
    assert by_one.step == pytest.approx(sd)
    assert f.effect == pytest.approx(-0.1 / sd * by_one.effect)
    assert f.low95 == pytest.approx(-0.1 / sd * by_one.high95)
    assert f.chance_positive == pytest.approx(1 - by_one.chance_positive)
    assert f.ols_effect == pytest.approx(by_one.ols_effect)
    assert f.low95 < f.low80 < f.effect < f.high80 < f.high95


@pytest.mark.parametrize("makes", [1, 2, 3, 4])
def test_fewer_than_five_makes_have_no_ranges(makes):
    x, y = kitchen(makes)
    answer = study(table(x, y))
    for f in answer.findings:
        assert f.evidence == (UNDECIDED if makes > 1 else NEVER)
    for f in answer.as_json()["findings"]:
        assert f["effect"] is f["low80"] is f["high95"] is f["ols_effect"] is None
    assert answer.as_json()["r2"] is None
    assert "too few to learn from yet" in study_headline(answer)
    assert "five makes" in doubt(answer)
    drawn = scatter(table(x, y), answer, "v0")
    assert drawn.x.size == makes
    assert drawn.line_x.size == drawn.line_y.size == 0


def test_ten_tastings_of_four_makes_are_four_makes():
    x, y = kitchen(4)
    many = np.repeat(np.arange(4), 10)
    answer = study(table(x[many], y[many], make=[f"m{i}" for i in many], wheel=["A"] * 40))
    assert answer.makes == 4
    assert all(f.evidence == UNDECIDED for f in answer.findings)
    assert min(f.p for f in answer.findings) > 0.05


def test_variables_that_moved_together_are_told_as_one():
    x, y = kitchen()
    twin = -3 * x[:, :1] + 0.01 * np.random.default_rng(2).normal(size=(30, 1))
    names = [*(Variable(f"v{j}") for j in range(4)), Variable("twin")]
    answer = study(table(np.hstack([x, twin]), y, names))
    one, other = answer.finding("v0"), answer.finding("twin")
    assert one.moved_with == ["twin"]
    assert other.moved_with == ["v0"]
    assert one.evidence == other.evidence == CLEAR
    assert one.effect == pytest.approx(-other.effect, rel=1e-6)
    assert one.ols_effect == pytest.approx(-3 * other.ols_effect, rel=1e-2)
    assert study_headline(answer) == "Two things go with the score so far."
    assert Message("findings.moved-together", names=["v0", "twin"]) in answer.notes


def test_what_never_varied_says_so():
    x, y = kitchen()
    x[:, 2] = 31.1
    answer = study(table(x, y))
    f = answer.finding("v2")
    assert f.evidence == NEVER
    assert f.makes_to_settle is None
    assert f.as_json()["rho"] is f.as_json()["effect"] is None
    assert answer.findings[-1] is f


def test_gaps_never_drop_a_make():
    x, y = kitchen()
    x[::7, 0] = np.nan
    x[3, 1] = np.nan
    answer = study(table(x, y))
    assert answer.makes == 30
    assert Message("findings.missing", variable="v0", lost=5, makes=30) in answer.notes
    assert answer.finding("v0").evidence == CLEAR
    drawn = scatter(table(x, y), answer, "v0")
    assert drawn.x.size == 25


def test_with_two_makes_no_note_says_what_only_more_could_show():
    """Any two makes lie on a line, and where nothing is fitted nothing stands in for a gap."""
    x, y = kitchen()
    x[0, 0] = np.nan
    assert any("gaps are" in text_of(note) for note in study(table(x[:6], y[:6])).notes)
    notes = " ".join(map(text_of, study(table(x[:2], y[:2])).notes))
    assert "changed together" not in notes
    assert "gaps are" not in notes
    assert "Ranges need at least 5 makes" in notes


def test_equal_scores_can_tell_nothing():
    x, _ = kitchen()
    answer = study(table(x, np.full(30, 6.0)))
    assert all(f.evidence == UNDECIDED for f in answer.findings)
    assert Message("findings.all-scores-alike") in answer.notes


def test_more_variables_than_makes():
    draw = np.random.default_rng(9)
    x = draw.normal(size=(8, 18))
    answer = study(table(x, 6 + draw.normal(size=8)))
    assert answer.as_json()["r2"] is None
    assert all(np.isfinite([f.low95, f.high95]).all() for f in answer.findings)
    assert Message("findings.no-least-squares") in answer.notes


def test_more_makes_are_asked_for_smaller_effects():
    draw = np.random.default_rng(11)
    x = draw.normal(size=(16, 6))
    y = 6 + 0.5 * x[:, 0] + draw.normal(size=16)
    answer = study(table(x, y))
    for f in answer.findings:
        if f.evidence in (LEANING, UNDECIDED):
            assert isinstance(f.makes_to_settle, int)
            assert f.makes_to_settle >= 1
    assert "more makes" in doubt(answer) or study_headline(answer).startswith("Two")


def test_what_is_nil_among_thousands_of_makes_is_not_waited_for():
    draw = np.random.default_rng(5)
    x = draw.normal(size=(3000, 3))
    y = 6 + 0.6 * x[:, 0] + draw.normal(size=3000)
    answer = study(table(x, y), permutations=9)
    assert answer.finding("v0").evidence == CLEAR
    unsure = [f for f in answer.findings if f.evidence in (LEANING, UNDECIDED)]
    assert unsure
    for f in unsure:
        assert f.makes_to_settle is None or f.makes_to_settle > 100
    assert "one more make would" not in doubt(answer)


def test_what_would_be_settled_soonest_is_said_with_the_makes_it_asks_for():
    report = {CLEAR: [], LEANING: [["cook rate"]], UNDECIDED: [["heal"], ["set"]], NEVER: []}
    output = "Two of three are undecided."
    about = doubt_of(20, 3, report, ("cook rate", 6))
    assert about == f"{output} Cook rate would be settled first, after about six more makes."
    least = doubt_of(20, 3, report, ("heal", MOST_MORE))
    assert least == f"{output} Heal would be settled first, after at least {MOST_MORE} more makes."


def test_how_many_lean_by_chance_is_said():
    """An 80 % range misses zero by chance in one of five: two of ten that do nothing may matter."""
    draw = np.random.default_rng(8)
    for _ in range(12):
        answer = study(table(draw.normal(size=(20, 10)), draw.normal(size=20)), permutations=9)
        words = [f.evidence for f in answer.findings]
        lean, chance = words.count(LEANING), round(answer.leaning_by_chance)
        assert ("that may matter" in doubt(answer)) == (lean > 1 or chance > 0)
        if lean > chance > 0:
            some = f"Of the {count(lean)} that may matter, about {count(chance)} may"
            assert some in doubt(answer)
        elif lean == chance > 1:
            both = "Both" if lean == 2 else f"All {count(lean)}"
            assert f"{both} that may matter may" in doubt(answer)
        elif lean > 1:
            assert f"Of the {count(lean)} that may matter, less than one may" in doubt(answer)


def test_more_makes_do_settle_it():
    """The makes asked for make an effect of that size clear in most journals."""
    settled = asked = 0
    for seed in range(40):
        draw = np.random.default_rng(seed)
        x = draw.normal(size=(14, 4))
        y = 6 + 0.6 * x[:, 0] + 0.8 * draw.normal(size=14)
        f = study(table(x, y), permutations=9).finding("v0")
        if f.makes_to_settle is None or not 0.4 < f.effect / f.step < 0.8:
            continue
        asked += 1
        more = draw.normal(size=(f.makes_to_settle, 4))
        later = 6 + f.effect / f.step * more[:, 0] + 0.8 * draw.normal(size=len(more))
        whole = study(table(np.vstack([x, more]), np.append(y, later)), permutations=9)
        settled += whole.finding("v0").evidence == CLEAR
    assert asked >= 8
    assert settled / asked > 0.5


def test_the_picture_agrees_with_the_finding():
    x, y = kitchen()
    whole = table(x, y)
    answer = study(whole)
    drawn = scatter(whole, answer, "v1")
    f = answer.finding("v1")
    slope = np.polyfit(drawn.line_x, drawn.line_y, 1)[0]
    assert slope == pytest.approx(f.effect / f.step, rel=1e-6)
    # other things equal, the points lie closer to the line than the raw scores do
    on_line = np.interp(drawn.x, drawn.line_x, drawn.line_y)
    assert np.std(drawn.y - on_line) < 0.7 * np.std(
        y - np.polyval(np.polyfit(x[:, 1], y, 1), x[:, 1])
    )
    assert (drawn.low95 <= drawn.low80).all()
    with refused(FindingError, "findings.no-such-variable", variable="sugar"):
        scatter(whole, answer, "sugar")


def test_one_table_one_answer():
    whole = table(*kitchen())
    assert study(whole).as_json() == study(whole).as_json()


def test_it_reports_and_can_be_stopped():
    report: list[float] = []
    study(table(*kitchen()), progress=report.append)
    assert report == sorted(report)
    assert report[-1] == 1.0
    with refused(FindingError, "findings.stopped"):
        study(table(*kitchen()), stop=lambda: True)


def test_nothing_to_look_at_is_refused():
    with refused(FindingError, "findings.nothing-to-look-at"):
        study(table(np.empty((3, 0)), np.ones(3), []))


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 14), st.integers(1, 8), st.integers(0, 10_000), st.booleans())
def test_any_small_table_is_answered(makes, k, seed, coarse):
    draw = np.random.default_rng(seed)
    x = draw.normal(size=(makes, k))
    y = draw.normal(size=makes)
    if coarse:
        x, y = np.round(x), np.round(y)
    x[draw.random(x.shape) < 0.15] = np.nan
    answer = study(table(x, y), permutations=99)
    json.dumps(answer.as_json(), allow_nan=False)
    assert len(answer.findings) == k
    assert study_headline(answer).endswith(".")
    assert doubt(answer).endswith(".")
    for v in range(k):
        scatter(table(x, y), answer, f"v{v}")


def test_importing_the_room_leaves_scipy_alone():
    code = "import sys, journal.findings; sys.exit(any(m.startswith('scipy') for m in sys.modules))"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_statistics_of_scipy_are_never_loaded():
    code = (
        "import sys, numpy as np\n"
        "from journal.findings import *\n"
        "x = np.random.default_rng(0).normal(size=(9, 2))\n"
        "t = ScoreTable('s', list('abcdefghi'), ['A'] * 9, x[:, 0], np.zeros(9),"
        " [Variable('a'), Variable('b')], x)\n"
        "study(t)\n"
        "sys.exit('scipy.stats' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
