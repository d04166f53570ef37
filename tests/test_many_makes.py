"""A journal made large by copies: it is sound, and of its many makes only what is asked for is
read at once."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from journal.keeping import Journal
from journal.reports.agenda import agenda_of
from journal.sample import write_sample
from tests import present
from tests.pace.copies import add_copies

SMALL, LARGE, READINGS = 26, 60, 300


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A small journal, and the same with copies of its makes in earlier years."""
    folder = tmp_path_factory.mktemp("copies")
    small, large = folder / "small.vatside", folder / "large.vatside"
    write_sample(small, makes=SMALL, readings_per_make=READINGS, now_ms=present.NOW)
    shutil.copy(small, large)
    add_copies(large, LARGE)
    return small, large


def test_copies_are_makes_like_any_and_leave_the_journal_sound(files) -> None:
    with Journal.open(files[0]) as small, Journal.open(files[1]) as large:
        assert large.check() == []
        assert large.doubts() == []
        rows = large.makes.rows()
        assert len(rows) == LARGE
        assert all(row.readings >= READINGS for row in rows if row.code.startswith("OL"))
        old = [row for row in rows if row.code.startswith("OL")]
        assert len(old) == LARGE - SMALL
        assert max(row.started_ms for row in old) < present.NOW - 365 * 86_400_000
        assert any(row.best_score is not None for row in old)
        one = large.whole(next(row.id for row in old if row.wheels))
        assert one.wheels[0].gone_ms is not None
        assert one.weighings
        assert one.care
        assert len(large.history.of("make", one.make.id)) == 1
        assert agenda_of(large, present.NOW).now == agenda_of(small, present.NOW).now


def test_the_newest_rows_are_those_of_the_whole_list(files) -> None:
    with Journal.open(files[1], read_only=True) as journal:
        oldest = journal.makes.all()[-1]
        some = journal.makes.newest_rows(5, oldest.id)
        every = journal.makes.rows()
        assert some is not None
        assert len(some) == 6
        assert [row for row in every if row in some] == some
        assert every[:5] == some[:5]
        assert oldest.id in [row.id for row in some]
        assert journal.makes.newest_rows(5) is None  # all are known now
        plan = every[0].plan
        of_plan = [row for row in every if row.plan == plan]
        assert len(of_plan) > 24, "so that they are read in more than one go"
        assert list(journal.makes.rows_of_plan(plan)) == of_plan
        assert journal.makes.any()
        stamp = journal.makes.rows_stamp()
        assert stamp == journal.makes.rows_stamp()
