"""Two windows on one file, in any order of acts, undos, redos and reopenings."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, precondition, rule

from journal.keeping import Journal, KeepingError
from journal.records.makes import Note
from journal.records.tastings import Assessor

Cells = dict[tuple[str, str, str], Any]
GONE = "the row is not there"
WHO = st.sampled_from((0, 1))
TEXT = st.sampled_from(("one", "two", "three"))


def cells(journal: Journal) -> Cells:
    """Every value of the rows by table, uuid and column; ids may change hands."""
    found: Cells = {}
    for table in ("note", "assessor", "bin"):
        cursor = journal._db.execute(f"select * from {table}")
        names = [column[0] for column in cursor.description]
        for row in cursor:
            one = dict(zip(names, row, strict=True))
            for name in names:
                if name not in ("id", "sum"):
                    found[table, one["uuid"], name] = one[name]
    return found


@cache
def empty() -> Path:
    """An empty journal, made once."""
    path = Path(tempfile.mkdtemp()) / "empty.vatside"
    Journal.create(path, zone="UTC").close()
    return path


class Together(RuleBasedStateMachine):
    """Who gave each column its value, and that no undo takes away one that another gave it."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "both.vatside"
        shutil.copy(empty(), self.path)
        self.windows = [Journal.open(self.path), Journal.open(self.path)]
        self.mine: list[set[int]] = [{0}, {1}]  # whose acts each window may take back
        self.session = [0, 1]
        self.gave: set[tuple[tuple[str, str, str], Any, int, int]] = set()
        self.sessions = 2
        self.clock = self.step = 0
        self.closed: set[int] = set()
        self.opened = [0, 0]  # at which step each window was

    def changed(self, who: int, before: Cells) -> set[tuple[str, str, str]]:
        now = cells(self.windows[who])
        keys = {key for key in {*before, *now} if before.get(key) != now.get(key)}
        keys |= before.keys() ^ now.keys()
        return keys

    def did(self, who: int, before: Cells) -> None:
        now = cells(self.windows[who])
        self.step += 1
        for key in self.changed(who, before):
            self.gave.add((key, now.get(key, GONE), self.session[who], self.step))

    @rule(who=WHO, text=TEXT)
    def write(self, who: int, text: str) -> None:
        before = cells(self.windows[who])
        self.clock += 1
        self.windows[who].notes.save(Note(self.clock, text))
        self.did(who, before)

    @precondition(lambda self: self.windows[0].notes.all())
    @rule(who=WHO, which=st.integers(0, 5), text=TEXT)
    def rewrite(self, who: int, which: int, text: str) -> None:
        before, notes = cells(self.windows[who]), self.windows[who].notes
        note = notes.all()[which % len(notes.all())]
        notes.save(replace(note, text=text))
        self.did(who, before)

    @precondition(lambda self: self.windows[0].notes.all())
    @rule(who=WHO, which=st.integers(0, 5))
    def put_off(self, who: int, which: int) -> None:
        """Another column of the same row: it stays when the text is taken back, and the other way
        round."""
        before, notes = cells(self.windows[who]), self.windows[who].notes
        note = notes.all()[which % len(notes.all())]
        notes.save(replace(note, at_ms=note.at_ms + 1000))
        self.did(who, before)

    @precondition(lambda self: self.windows[0].notes.all())
    @rule(who=WHO)
    def remove(self, who: int) -> None:
        before, notes = cells(self.windows[who]), self.windows[who].notes
        notes.remove(notes.all()[-1].id or 0)
        self.did(who, before)

    @rule(who=WHO)
    def join(self, who: int) -> None:
        before = cells(self.windows[who])
        with self.windows[who].unit("two at once"):
            self.windows[who].assessors.save(Assessor("Ann"))
            self.windows[who].notes.save(Note(self.clock, "Ann"))
        self.did(who, before)

    @rule(who=WHO, again=st.booleans())
    def undo(self, who: int, again: bool) -> None:
        window, before = self.windows[who], cells(self.windows[who])
        try:
            name = window.undo()
        except KeepingError:
            assert cells(window) == before
            return
        self.own(who, before)
        if name is not None and again:
            assert window.redo() == name
            assert cells(window) == before

    @rule(who=WHO)
    def redo(self, who: int) -> None:
        before = cells(self.windows[who])
        try:
            self.windows[who].redo()
        except KeepingError:
            assert cells(self.windows[who]) == before
            return
        self.own(who, before)

    def own(self, who: int, before: Cells) -> None:
        """What was taken back this window did, or one before it that is closed: also one that was
        open as this one opened and closed later, as far as it was done before."""
        for key in self.changed(who, before):
            was = before.get(key, GONE)
            gave = [(one, step) for of, value, one, step in self.gave if (of, value) == (key, was)]
            assert any(
                one in self.mine[who] or (one in self.closed and step <= self.opened[who])
                for one, step in gave
            ), key
        self.did(who, before)

    @rule(who=WHO)
    def reopen(self, who: int) -> None:
        self.windows[who].close()
        self.windows[who] = Journal.open(self.path)
        self.closed.add(self.session[who])
        self.opened[who] = self.step
        other = self.session[1 - who]
        self.mine[who] = {n for n in range(self.sessions + 1) if n != other}
        self.session[who] = self.sessions
        self.sessions += 1

    def teardown(self) -> None:
        assert self.windows[0].check() == []
        for window in self.windows:
            window.close()
        self.folder.cleanup()


Together.TestCase.settings = settings(max_examples=15, stateful_step_count=25, deadline=None)
TestTogether = Together.TestCase


def test_what_a_window_did_that_closed_since_is_taken_back_by_one_that_opened_after_it() -> None:
    """What it did before the other opened, and no more."""
    state = Together()
    state.join(who=0)
    state.reopen(who=1)
    state.write(who=0, text="later")
    state.reopen(who=0)
    state.undo(who=1, again=False)
    assert state.windows[1].assessors.all() == []
    assert [note.text for note in state.windows[1].notes.all()] == ["later"]
    state.teardown()
