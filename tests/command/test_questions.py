"""plans, makes, deviation, forecast, findings, check, sample, export: their keys and answers."""

from __future__ import annotations

import json
import sqlite3

import pytest

from journal.keeping import Journal
from tests.present import NOW

MAKES = {
    "code", "name", "plan", "started_at", "milk_l", "readings", "wheels", "best_score", "failed",
    "why_failed", "verdict",
}  # fmt: skip
DEVIATION = {
    "rms_c", "worst_c", "worst_at", "minutes_outside", "cook_rate_c_per_min",
    "planned_cook_rate_c_per_min", "slip_min",
}  # fmt: skip
FORECAST = {
    "ph", "of", "reached_at", "low_at", "high_at", "basis", "stalled", "chance", "called",
    "verdict",
}  # fmt: skip
FINDINGS = {
    "score", "makes", "wheels", "assessors", "variables_tried", "r2", "r2_left_one_out",
    "findings", "best_known_plan", "notes", "not_looked_at", "leaning_by_chance",
}  # fmt: skip
FINDING = {
    "variable", "step", "effect", "low80", "high80", "low95", "high95", "chance_positive",
    "ols_effect", "rho", "p", "q", "partial_r", "evidence", "moved_with", "makes_to_settle",
    "makes_to_settle_low", "makes_to_settle_high", "shape", "best",
    "books",
}  # fmt: skip


@pytest.fixture(scope="module")
def sample(tmp_path_factory):
    from journal.sample import write_sample

    path = tmp_path_factory.mktemp("sample") / "hollow-lane.vatside"
    write_sample(path, makes=10, now_ms=NOW)
    return path


def test_plans_lists_the_plans_by_name(run, sample):
    names = [plan["name"] for plan in run("plans", "--json").data]
    assert len(names) >= 8
    assert names == sorted(names)
    assert "cheddar type" in run("plans").out
    more = {plan["name"] for plan in run("plans", sample, "--json").data}
    assert more > set(names)


def test_makes(run, sample):
    makes = run("makes", sample, "--json").data
    assert len(makes) == 10
    assert all(set(make) == MAKES for make in makes)
    assert [make["code"] for make in makes] == [f"HL-{n:04d}" for n in range(10, 0, -1)]
    assert any(make["best_score"] for make in makes)
    text = run("makes", sample).out
    assert len(text.splitlines()) == 11
    assert "running" in text


def test_an_empty_journal_has_no_makes(run, kitchen):
    assert run("makes", kitchen, "--json").data == []
    assert "no make" in run("makes", kitchen).out


def test_deviation_by_both_clocks(run, sample):
    day = run("deviation", sample, "HL-0003", "--json").data
    plan = run("deviation", sample, "HL-0003", "--clock", "plan", "--json").data
    assert set(day) == set(plan) == DEVIATION
    assert all(set(delay) == {"position", "kind", "minutes"} for delay in day["slip_min"])
    assert 0 < day["rms_c"] < plan["rms_c"]  # the stages ran late
    assert day["slip_min"] == plan["slip_min"]
    assert "HL-0003" in run("deviation", sample, "HL-0003").out


def test_deviation_worked_by_hand(run, begun):
    """Ripening at 31 °C from 08:30: readings one degree over for ten minutes, then right."""
    run("stage", begun, "latest", "end", "--at", "2026-07-14T08:30")
    for minute, value in ((30, 32), (40, 32), (50, 31), (59, 31)):
        run("log", begun, "latest", "milk-temp", value, "--at", f"2026-07-14T08:{minute}")
    found = run("deviation", begun, "latest", "--json").data
    # Square of the difference: 10 min of 1, 10 min from 1 to 0 (a third), 9 min of 0.
    assert found["rms_c"] == pytest.approx(((10 + 10 / 3) / 29) ** 0.5, abs=1e-6)
    assert found["worst_c"] == pytest.approx(1.0)
    assert found["worst_at"] == "2026-07-14T08:30:00+01:00"


def test_a_make_without_readings_deviates_by_nothing_known(run, begun):
    found = run("deviation", begun, "latest", "--json").data
    assert found["rms_c"] is None
    assert found["slip_min"] == [{"position": 0, "kind": "warm", "minutes": 0.0}]


def test_a_make_without_stages_or_readings_has_no_empty_heading(run, refused, tmp_path):
    past, kept = tmp_path / "past.csv", tmp_path / "past.vatside"
    past.write_text("Date,Taste\n2025-01-13,5\n2025-01-14,6\n")
    assert run("import-makes", kept, past, "--score", "Taste").code == 0
    output = run("deviation", kept, "latest").out
    assert "unknown" in output
    assert "Delay" not in output
    assert "–" not in output
    assert "log a pH first" in refused("forecast", kept, "latest", "--ph", "5.4")
    run("log", kept, "latest", "curd-ph", "5.6", "--at", "2025-01-14T12:00")
    assert run("forecast", kept, "latest", "--ph", "5.4").code == 0


def test_a_forecast_without_a_reading_says_what_it_leans_on(run, begun):
    assert "No pH reading yet" in run("forecast", begun, "latest", "--ph", "5.4").out


def test_forecast(run, sample):
    found = run("forecast", sample, "latest", "--ph", "5,4", "--json").data
    assert set(found) == FORECAST
    assert found["of"] == "curd"
    assert found["low_at"] <= found["reached_at"] <= found["high_at"]
    assert "reading" in found["basis"]
    whey = run("forecast", sample, "latest", "--ph", "5.4", "--of", "whey", "--json").data
    assert whey["reached_at"] > found["reached_at"]  # whey reads above curd
    never = run("forecast", sample, "latest", "--ph", "3.0", "--json").data
    assert never["reached_at"] is None
    assert (found["called"], never["chance"]) == (False, 0.0)
    assert found["chance"] > 0.9
    assert 0 <= found["stalled"] <= 1
    output = run("forecast", sample, "latest", "--ph", "3.0").out
    assert "pH 3.00 in the curd will not be reached at this rate." in output


def test_a_forecast_of_a_stalled_culture_says_how_likely_it_is_and_without_a_reading_nothing(
    run, begun
):
    unread = run("forecast", begun, "latest", "--ph", "5.4", "--json").data
    assert (unread["stalled"], unread["called"]) == (None, False)
    for hour, ph in enumerate((6.6, 6.5, 6.4, 6.38, 6.37, 6.37, 6.36, 6.36), 10):
        run("log", begun, "latest", "milk-ph", str(ph), "--at", f"2026-07-14T{hour}:00")
    found = run("forecast", begun, "latest", "--ph", "5.4", "--json").data
    assert found["called"] is True
    assert 0.75 <= found["stalled"] <= 1
    assert found["chance"] < 0.9
    assert "throw it out" in run("forecast", begun, "latest", "--ph", "5.4").out


def test_a_forecast_dates_what_falls_on_another_day(run, tmp_path):
    late = tmp_path / "late.vatside"
    run("begin", late, "--plan", "cheddar type", "--milk", "12l", "--at", "2026-03-14T19:00")
    asked = ("forecast", late, "latest", "--ph", "6.05")
    made = run(*asked, "--json").data
    assert made["low_at"][:10] == made["reached_at"][:10] == "2026-03-14"
    assert made["high_at"][:10] == "2026-03-15"
    low, mid, high = (made[key][11:16] for key in ("low_at", "reached_at", "high_at"))
    between = f"between {low} and {high} on 2026-03-15"
    assert f"at {mid} on 2026-03-14 (8 times in 10 {between})." in run(*asked).out


def test_findings_in_a_journal(run, sample):
    found = run("findings", sample, "--score", "overall", "--json").data
    assert set(found) == FINDINGS
    assert all(set(one) == FINDING for one in found["findings"])
    assert all(set(one["step"]) == {"value", "unit"} for one in found["findings"])
    assert found["variables_tried"] == len(found["findings"])
    few = run("findings", sample, "--score", "overall", "--variables", "cook rate, milk fat",
              "--json").data  # fmt: skip
    names = {one["variable"] for one in few["findings"]}
    assert names == {"cook rate", "milk fat", "age at tasting"}  # age always stays


def test_a_score_is_found_whatever_its_capitals(run, sample, tmp_path):
    asked = [run("findings", sample, "--score", name).out for name in ("overall", "OverAll")]
    assert asked[0] == asked[1] != ""


def test_a_score_out_of_a_table_is_found_as_it_was_written(run, tmp_path):
    past, kept = tmp_path / "past.csv", tmp_path / "past.vatside"
    rows = "".join(f"2025-01-{13 + i:02},{10 + i % 3},{5 + i % 4}\n" for i in range(8))
    past.write_text(f"Date,Salt,Taste\n{rows}")
    assert run("import-makes", kept, past, "--score", "Taste").code == 0
    for file in (kept, past):
        for name in ("Taste", "taste", "TASTE"):
            assert run("findings", file, "--score", name, "--json").data["makes"] == 8


def test_a_nameless_score_is_refused(refused, sample):
    assert "--score overall" in refused("findings", sample, "--score", "  ")


def test_scores_without_any_variable_are_said(run, refused, tmp_path):
    past, kept = tmp_path / "past.csv", tmp_path / "past.vatside"
    past.write_text("Date,Taste\n2025-01-13,5\n2025-01-14,6\n")
    assert run("import-makes", kept, past, "--score", "Taste").code == 0
    assert "has a variable to study" in refused("findings", kept, "--score", "taste")


def test_the_variables_asked_for_and_the_age_are_counted(run, sample):
    done = run("findings", sample, "--score", "overall", "--variables", "cook rate,milk fat")
    assert "3 variables looked at" in done.out
    assert "The age at tasting is always included" in done.out


def test_a_column_that_never_varied_has_a_dash_for_its_step(run, tmp_path):
    table = tmp_path / "t.csv"
    table.write_text("salt,rennet,score\n2,3,5\n2.2,3,6\n1.9,3,4\n2.1,3,7\n")
    done = run("findings", table, "--score", "score")
    assert done.code == 0
    assert "nan" not in done.out


def test_a_mean_below_the_table_is_no_make(run, tmp_path):
    table = tmp_path / "t.csv"
    rows = "".join(f"{i},{2 + i % 3},{5 + i % 4}\n" for i in range(1, 9))
    table.write_text(f"Nr,salt,score\n{rows}Mean,3,6.5\n")
    done = run("findings", table, "--score", "score", "--json")
    assert done.data["makes"] == 8
    assert [one["variable"] for one in done.data["findings"]] == ["salt"]


def test_an_unknown_score_names_those_there_are(refused, sample):
    output = refused("findings", sample, "--score", "crunch")
    assert "overall" in output
    assert "flavour" in output


def test_an_unknown_variable_names_those_there_are(refused, sample):
    assert "cook rate" in refused("findings", sample, "--score", "overall", "--variables", "moon")


def test_check_is_sound(run, sample):
    done = run("check", sample, "--json")
    assert done.code == 0
    assert done.data == {
        "sound": True, "faults": [], "leftover": [], "cautions": [],
        "sqlite": sqlite3.sqlite_version,
    }  # fmt: skip


def test_check_says_what_is_not_sound(run, finished):
    with Journal.open(finished) as journal:
        journal._db.execute("update make set finished_ms = started_ms - 1")
    done = run("check", finished)
    assert done.code == 1
    assert "HL-0001 is finished before it began." in done.out


def test_sample(run, refused, tmp_path):
    path = tmp_path / "s.vatside"
    done = run("sample", path, "--makes", 2, "--seed", 7, "--readings-per-make", 100, "--json")
    assert set(done.data) == {"file", "makes", "wheels", "readings"}
    assert done.data["makes"] == 2
    refused("sample", path)
    refused("sample", tmp_path / "t.vatside", "--makes", 0)
    refused("sample", tmp_path / "t.vatside", "--makes", "many")
    assert not (tmp_path / "t.vatside").exists()


def test_reading_leaves_the_journal_one_file(run, sample):
    for words in (("makes", sample), ("check", sample), ("deviation", sample, "latest")):
        run(*words)
    assert [path.name for path in sample.parent.iterdir()] == [sample.name]


def test_export(run, refused, sample, tmp_path):
    out = tmp_path / "out"
    done = run("export", sample, out, "--json")
    assert set(done.data) == {"folder", "files", "under_cloth"}
    whole = json.loads((out / "journal.json").read_text())
    assert len(whole["make"]) == 10
    (out / "mine.txt").write_text("kept")
    assert "mine.txt" in refused("export", sample, out)
