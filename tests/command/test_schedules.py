"""By command: the schedule of a plan, of a make and of a wheel is shown and set."""

from __future__ import annotations

from pathlib import Path

import pytest

from journal.keeping import Journal
from tests.command.conftest import Run

WHOLE = (
    "air dry 2 to 3 days at 16 °C, turn twice a day; cloth and fat; then turn weekly; "
    "taste at 3 and 6 months; eat from 6"
)


@pytest.fixture
def finished(begun: Path, run: Run) -> Path:
    assert run("finish", begun, "latest", "--wheel", "1.2kg", "--at", "2026-07-14T20:00").code == 0
    return begun


def test_a_plans_schedule_is_set_as_its_next_version_and_shown(begun: Path, run: Run) -> None:
    name = "cheddar type"
    before = run("plan-care", begun, name, "--json").data
    done = run("plan-care", begun, name, WHOLE)
    assert (done.code, f"Saved {name} as version" in done.out) == (0, True)
    shown = run("plan-care", begun, name, "--json").data
    assert shown != before
    assert [row["kind"] for row in shown] == ["dry", "turn", "bandage", "turn", "taste", "eat"]
    assert (shown[0]["from_day"], shown[0]["to_day"], shown[0]["room_c"]) == (1.0, 4.0, 16.0)
    assert shown[4]["days"] == [91.0, 183.0]
    assert "for 2 to 3 days from day 1" in run("plan-care", begun, name).out
    refused = run("plan-care", begun, name, "turn weekly; wibble")
    assert (refused.code, "“wibble” names no care" in refused.err) == (2, True)
    assert run("plan-care", begun, name, "--json").data == shown


def test_a_make_and_a_wheel_get_schedules_of_their_own(finished: Path, run: Run) -> None:
    by_plan = run("wheel-care", finished, "HL-0001", "--json").data
    assert run("wheel-care", finished, "HL-0001", "brush every 3 days until 30 days").code == 0
    assert run("wheel-care", finished, "HL-0001-A", "--json").data[0]["kind"] == "brush"
    assert run("wheel-care", finished, "hl-0001-a", "wax at 10 days").code == 0
    assert [row["kind"] for row in run("wheel-care", finished, "HL-0001-A", "--json").data] == [
        "wax"
    ]
    with Journal.open(finished, read_only=True) as journal:
        assert [rule.kind for rule in journal.care_tasks.lives()[0].rules] == ["wax"]
    assert run("wheel-care", finished, "HL-0001-A", "none", "--json").data["own"] is False
    assert run("wheel-care", finished, "HL-0001", "none").out.strip() == (
        "HL-0001 goes by its plan again."
    )
    assert run("wheel-care", finished, "HL-0001", "--json").data == by_plan
