"""The bin: everything deleted is there, comes back whole, and goes for good only on purpose."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from journal.keeping import Journal, KeepingError
from journal.keeping.history import acts
from journal.records.makes import Make, Milk, Note
from journal.records.tastings import Assessor, Sample, Score, Tasting
from journal.records.wheels import Care, Room, Weighing
from tests.keeping.conftest import START
from tests.keeping.test_undo import image
from tests.refusals import refused

PNG = b"\x89PNG\r\n\x1a\n" + bytes(20)


@pytest.fixture
def full(saved: Journal, make: Make, tmp_path: Path) -> Journal:
    """A make with a wheel that was weighed, cared for and scored, with a note and its photo."""
    key = make.id or 0
    saved.makes.finish(key, [1.2], START + 1000)
    wheel = saved.wheels.all()[0].id or 0
    saved.cares.save(Care(wheel, "turn", START))
    picture = tmp_path / "wheel.png"
    picture.write_bytes(PNG)
    saved.photos.save(Note(START, "a crack", key), picture)
    ann = saved.assessors.save(Assessor("Ann"))
    session = saved.tastings.save(Tasting(START, lifted_ms=START))
    sample = saved.samples.save(Sample(session.id or 0, wheel, "481"))
    saved.scores.save(Score(sample.id or 0, ann.id or 0, "overall", 7.5))
    return saved


def test_all_that_is_deleted_is_listed_and_comes_back(full: Journal) -> None:
    then = image(full)
    note = full.notes.all()[0]
    full.notes.remove(note.id or 0)
    full.weighings.remove(full.weighings.all()[0].id or 0)
    full.plans.remove(full.plans.latest()[0].name)
    full.assessors.remove(full.assessors.all()[0].id or 0)
    full.outcomes.delete(1)
    found = full.bin.all()
    assert {one.called.noun for one in found} == {"make", "assessor", "plan", "weighing", "note"}
    assert next(one.called.text for one in found if one.called.noun == "note") == "a crack"
    with refused(KeepingError, "keeping.not-in-the-bin", what="make-9"):
        full.bin.restore(["make-1", "make-9"])
    full.bin.restore([one.id for one in full.bin.all()])
    assert full.bin.all() == []
    now = image(full)
    for table in now:
        assert {row[1:] for row in now[table]} == {row[1:] for row in then[table]}, table
    full.undo()
    assert len(full.bin.all()) == 5
    assert full.check() == []


def test_a_wheel_does_not_come_back_without_its_make(full: Journal) -> None:
    full.wheels.remove(1)
    full.outcomes.delete(1)
    with refused(KeepingError, "keeping.bin-needs", noun="wheel", parent="make"):
        full.bin.restore(["wheel-1"])
    full.bin.restore(["make-1"])
    full.bin.restore(["wheel-1"])
    assert full.bin.all() == []


def test_emptied_it_is_gone_for_good_with_photo_and_history(full: Journal) -> None:
    photo = full.photos.all()[0]
    full.readings.log(1, "milk-temp", 31.0, START)
    full.outcomes.delete(1)
    full.bin.empty()
    assert full.bin.all() == []
    assert not photo.exists()
    for table, rows in image(full).items():
        if table not in ("plan", "stage", "gate", "dose", "care_rule", "assessor"):
            assert rows == [], table
    assert [one.name for one in full.assessors.all()] == ["Ann"]
    assert full.check() == []
    text = "\n".join(full._db.iterdump())
    assert "a crack" not in text
    assert "HL-0001-1" not in text
    while full.undo_name is not None:
        full.undo()
    for act in list(acts(full._db)):
        if act.undone_ms is None and act.undoes is None:
            with pytest.raises(KeepingError):
                full.take_back(act.id)
    assert full.makes.all() == []


def test_what_others_need_stays_in_the_bin(full: Journal, plan) -> None:
    """A plan that makes were made by, a person who scored: nothing of a make or session goes."""
    full.plans.remove(plan.name)
    full.assessors.remove(1)
    room = full.rooms.save(Room("cellar"))
    full.wheels.save(
        full.wheels.get(1).__class__(**{**vars(full.wheels.get(1)), "room_id": room.id})
    )
    full.rooms.remove(room.id or 0)
    before = {t: rows for t, rows in image(full).items() if t not in ("room", "wheel")}
    full.bin.empty()
    after = image(full)
    assert {t: after[t] for t in before} == before
    assert after["room"] == []
    assert full.wheels.get(1).room_id is None
    assert {one.called.noun for one in full.bin.all()} == {"plan", "assessor"}
    full.bin.restore([one.id for one in full.bin.all()])
    assert full.makes.begin(full.plans.latest()[0], Milk(10.0), START + 9000).code == "HL-0002"
    assert full.check() == []


def test_the_history_of_one_record_has_what_hangs_on_it(full: Journal) -> None:
    wheel = full.wheels.get(1)
    weight = full.weighings.save(Weighing(1, START, 11.0))
    full.weighings.save(Weighing(1, START, 1.1, weight.id, weight.uuid))
    full.weighings.remove(weight.id or 0)
    full.rooms.save(Room("cellar"))
    past = full.history.of("wheel", 1)
    assert [one.act.name.values.get("noun") for one in past[:3]] == ["weighing"] * 3
    (row,) = past[1].rows
    assert (row.called.noun, row.called.owner.text) == ("weighing", wheel.code)
    assert [(f.column, f.before, f.after) for f in row.fields] == [("weight_kg", 11.0, 1.1)]
    assert len(full.history.all()) == len(list(acts(full._db)))
    assert len(full.history.of("room", 1)) == 1
    assert len(full.history.all(2)) == 2


def test_a_hidden_session_stays_hidden_in_the_history(full: Journal) -> None:
    with full.unit("a hidden session"):
        session = full.tastings.save(Tasting(START, coding="sample"))
        full.samples.save(Sample(session.id or 0, 1, "907"))
    past = full.history.all(1)[0]
    assert all(row.called.hidden and row.fields == () for row in past.rows)
    assert not re.search(r"\b907\b", repr(past))  # in a uuid these letters may be
