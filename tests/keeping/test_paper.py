"""The day from paper: all rows of a sheet are one act, and nothing of it is kept twice."""

from __future__ import annotations

import pytest

from journal.keeping import Journal, KeepingError
from journal.records.makes import Make
from journal.records.paper_day import PaperLine
from journal.records.traces import CORRECTED, DOUBTFUL
from tests.keeping.conftest import START
from tests.refusals import refused

MIN = 60_000
LINES = (
    PaperLine(1, START, 0, begins=True, temp_c=30.5),
    PaperLine(2, START + 30 * MIN, 1, begins=True, temp_c=31.0, note="set well"),
    PaperLine(3, START + 50 * MIN, 1, acid_kind="milk-ph", acid=6.55),
    PaperLine(4, START + 80 * MIN, 3, begins=True, temp_c=31.5),  # the stage between was left out
    PaperLine(5, START + 140 * MIN, 4, begins=True, acid_kind="curd-ph", acid=6.1),
    PaperLine(6, START + 160 * MIN, 4, ended=True),
)


def output(journal: Journal, make: Make) -> dict[str, object]:
    """All that the day says."""
    return {
        "make": journal.makes.get(make.id),
        "runs": [(r.position, r.began_ms, r.ended_ms, r.skipped)
                 for r in journal.runs.where(make_id=make.id)],
        "temp": journal.readings.trace(make.id, "milk-temp", raw=True).value.tolist(),
        "ph": journal.readings.trace(make.id, "curd-ph", raw=True).value.tolist(),
        "notes": [note.text for note in journal.notes.where(make_id=make.id)],
        "wheels": len(journal.wheels.all()),
    }  # fmt: skip


def test_a_sheet_is_one_act_with_its_stages_readings_notes_and_wheels(saved, make) -> None:
    before = output(saved, make)
    saved.paper.save(make.id, START, LINES, {(2, "temp")}, (1.1, 1.2))
    now = output(saved, make)
    assert [run[:2] for run in now["runs"]] == [
        (0, START), (1, START + 30 * MIN), (2, None), (3, START + 80 * MIN),
        (4, START + 140 * MIN),
    ]  # fmt: skip
    assert [run[3] for run in now["runs"]] == [False, False, True, False, False]
    assert now["temp"] == [30.5, 31.0, 31.5]
    assert now["notes"] == ["set well"]
    assert now["make"].finished_ms == START + 160 * MIN
    assert now["wheels"] == 2
    flags = saved.readings.trace(make.id, "milk-temp", raw=True).flags.tolist()
    assert flags == [CORRECTED, CORRECTED | DOUBTFUL, CORRECTED]
    assert saved.undo().id == "keeping.act-paper-day"
    assert output(saved, make) == before


def test_a_reading_that_is_there_already_is_not_kept_twice(saved, make) -> None:
    saved.readings.log(make.id, "milk-temp", 30.5, START)
    saved.paper.save(make.id, START, LINES[:2])
    assert output(saved, make)["temp"] == [30.5, 31.0]


def test_a_sheet_that_cannot_be_changes_nothing(saved, make) -> None:
    before = output(saved, make)
    with refused(KeepingError, "keeping.paper-empty"):
        saved.paper.save(make.id, START, ())
    backwards = (LINES[0], PaperLine(2, START - 30 * MIN, 1, begins=True, temp_c=31.0))
    with pytest.raises(KeepingError):
        saved.paper.save(make.id, START, backwards)
    assert output(saved, make) == before
