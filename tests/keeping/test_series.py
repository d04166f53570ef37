"""A designed series is kept, taken back, and comes again as it was."""

from __future__ import annotations

import pytest

from journal.keeping import Journal
from journal.records import RecordError
from journal.records.series import Series, SeriesMake


def test_a_series_is_kept_with_its_makes_and_undone_as_one(tmp_path):
    path = tmp_path / "j.vatside"
    with Journal.create(path, letters="HL", zone="Europe/London") as journal:
        with journal.unit("lay out a series"):
            series = journal.series.keep(
                Series(
                    "salt and cut", 1_000, ("salt_in_curd", "curd_size"), (2.1, 8.0), (2.9, 14.0)
                )
            )
            journal.series_makes.keep_many(
                SeriesMake(series.id, i, i // 2, (2.1 + 0.8 * (i % 2), 8.0)) for i in range(4)
            )
        assert journal.undo() == "lay out a series"
        assert journal.series.all() == []
        journal.redo()
        assert journal.check() == []
    with Journal.open(path, read_only=True) as journal:
        assert journal.series.all() == [series]
        makes = journal.series_makes.where(series_id=series.id)
        assert [m.wanted for m in makes] == [(2.1, 8.0), (2.9000000000000004, 8.0)] * 2
        assert [m.block for m in makes] == [0, 0, 1, 1]
        assert all(m.make_id is None for m in makes)


def test_what_is_no_series_is_refused():
    with pytest.raises(RecordError, match="two or three"):
        Series("one", 0, ("salt",), (1.0,), (2.0,))
    with pytest.raises(RecordError, match="below"):
        Series("turned", 0, ("a", "b"), (1.0, 2.0), (2.0, 1.0))
    with pytest.raises(RecordError, match="name"):
        Series(" ", 0, ("a", "b"), (1.0, 1.0), (2.0, 2.0))
