"""The command line on a computer whose clock is wrong, and times that are mistyped."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from journal.keeping import Journal

ROOT = Path(__file__).parents[2]
HOUR_S = 3600


def vatside(shift_s: int, *words: object) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, with its wall clock ahead by so much."""
    places = os.pathsep.join([str(ROOT / "tests" / "shifted"), str(ROOT)])
    return subprocess.run(
        [sys.executable, "-m", "journal.command", *map(str, words)],
        env={**os.environ, "PYTHONPATH": places, "VATSIDE_SHIFT_S": str(shift_s)},
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip


def test_after_a_new_start_a_clock_before_the_last_entry_is_not_believed(kitchen: Path) -> None:
    assert vatside(0, "begin", kitchen, "--plan", "cheddar type", "--milk", "12l").returncode == 0
    with Journal.open(kitchen) as journal:
        kept = json.loads(journal.setting("clock") or "")
        journal.set_setting("clock", json.dumps({**kept, "boot": "the one before"}))
    assert vatside(600, "log", kitchen, "latest", "milk-temp", "31").returncode == 0
    for words in (
        ("log", kitchen, "latest", "milk-temp", "32"),
        ("stage", kitchen, "latest", "end"),
    ):
        refused = vatside(-6 * HOUR_S, *words)
        assert refused.returncode == 2
        assert "The computer’s clock says" in refused.stderr
        assert "but the last entry of the running make is from" in refused.stderr
        assert "--at" in refused.stderr
    done = vatside(900, "log", kitchen, "latest", "milk-temp", "32", "--json")
    assert done.returncode == 0, "the right clock is believed again"
    assert '"readings": 2' in vatside(900, "makes", kitchen, "--json").stdout


def test_a_make_begun_beside_another_goes_by_its_clock(kitchen: Path) -> None:
    """The clock that the first began with was set three hours ahead since; no window was open."""
    begin = ("begin", kitchen, "--plan", "cheddar type", "--milk", "12l")
    assert vatside(0, *begin).returncode == 0
    with Journal.open(kitchen) as journal:
        first = journal.makes.running()[0].started_ms
    assert vatside(3 * HOUR_S, *begin).returncode == 0
    assert vatside(-9 * HOUR_S, "log", kitchen, "latest", "milk-temp", "31").returncode == 0
    with Journal.open(kitchen) as journal:
        second = journal.makes.by_code("latest")
        assert 0 <= second.started_ms - first < 60_000
        assert 0 <= journal.readings.last(second.id, 1)[0].at_ms - second.started_ms < 60_000


@pytest.mark.parametrize("year", ["1926", "2025", "2127", "9999"])
def test_a_mistyped_year_ends_no_stage_and_finishes_no_make(begun, refused, run, year) -> None:
    for words in (("stage", begun, "latest", "end"), ("finish", begun, "latest", "--wheel", "1kg"),
                  ("fail", begun, "latest", "--reason", "too sour")):  # fmt: skip
        output = refused(*words, "--at", f"{year}-07-14T10:00")
        assert year in output or "before" in output
    with Journal.open(begun) as journal:
        assert journal.makes.by_code("latest").running
    assert run("stage", begun, "latest", "end", "--at", "2026-07-14T10:00").code == 0


def test_a_time_that_never_came_or_came_twice_is_asked_back(kitchen, run, refused) -> None:
    run("begin", kitchen, "--plan", "cheddar type", "--milk", "12l", "--at", "2026-10-24T20:00")
    log = ("log", kitchen, "latest", "milk-temp", "31", "--at")
    output = refused(*log, "2026-10-25T01:30")  # in London the clocks go back from 02:00 to 01:00
    assert "came twice" in output
    assert "“2026-10-25T01:30 second”" in output
    first, second = (
        run(*log, f"2026-10-25T01:30 {turn}", "--json") for turn in ("first", "second")
    )
    assert first.data["at"] == "2026-10-25T01:30:00+01:00"
    assert second.data["at"] == "2026-10-25T01:30:00+00:00"
    assert "never came" in refused(*log, "2026-03-29T01:30")
