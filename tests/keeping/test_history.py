"""The history in the file: what each act changed, and undo over closing, killing and company."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from journal.keeping import Change, Journal, KeepingError
from journal.keeping.called import RowName
from journal.keeping.history import acts, rows_of
from journal.message import Message
from journal.records.makes import Make, Note
from journal.records.tastings import Assessor
from journal.records.wheels import Weighing
from tests.keeping.conftest import START
from tests.keeping.test_undo import image
from tests.refusals import refused


def elsewhere(path: Path, what: str, *, then: str = "journal.close()") -> None:
    """Do something to the journal in another process, as a command does."""
    program = f"""
from journal.keeping import Journal
from journal.records.tastings import Assessor
journal = Journal.open({str(path)!r}, seat="command")
{what}
{then}
"""
    subprocess.run([sys.executable, "-c", program], check=True, timeout=60)


def test_an_act_has_what_each_row_was_and_became(saved: Journal, make: Make) -> None:
    who = saved.assessors.save(Assessor("Orla"))
    saved.readings.add_many(make.id or 0, "curd-ph", START + np.arange(500) * 1000, np.full(500, 6))
    saved.assessors.save(who)  # changes nothing
    with saved.appending("stream"):
        saved.readings.append_many(make.id or 0, "milk-temp", np.array([START]), np.ones(1), "s")
    saved.assessors.save(Assessor("Órla", uuid=who.uuid, id=who.id))
    begun, person, brought, renamed = acts(saved._db)
    assert begun.makes == {make.id}
    assert person.name == Message("keeping.act-keep", noun="assessor")
    assert "reading" in brought.kinds
    (row,) = rows_of(saved._db, renamed.id)
    assert (row.noun, row.key, row.row_uuid) == ("assessor", who.id, who.uuid)
    assert (row.before, row.after) == ({"name": "Orla"}, {"name": "Órla"})
    block = next(r for r in rows_of(saved._db, brought.id) if r.noun == "reading_block")
    assert block.before is None
    assert block.after is not None
    assert list(block.after["value"]) == ["sha256"]
    saved.undo()
    saved.undo()
    undone = list(acts(saved._db))[-1]
    assert undone.undoes == brought.id
    gone = next(r for r in rows_of(saved._db, undone.id) if r.noun == "reading_block")
    assert gone.before is not None
    assert list(gone.before["value"]) == ["base64"]  # all that redo needs
    assert saved.check() == []


def test_undo_goes_on_after_closing_and_redo_too(saved: Journal, make: Make) -> None:
    before = image(saved)
    saved.notes.save(Note(START, "first", make.id))
    then = image(saved)
    saved.close()
    with Journal.open(saved.path) as again:
        assert again.undo_name == Message("keeping.act-keep", noun="note")
        again.undo()
        assert image(again) == before
    with Journal.open(saved.path) as third:
        assert third.redo() is not None
        assert image(third) == then
        assert third.redo_name is None
        third.undo()
        third.undo()
        assert third.makes.all() == []
        assert third.undo_name is None


def test_undo_goes_on_after_a_window_was_killed(saved: Journal) -> None:
    before = image(saved)
    program = f"""
import os, signal
from journal.keeping import Journal
from journal.records.tastings import Assessor
journal = Journal.open({str(saved.path)!r})
journal.assessors.save(Assessor("Ann"))
os.kill(os.getpid(), signal.SIGKILL)
"""
    killed = subprocess.run([sys.executable, "-c", program], check=False, timeout=60)
    assert killed.returncode == -signal.SIGKILL
    assert saved.undo_name is None, "it came after this window was opened"
    with Journal.open(saved.path) as again:
        again.undo()
        assert image(again) == before


def test_what_a_command_or_an_open_window_did_is_not_undone(saved: Journal) -> None:
    with Journal.open(saved.path) as other:
        other.assessors.save(Assessor("Ann"))
        elsewhere(saved.path, 'journal.assessors.save(Assessor("Bob"))')
        with Journal.open(saved.path) as third:
            assert third.undo_name is None
            assert other.undo() is not None
            assert [one.name for one in third.assessors.all()] == ["Bob"]


def test_what_was_changed_since_is_not_taken_back(saved: Journal) -> None:
    ann = saved.assessors.save(Assessor("Ann"))
    elsewhere(
        saved.path,
        f'journal.assessors.save(Assessor("Anna", uuid={ann.uuid!r}, id={ann.id}))',
    )
    then = image(saved)
    with pytest.raises(KeepingError) as caught:
        saved.undo()
    assert caught.value.id == "keeping.changed-since"
    assert caught.value.values["seat"] == "command"
    assert caught.value.values["act"] == Message("keeping.act-keep", noun="assessor")
    assert image(saved) == then
    assert saved.undo_name is not None


def test_a_column_that_refers_to_a_row_says_what_that_is_called(saved: Journal, make: Make) -> None:
    wheel = saved.makes.finish(make.id or 0, [1.0], START + 86_400_000)[0]
    cellar, larder = (saved.shelves.room_named(name, new=True) for name in ("Cellar", "Larder"))
    for day, room in enumerate((cellar, larder), 2):
        saved.shelves.move([wheel], room, START + day * 86_400_000)
    last = saved.history.of("wheel", wheel.id or 0)[0]
    fields = {field.column: field for row in last.rows for field in row.fields if not row.came}
    there = fields["room_id"]
    assert (there.before, there.after) == (RowName("room", "Cellar"), RowName("room", "Larder"))


def test_another_row_with_the_same_number_stays(saved: Journal) -> None:
    """What one deleted comes back under another number where its own is taken by now."""
    ann = saved.assessors.save(Assessor("Ann"))
    make_note = saved.notes.save(Note(START, "first"))
    saved.notes.remove(make_note.id or 0)
    with Journal.open(saved.path) as other:
        second = other.notes.save(Note(START, "second"))
    assert second.id == make_note.id
    saved.undo()
    assert {n.text: n.uuid for n in saved.notes.all()} == {
        "first": make_note.uuid,
        "second": second.uuid,
    }
    saved.redo()
    assert [n.uuid for n in saved.notes.all()] == [second.uuid]
    saved.undo()
    saved.undo()
    assert [n.uuid for n in saved.notes.all()] == [second.uuid]
    assert saved.assessors.get(ann.id or 0) == ann
    assert saved.check() == []


def test_an_act_of_last_month_is_taken_back_alone(saved: Journal, make: Make) -> None:
    saved.makes.finish(make.id or 0, [1.2], START + 1000)
    wheel = saved.wheels.all()[0].id or 0
    wrong = saved.weighings.save(Weighing(wheel, START, 11.0))
    act = next(saved._db.execute("select max(id) from act"))[0]
    right = saved.weighings.save(Weighing(wheel, START + 1, 1.1))
    saved.close()
    with Journal.open(saved.path, seat="command") as later:
        later.take_back(act)
        assert wrong not in later.weighings.all()
        assert right in later.weighings.all()
        with refused(KeepingError, "keeping.taken-back-already"):
            later.take_back(act)
        with refused(KeepingError, "keeping.no-act"):
            later.take_back(10_000)
        later.redo()
        assert {wrong.uuid, right.uuid} < {w.uuid for w in later.weighings.all()}


def test_others_are_heard_of_with_what_they_changed(saved: Journal, make: Make) -> None:
    heard: list[Change] = []
    saved.listen(heard.append)
    assert not saved.look_for_others()
    elsewhere(
        saved.path,
        f"""
from journal.records.makes import Note
journal.notes.save(Note({START}, "by a command", {make.id}))
journal.undo()
""",
    )
    assert saved.look_for_others()
    assert [(c.kinds, c.makes) for c in heard] == 2 * [({"note"}, {make.id})]
    assert not saved.look_for_others()
    saved.notes.save(Note(START, "own"))
    assert not saved.look_for_others()
    elsewhere(
        saved.path,
        f"""
import numpy as np
journal.readings.append_many({make.id}, "milk-temp", np.array([{START}]), np.ones(1), "s")
""",
    )
    saved.look_for_others()
    assert heard[-1].makes == {make.id}
    assert "reading" in heard[-1].kinds


def test_a_history_that_was_tampered_with_is_refused(saved: Journal) -> None:
    """Nothing that the file says is a statement, a table or a column of another's choosing."""
    saved.assessors.save(Assessor("Ann"))
    then = image(saved)
    for column, value in (
        ("noun", "setting"),
        ("noun", 'assessor" where 1; --'),
        ("after", json.dumps({'name" = 1 --': 2})),
        ("after", "[" * 50_000),
        ("after", "3"),
    ):
        with saved._db:
            kept = saved._db.execute("select noun, after from history").fetchone()
        saved._db.execute(f"update history set {column} = ?", [value])
        with refused(KeepingError, "keeping.records-damaged"):
            saved.undo()
        assert image(saved) == then
        saved._db.execute("update history set noun = ?, after = ?", kept)
    saved.undo()
    assert saved.assessors.all() == []
