"""By command: a make that failed, one that is deleted, a verdict that stands once it is said."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from journal.keeping import Journal
from journal.message import Message
from journal.records.verdicts import Verdict
from tests.command.conftest import Run

# Milk whose culture does nothing, from the culture on: hours and pH.
DEAD = (("08:40", 6.60), ("10:00", 6.57), ("11:00", 6.56), ("12:00", 6.55), ("13:30", 6.54),
        ("13:50", 6.54))  # fmt: skip
# A culture that works (the sourest a sound curd usually is at each hour is far lower).
SOUND = (("08:40", 6.60), ("10:00", 6.50), ("11:00", 6.30), ("12:00", 6.05), ("13:30", 5.70))


def log(run: Run, file: Path, course: tuple[tuple[str, float], ...]) -> list[str | None]:
    """Log a course of pH; gives the verdict each reading was answered with."""
    out = []
    for at, ph in course:
        done = run("log", file, "latest", "curd-ph", ph, "--at", f"2026-07-14T{at}", "--json")
        assert done.code == 0, done
        out.append(done.data.get("verdict"))
    return out


def listed(run: Run, file: Path) -> dict:
    return {row["code"]: row for row in run("makes", file, "--json").data}


def test_a_verdict_stands_from_the_moment_it_is_said_and_through_the_finish(
    begun: Path, run: Run
) -> None:
    output = log(run, begun, DEAD)
    assert output[0] is None
    first = next(sentence for sentence in output if sentence)
    assert "do not eat" in first.lower()
    assert listed(run, begun)["HL-0001"]["verdict"] == first
    done = run("finish", begun, "latest", "--wheel", "1.2kg", "--at", "2026-07-14T20:00")
    assert (done.code, first in done.out) == (0, True)
    assert "HL-0001-A" in done.out
    assert listed(run, begun)["HL-0001"]["verdict"] == first
    assert "do not eat" in run("makes", begun).out


def test_a_sour_reading_afterwards_does_not_take_the_verdict_back(begun: Path, run: Run) -> None:
    first = next(sentence for sentence in log(run, begun, DEAD) if sentence)
    later = log(run, begun, (("14:00", 5.4), ("14:30", 5.1), ("15:00", 5.0)))
    assert later == [first] * 3
    forecast = run("forecast", begun, "latest", "--ph", "4.9", "--json").data
    assert forecast["verdict"] == first


def test_sound_milk_has_no_verdict(begun: Path, run: Run) -> None:
    assert log(run, begun, SOUND) == [None] * len(SOUND)
    run("finish", begun, "latest", "--wheel", "1.2kg", "--at", "2026-07-14T20:00")
    row = listed(run, begun)["HL-0001"]
    assert (row["failed"], row["why_failed"], row["verdict"]) == (False, None, None)
    assert run("forecast", begun, "latest", "--ph", "5.4", "--json").data["verdict"] is None


def test_what_only_a_forecast_said_is_kept_too(begun: Path, run: Run) -> None:
    with Journal.open(begun) as journal:  # readings of a sensor, say, that nobody asked about
        make = journal.makes.by_code("latest")
        for hours, (_at, ph) in enumerate(DEAD, start=1):
            at_ms = make.started_ms + hours * 3_600_000
            journal.readings.log(make.id or 0, "curd-ph", ph, at_ms)
    assert listed(run, begun)["HL-0001"]["verdict"] is None
    output = run("forecast", begun, "latest", "--ph", "5.4", "--json").data["verdict"]
    assert "do not eat" in output.lower()
    assert listed(run, begun)["HL-0001"]["verdict"] == output
    with Journal.open(begun) as journal:  # it rests on a reading, whenever it is said
        make = journal.makes.by_code("latest")
        verdict = journal.outcomes.verdict(make)
        assert verdict.at_ms in journal.readings.trace(make.id or 0, "curd-ph").at_ms


def test_a_make_fails_with_a_reason_and_that_is_taken_back(
    begun: Path, run: Run, refused: Callable[..., str]
) -> None:
    run("finish", begun, "latest", "--wheel", "1.2kg", "--at", "2026-07-14T20:00")
    done = run("fail", begun, "HL-0001", "--reason", "smelled of yeast")
    assert done.out == "HL-0001: Failed: smelled of yeast.\n"
    row = listed(run, begun)["HL-0001"]
    assert (row["failed"], row["why_failed"]) == (True, "Failed: smelled of yeast")
    assert "smelled of yeast" in run("makes", begun).out
    assert run("fail", begun, "HL-0001", "--undo").code == 0
    row = listed(run, begun)["HL-0001"]
    assert (row["failed"], row["why_failed"], row["wheels"]) == (False, None, 1)
    assert "not marked" in refused("fail", begun, "HL-0001", "--undo")
    assert "--reason" in refused("fail", begun, "HL-0001")
    assert "--reason" in refused("fail", begun, "HL-0001", "--reason", "x", "--undo")
    assert "why" in refused("fail", begun, "HL-0001", "--reason", "  ")


def test_a_make_that_failed_is_still_called_not_to_be_eaten(begun: Path, run: Run) -> None:
    with Journal.open(begun) as journal:
        make = journal.makes.by_code("latest")
        output = Message("Do not eat this cheese.")
        journal.outcomes.save_verdict(make, Verdict(make.started_ms, output))
    assert run("fail", begun, "HL-0001", "--reason", "it never thickened").code == 0
    out = run("makes", begun).out
    assert "HL-0001: Do not eat this cheese." in out
    assert "it never thickened" in out


@pytest.mark.parametrize(
    "words",
    [
        ("score", "HL-0001-A", "overall=7", "--assessor", "Moss"),
        ("session-set-up", "--wheel", "HL-0001-A", "--wheel", "HL-0001-B", "--assessor", "Moss"),
        ("test-set-up", "triangle", "--wheel", "HL-0001-A", "--wheel", "HL-0001-B",
         "--assessor", "Moss"),
    ],
)  # fmt: skip
def test_whoever_is_about_to_taste_it_by_command_is_warned(
    finished: Path, run: Run, words: tuple[str, ...]
) -> None:
    act = (words[0], finished, *words[1:])
    assert "verdicts" not in run(*act, "--json").data
    with Journal.open(finished) as journal:
        make = journal.makes.by_code("latest")
        output = Message("Do not eat this cheese.")
        journal.outcomes.save_verdict(make, Verdict(make.started_ms, output))
    line = "HL-0001: Do not eat this cheese."
    assert run(*act, "--json").data["verdicts"] == [line]
    assert line in run(*act).out.splitlines()


def test_an_abandoned_make_is_over_and_runs_on_once_that_is_taken_back(
    begun: Path, run: Run, refused: Callable[..., str]
) -> None:
    at = ("--at", "2026-07-14T09:30")
    done = run("fail", begun, "latest", "--reason", "the milk was sour", *at)
    assert done.out == "HL-0001: Abandoned: the milk was sour.\n"
    assert "No stage" in refused("stage", begun, "latest", "end", "--at", "2026-07-14T10:00")
    assert "failed" in refused("finish", begun, "latest", "--wheel", "1kg")
    assert "running again" in run("fail", begun, "latest", "--undo").out
    done = run("stage", begun, "latest", "end", "--at", "2026-07-14T10:00", "--json")
    assert (done.code, done.data["ended"]["kind"]) == (0, "warm")


def test_a_deleted_make_is_gone_until_it_is_brought_back(
    begun: Path, run: Run, refused: Callable[..., str]
) -> None:
    run("finish", begun, "latest", "--wheel", "1.2kg", "--at", "2026-07-14T20:00")
    given = run(
        "score", begun, "HL-0001-A", "--assessor", "Moss", "overall=7", "--at", "2026-09-20"
    )
    assert given.code == 0, given
    before = (
        run("makes", begun, "--json").data,
        run("findings", begun, "--score", "overall", "--json").data,
    )
    assert run("delete", begun, "hl-0001").code == 0
    assert run("makes", begun, "--json").data == []
    assert "in the bin" in refused("log", begun, "HL-0001", "milk-ph", "6.5")
    assert "no make in this journal" in refused("log", begun, "latest", "milk-ph", "6.5")
    assert "overall" in refused("findings", begun, "--score", "overall")
    assert "In the bin: HL-0001" in refused("undelete", begun, "HL-0009")
    assert run("undelete", begun, "hl-0001").code == 0
    assert (
        run("makes", begun, "--json").data,
        run("findings", begun, "--score", "overall", "--json").data,
    ) == before
    assert "not in the bin" in refused("undelete", begun, "HL-0001")


@pytest.mark.parametrize("act", ["delete", "undelete"])
def test_a_make_that_never_was_is_refused(
    kitchen: Path, refused: Callable[..., str], act: str
) -> None:
    assert "no make HL-0007" in refused(act, kitchen, "HL-0007")


def test_finish_lists_an_acid_target_that_was_missed(tmp_path: Path, run: Run) -> None:
    """Sour enough to eat, and not as sour as the plan wants it at the mill: pH 5.3 to 5.4."""
    file = tmp_path / "mill.vatside"
    day = "2026-07-14T"
    begin = ("begin", file, "--plan", "cheddar type", "--milk", "12l", "--at", f"{day}08:00")
    assert run(*begin).code == 0
    lengths = (30, 60, 35, 10, 15, 30, 75, 15, 120)  # minutes, up to the end of the cheddaring
    for minutes in [8 * 60 + sum(lengths[: i + 1]) for i in range(len(lengths))]:
        at = f"{day}{minutes // 60:02d}:{minutes % 60:02d}"
        assert run("stage", file, "latest", "end", "--at", at).code == 0
    course = (("08:40", 6.6), ("10:00", 6.5), ("12:00", 6.1), ("13:30", 5.8), ("14:20", 5.6))
    assert log(run, file, course) == [None] * len(course)
    done = run("finish", file, "latest", "--wheel", "1.2kg", "--at", f"{day}20:00")
    assert done.code == 0
    assert "Acid target missed: cheddar: curd pH" in done.out
    assert "not 5.30 to 5.40" in done.out
