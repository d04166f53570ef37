"""begin, log, stage and finish."""

from __future__ import annotations

import pytest

from journal.keeping import Journal


def test_begin_prints_the_new_code_as_its_last_word(kitchen, run):
    done = run("begin", kitchen, "--plan", "Cheddar Type", "--milk", "12l")
    assert done.code == 0
    assert done.out.split()[-1] == "HL-0001"
    assert "Raw milk" in done.out  # the plan's caution comes along
    again = run("begin", kitchen, "--plan", "tomme", "--milk", "3 gal", "--json").data
    assert again["code"] == "HL-0002"
    assert again["milk_l"] == pytest.approx(11.356, abs=0.001)  # the US gallon is 3.785412 l


def test_begin_makes_a_journal_that_is_not_there_yet_and_says_so(tmp_path, run):
    path = tmp_path / "new folder.vatside"
    done = run("begin", path, "--plan", "tomme", "--milk", "10")
    assert done.code == 0
    assert f"Made a new journal, {path}." in done.out
    assert done.out.split()[-1] == "HL-0001"
    assert run("check", path).code == 0


@pytest.mark.parametrize(
    "words",
    [
        ("--plan", "moon type", "--milk", "12l"),
        ("--plan", "tomme", "--milk", "12 kg"),
        ("--plan", "tomme", "--milk", "20000l"),
        ("--plan", "tomme", "--milk", "12l", "--at", "yesterday"),
        ("--plan", "tomme"),
    ],
)
def test_a_refused_begin_leaves_no_file(tmp_path, refused, words):
    path = tmp_path / "new.vatside"
    refused("begin", path, *words)
    assert list(tmp_path.iterdir()) == []


def test_begin_names_the_plans_there_are(kitchen, refused):
    assert "cheddar type" in refused("begin", kitchen, "--plan", "moon", "--milk", "12l")


def test_at_without_an_offset_is_in_the_journals_zone(begun, run):
    assert run("makes", begun, "--json").data[0]["started_at"] == "2026-07-14T08:00:00+01:00"
    logged = run("log", begun, "latest", "milk-temp", "31", "--at", "2026-07-14T09:30", "--json")
    assert logged.data["at"] == "2026-07-14T09:30:00+01:00"
    other = run("log", begun, "latest", "milk-temp", "31", "--at", "2026-07-14T09:30Z", "--json")
    assert other.data["at"] == "2026-07-14T10:30:00+01:00"


@pytest.mark.parametrize(
    ("kind", "words", "kept"),
    [
        ("milk-temp", ["31,4"], 31.4),
        ("milk-temp", ["88F"], (88 - 32) / 1.8),
        ("milk-temp", ["88", "F"], (88 - 32) / 1.8),
        ("room-temp", ["-4.5"], -4.5),
        ("room-temp", ["-4C"], -4.0),
        ("curd-ph", ["5.42"], 5.42),
        ("whey-ph", ["pH", "6,4"], 6.4),
        ("whey-acidity", ["16", "°D"], 0.16),  # 1 °D is 0.01 % lactic acid
        ("load", ["11", "lb"], 11 * 0.45359237),  # the international pound
        ("room-humidity", ["85%"], 85.0),
        ("heat", ["40"], 40.0),
    ],
)
def test_log_reads_a_value_with_its_unit_or_the_usual_one(begun, run, kind, words, kept):
    done = run("log", begun, "HL-0001", kind, *words, "--at", "2026-07-14T09:00", "--json")
    assert done.code == 0, done
    assert set(done.data) == {"make", "kind", "value", "unit", "at", "doubtful"}
    with Journal.open(begun) as journal:
        trace = journal.readings.trace(journal.makes.by_code("latest").id, kind)
    assert trace.value.tolist() == [pytest.approx(kept, rel=1e-9)]


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        ("milk-temp", "160C"),
        ("milk-temp", "31 kg"),
        ("milk-temp", "warm"),
        ("milk-temp", "1e400"),
        ("curd-ph", "11"),
        ("curd-ph", "nan"),
        ("room-humidity", "101"),
        ("milk", "31"),
    ],
)
def test_log_refuses_the_impossible(begun, refused, kind, value):
    refused("log", begun, "latest", kind, value)


def test_log_refuses_an_unknown_make(begun, refused):
    assert "HL-0009" in refused("log", begun, "HL-0009", "milk-temp", "31")


def test_stage_tells_what_ended_and_what_comes(begun, run):
    done = run("stage", begun, "latest", "end", "--at", "2026-07-14T08:40")
    assert "Ended at 08:40: warm." in done.out
    assert "Next: ripen" in done.out
    assert "10 min late" in done.out  # planned 30 min
    data = run("stage", begun, "latest", "end", "--at", "2026-07-14T09:40", "--json").data
    assert set(data) == {"make", "ended", "next"}
    assert data["ended"]["kind"] == "ripen"
    assert data["next"]["began_at"] == "2026-07-14T09:40:00+01:00"
    assert data["next"]["slip_min"] == pytest.approx(10)


def test_the_last_stage_has_no_next(begun, run):
    for _ in range(13):
        done = run("stage", begun, "latest", "end", "--at", "2026-07-14T08:40", "--json")
    assert done.data["next"] is None
    assert run("stage", begun, "latest", "end", "--at", "2026-07-14T08:40").code == 2


def test_finish_prints_the_wheels_codes(begun, run):
    done = run("finish", begun, "HL-0001", "--wheel", "620g", "--wheel", "0.58kg")
    assert done.out.split()[::3] == ["HL-0001-A", "HL-0001-B"]
    with Journal.open(begun) as journal:
        weights = [wheel.green_weight_kg for wheel in journal.wheels.all()]
    assert weights == [pytest.approx(0.62), pytest.approx(0.58)]


@pytest.mark.parametrize(
    "words",
    [
        ("--wheel", "118kg"),  # out of 12 l of milk
        ("--wheel", "0kg"),
        ("--wheel", "-1kg"),
        ("--wheel", "two"),
        (),
        ("--wheel", "1.1kg", "--at", "2026-07-13T08:00"),
    ],
)
def test_finish_refuses_the_impossible(begun, refused, words):
    refused("finish", begun, "latest", *words)


def test_a_finished_make_is_not_finished_again(finished, refused):
    assert "already finished" in refused("finish", finished, "HL-0001", "--wheel", "1kg")


def test_milk_must_be_more_than_nothing(refused, tmp_path):
    output = refused("begin", tmp_path / "j.vatside", "--plan", "cheddar type", "--milk", "0")
    assert "more than 0" in output
    assert not (tmp_path / "j.vatside").exists()


def test_a_reading_far_ahead_is_kept_and_said(begun, run):
    done = run("log", begun, "latest", "milk-temp", "31", "--at", "2150-01-01T08:00")
    assert done.code == 0
    assert "over a day ahead" in done.out
    assert "ahead" not in run("log", begun, "latest", "milk-temp", "31").out
    assert run("makes", begun, "--json").data[0]["readings"] == 2
