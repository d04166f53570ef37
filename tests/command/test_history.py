"""By command: what was done, taken back a month later, and the bin."""

from __future__ import annotations

import re
from pathlib import Path

from journal.keeping import Journal
from tests.command.conftest import Run


def test_the_history_says_what_was_there_and_an_act_is_taken_back(begun: Path, run: Run) -> None:
    run("log", begun, "latest", "curd-ph", 6.5, "--at", "2026-07-14T10:00")
    run("finish", begun, "latest", "--wheel", "1.2kg", "--at", "2026-07-14T20:00")
    with Journal.open(begun) as window:
        wheel = window.wheels.all()[0]
    acts = run("history", begun, "--json").data
    assert [act["what"] for act in acts[:2]] == ["Finish HL-0001", "Reading curd pH"]
    assert acts[0]["by"] == "command"
    shown = run("history", begun, wheel.code).out
    assert "1.2 kg" in shown
    every = run("history", begun).out
    assert len(re.findall(r"\b\d{1,2} [A-Z][a-z]{2} \d{4} \d\d:\d\d  a command ", every)) == len(
        acts
    )
    assert not re.search(r"\d{4}-\d\d-\d\d", every), "a date is written one way"
    assert "urd pH" not in shown
    reading = acts[1]
    assert {"record": "reading_log", "field": "value", "before": None, "after": 6.5} in (
        reading["fields"]
    )
    assert run("take-back", begun, reading["act"]).out == "Taken back: reading curd pH.\n"
    with Journal.open(begun) as after:
        assert len(after.readings.trace(1, "curd-ph")) == 0
        assert after.wheels.all() == [wheel]
        assert after.undo_name is None, "a window does not go on with a command's acts"
    newest = run("history", begun, "--last", 1, "--json").data
    assert [(one["what"], one["undoes"]) for one in newest] == [
        ("Taken back: reading curd pH", reading["act"])
    ]
    assert run("history", begun, "HL-0001", "--json").data[0] == newest[0]


def test_what_cannot_be_taken_back_is_said(begun: Path, run: Run, refused) -> None:
    assert "no act number 99" in refused("take-back", begun, 99)
    run("log", begun, "latest", "curd-ph", 6.5, "--at", "2026-07-14T10:00")
    begin = run("history", begun, "--json").data[-1]["act"]
    assert "depends on this" in refused("take-back", begun, begin)


def test_the_bin_by_command(begun: Path, run: Run, refused) -> None:
    assert run("bin", begun).out == "The bin is empty.\n"
    run("delete", begun, "HL-0001")
    (one,) = run("bin", begun, "--json").data
    assert one["id"] == "make-1"
    assert one["what"].startswith("make HL-0001")
    assert "make-7" in refused("bin-restore", begun, "make-7")
    assert run("bin-restore", begun, "make-1").out == "Restored: make-1.\n"
    assert [m["code"] for m in run("makes", begun, "--json").data] == ["HL-0001"]
    run("delete", begun, "HL-0001")
    assert run("bin-empty", begun, "--json").data == {"deleted": 1, "left": 0}
    assert run("bin", begun, "--json").data == []
    assert run("check", begun).code == 0
    assert "cannot be taken back" in refused(
        "take-back", begun, run("history", begun, "--json").data[0]["act"]
    )
