"""The keeper of a day from paper: its rows become stages, readings and notes in one change."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from journal.keeping.changes import Changes
from journal.keeping.day import DayKeeper
from journal.keeping.errors import KeepingError
from journal.keeping.keepers import Keeper
from journal.keeping.makes import MakeKeeper
from journal.keeping.readings import ReadingKeeper
from journal.records.makes import Note, StageRun, running_run
from journal.records.paper_day import PaperLine
from journal.records.traces import CORRECTED, DOUBTFUL


@dataclass(frozen=True)
class PaperKeepers:
    """Who keeps what of the day."""

    makes: MakeKeeper
    day: DayKeeper
    runs: Keeper[StageRun]
    readings: ReadingKeeper
    notes: Keeper[Note]


class PaperKeeper:
    """Keeps all rows of a sheet as one act, so that one undo takes the whole day back; each of its
    readings can be struck out alone."""

    def __init__(self, changes: Changes, keepers: PaperKeepers) -> None:
        self._changes, self._keep = changes, keepers

    def save(
        self,
        make_id: int,
        started_ms: int,
        lines: Sequence[PaperLine],
        doubtful: Collection[tuple[int, str]] = (),
        weights_kg: Sequence[float] = (),
    ) -> None:
        """Save the rows of a day that began at `started_ms`; `doubtful` are rows and cells to be
        marked, `weights_kg` the wheels where a row says that the make was over. A reading that is
        there already is not kept twice.

        Raises
        ------
        KeepingError, RecordError
            Where a row cannot be, with what already is in the journal; then nothing is changed.
        """
        if not lines:
            raise KeepingError("keeping.paper-empty")
        with self._changes.unit("keeping.act-paper-day", rows=len(lines)):
            self._keep.day.set_start(make_id, started_ms)
            for line in lines:
                if line.begins:
                    self._begin(make_id, line.position, line.at_ms)
                for cell, kind, value in line.values():
                    mark = DOUBTFUL if (line.row, cell) in doubtful else 0
                    self._read(make_id, kind, value, line.at_ms, CORRECTED | mark)
                if line.note:
                    self._keep.notes.save(Note(line.at_ms, line.note, make_id))
                if line.ended:
                    self._keep.makes.finish(make_id, weights_kg, line.at_ms)

    def _read(self, make_id: int, kind: str, value: float, at_ms: int, flags: int) -> None:
        there = self._keep.readings.trace(make_id, kind, raw=True).between(at_ms, at_ms)
        if value not in there.value:
            self._keep.readings.log(make_id, kind, value, at_ms, flags)

    def _begin(self, make_id: int, position: int, at_ms: int) -> None:
        """The stage began then: those before it have ended or were left out."""
        while True:
            running = running_run(self._keep.makes.get(make_id), self._runs(make_id))
            if running is None or running.position >= position:
                self._keep.day.set_times(make_id, {position: at_ms})
                return
            for run in self._runs(make_id):
                if running.position < run.position < position and not run.skipped:
                    self._keep.day.skip_next(make_id)
            self._keep.makes.end_stage(make_id, at_ms)

    def _runs(self, make_id: int) -> list[StageRun]:
        return self._keep.runs.where(make_id=make_id)
