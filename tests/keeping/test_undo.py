"""Undo is the transaction turned round: whatever was done, one step back gives the same file."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from journal.keeping import Change, Journal, KeepingError
from journal.keeping.history import UNDOABLE
from journal.message import Message
from journal.records import RecordError
from journal.records.makes import Make, Milk, Note
from journal.records.plans import Plan, Stage
from journal.records.tastings import Assessor, Sample, Score, Tasting

PLAN = Plan("p", tuple(Stage(kind, 30.0, target_c=31.0) for kind in ("warm", "set", "cook")))


def image(journal: Journal) -> dict[str, list[tuple[Any, ...]]]:
    """Every undoable row of the file."""
    return {
        table: journal._db.execute(f'select * from "{table}" order by id').fetchall()
        for table in UNDOABLE
    }


class Story(RuleBasedStateMachine):
    """What people do, in any order: begin, log, end a stage, finish, score, remove, undo, redo."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "story.vatside"
        self.journal = Journal.create(self.path, zone="UTC")
        self.images = [image(self.journal)]
        self.at = 0
        self.clock = 1000

    @initialize()
    def start(self) -> None:
        self.journal.makes.begin(PLAN, Milk(10.0), self.clock)
        self.note()

    def note(self) -> None:
        del self.images[self.at + 1 :]
        self.images.append(image(self.journal))
        self.at += 1
        self.clock += 60_000

    def newest(self) -> Make | None:
        found = self.journal.makes.all()
        return found[-1] if found else None

    @rule(litres=st.floats(1, 50))
    def begin(self, litres: float) -> None:
        self.journal.makes.begin(PLAN, Milk(litres), self.clock)
        self.note()

    @precondition(lambda self: self.newest())
    @rule(value=st.integers(0, 1000))
    def log(self, value: int) -> None:
        self.journal.readings.log(self.newest().id, "milk-temp", value / 10, self.clock)
        self.note()

    @precondition(lambda self: self.newest())
    @rule(n=st.integers(1, 300))
    def bring_in(self, n: int) -> None:
        at = self.clock + np.arange(n) * 1000
        if self.journal.readings.add_many(self.newest().id, "curd-ph", at, np.full(n, 6.5)):
            self.note()

    @precondition(lambda self: self.newest())
    @rule()
    def strike(self) -> None:
        trace = self.journal.readings.trace(self.newest().id, "curd-ph").sound()
        if len(trace):
            self.journal.readings.strike(
                self.newest().id, "curd-ph", int(trace.at_ms[0]), float(trace.value[0])
            )
            self.note()

    @precondition(lambda self: self.newest())
    @rule()
    def end_stage(self) -> None:
        try:
            self.journal.makes.end_stage(self.newest().id, self.clock)
        except KeepingError:
            return
        self.note()

    @precondition(lambda self: self.newest() and self.newest().finished_ms is None)
    @rule(share=st.floats(0.02, 0.5))
    def finish(self, share: float) -> None:
        make = self.newest()
        self.journal.makes.finish(make.id, [share * make.milk.litres], self.clock)
        self.note()

    @precondition(lambda self: self.journal.wheels.all())
    @rule(points=st.integers(0, 20))
    def score(self, points: int) -> None:
        journal, wheel = self.journal, self.journal.wheels.all()[-1]
        with journal.unit("a tasting"):
            who = journal.assessors.save(Assessor("Orla"))
            session = journal.tastings.save(Tasting(self.clock, lifted_ms=self.clock))
            sample = journal.samples.save(Sample(session.id or 0, wheel.id or 0, "481"))
            journal.scores.save(Score(sample.id or 0, who.id or 0, "overall", points / 2))
        self.note()

    @precondition(lambda self: self.newest())
    @rule(text=st.text(max_size=20))
    def write(self, text: str) -> None:
        self.journal.notes.save(Note(self.clock, text.replace("\0", ""), self.newest().id))
        self.note()

    @precondition(lambda self: self.journal.notes.all())
    @rule()
    def remove_note(self) -> None:
        self.journal.notes.remove(self.journal.notes.all()[0].id or 0)
        self.note()

    @precondition(lambda self: self.newest())
    @rule()
    def remove_make(self) -> None:
        self.journal.makes.remove(self.newest().id)
        self.note()

    @rule()
    def undo(self) -> None:
        undone = self.journal.undo()
        assert (undone is None) == (self.at == 0)
        self.at = max(0, self.at - 1)

    @rule()
    def redo(self) -> None:
        redone = self.journal.redo()
        assert (redone is None) == (self.at == len(self.images) - 1)
        self.at = min(len(self.images) - 1, self.at + 1)

    @invariant()
    def the_file_is_what_it_was(self) -> None:
        assert image(self.journal) == self.images[self.at]
        assert not self.journal.within_unit

    def teardown(self) -> None:
        assert self.journal.check() == []
        self.journal.close()
        with Journal.open(self.path) as again:
            assert image(again) == self.images[self.at]
        self.folder.cleanup()


Story.TestCase.settings = settings(max_examples=25, stateful_step_count=25, deadline=None)
TestStory = Story.TestCase


def test_a_change_says_what_it_was_and_who_began_it(saved: Journal, make: Make) -> None:
    heard: list[Change] = []
    saved.listen(heard.append)
    me = object()
    with saved.unit("end a stage", me):
        saved.makes.end_stage(make.id or 0, make.started_ms + 1)
    assert len(heard) == 1
    assert heard[0].name == Message("end a stage")
    assert heard[0].initiator is me
    assert "stage_run" in heard[0].kinds
    assert heard[0].makes == {make.id}
    saved.undo()
    assert (heard[1].name, heard[1].kinds) == (heard[0].name, heard[0].kinds)
    assert heard[1].initiator is None  # who began it has to look again as well
    heard.pop()
    saved.unlisten(heard.append)
    saved.undo()
    assert len(heard) == 1


def test_a_failed_unit_changes_nothing(saved: Journal, make: Make) -> None:
    before = image(saved)
    with pytest.raises(RecordError), saved.unit("half a thing"):  # noqa: PT012 (a unit is a block)
        saved.readings.log(make.id or 0, "milk-temp", 30.0, make.started_ms)
        saved.readings.log(make.id or 0, "milk-temp", 300.0, make.started_ms)
    assert image(saved) == before
    assert saved.undo_name == Message("keeping.act-begin-make")
