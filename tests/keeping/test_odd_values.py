"""What a journal answers to what is odd: nothing given, nobody there, too early, a second time."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace

import numpy as np
import pytest

from journal.findings.setting_up import set_up_sets
from journal.keeping import Journal, KeepingError, changes
from journal.keeping.airs import LastAir
from journal.keeping.errors import DamageError
from journal.keeping.history import acts
from journal.keeping.makes import letter
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import SampleIdentity
from journal.message import Message
from journal.records import RecordError
from journal.records.brines import Brine
from journal.records.instants import DAY_MS
from journal.records.makes import Make, Milk, Note
from journal.records.panel_tests import TETRAD, TRIANGLE, PanelTest
from journal.records.plans import Plan
from journal.records.stays import MOVE
from journal.records.tastings import BY_SAMPLE, OPEN, Assessor, Tasting
from journal.records.wheels import Removal, Room, Wheel
from tests.keeping.conftest import START
from tests.refusals import refused

NO_MS, NO_VALUE = np.empty(0, np.int64), np.empty(0)


@pytest.fixture
def wheels(saved: Journal, make: Make) -> list[Wheel]:
    saved.makes.finish(make.id, [0.8, 0.6], START + DAY_MS)
    return saved.wheels.all()


def test_where_nothing_is_given_nothing_is_kept(saved: Journal, make: Make) -> None:
    room = saved.rooms.save(Room("cellar"))
    last = saved.undo_name
    assert saved.air.bring(room, []) == 0
    assert saved.air.last(room) == LastAir(room)
    assert saved.readings.add_many(make.id, "curd-ph", NO_MS, NO_VALUE) == 0
    assert saved.readings.append_many(make.id, "curd-ph", NO_MS, NO_VALUE, "probe") == 0
    assert [len(part) for part in saved.readings.outline(make.id, "curd-ph")] == [0, 0, 0]
    assert saved.undo_name == last
    with refused(KeepingError, "keeping.no-record", noun="make", key=99):
        saved.readings.append_many(99, "curd-ph", np.array([START]), np.array([6.0]), "probe")
    with refused(KeepingError, "keeping.no-record", noun="assessor", key=99):
        saved.assessors.save(Assessor("Ann", id=99))
    assert saved.undo_name == last
    assert saved.look_for_others() is False


def test_letters_and_zone_are_for_makes_begun_from_now_on(
    saved: Journal, make: Make, plan: Plan
) -> None:
    for letters, zone in (("a1", "Europe/Paris"), ("abc", "Europe/Paris"), ("ab", "Moon/Crater")):
        with pytest.raises((KeepingError, RecordError)) as caught:
            saved.set_up(letters, zone)
        assert caught.value.id in ("keeping.two-letters", "records.no-zone")
    for letters, zone in (("ab", saved.zone), ("AB", "Europe/Paris")):
        saved.set_up(letters, zone)
    later = saved.makes.begin(plan, Milk(9.0), START + DAY_MS)
    assert (make.code[:2], make.zone) == ("HL", "Europe/London")
    assert (later.code[:2], later.zone) == ("AB", "Europe/Paris")
    with Journal.open(saved.path) as again:
        assert (again.letters, again.zone) == ("AB", "Europe/Paris")


def test_a_make_ends_once_in_its_time_with_a_size_for_each_wheel(
    saved: Journal, make: Make, plan: Plan
) -> None:
    with refused(KeepingError, "keeping.finished-early", make=make.code):
        saved.makes.finish(make.id, [0.8], START - 1)
    with refused(KeepingError, "keeping.size-for-each", wheels=3):
        saved.makes.finish(make.id, [0.3, 0.3, 0.3], START, [(90.0, 50.0), (80.0, 50.0)])
    assert saved.makes.get(make.id).running
    assert saved.wheels.all() == []
    other = saved.makes.begin(plan, Milk(9.0), START + DAY_MS)
    saved.makes.save(replace(saved.makes.get(other.id), failed=True))
    with refused(KeepingError, "keeping.marked-failed", make=other.code):
        saved.makes.finish(other.id, [0.8], START + 2 * DAY_MS)
    assert [letter(place) for place in (0, 25, 26, 52)] == ["A", "Z", "AA", "BA"]
    with refused(RecordError, "keeping.wheel-before-first"):
        letter(-1)


def test_a_wheel_is_where_and_as_heavy_as_was_said(saved: Journal, wheels: list[Wheel]) -> None:
    one, other = wheels
    shelves, cellar = saved.shelves, saved.shelves.room_named(" the  Cellar ", new=True)
    assert shelves.room_named("THE CELLAR") == cellar
    for name, new in (("attic", False), (" ", True)):
        with refused(KeepingError, "keeping.no-room", room=name, known=("the Cellar",)):
            shelves.room_named(name, new=new)
    shelves.move([one], cellar, START + 2 * DAY_MS, "top")
    shelves.move([one], cellar, START + 3 * DAY_MS, "bottom", 2)  # no care: the room is the same
    (moved,) = saved.cares.where(kind=MOVE)
    there = saved.wheels.get(one.id)
    assert (there.room_id, there.shelf, there.place) == (cellar.id, "bottom", 2)
    assert shelves.correct_care(replace(moved, at_ms=START + DAY_MS)).note == "the Cellar"
    turned, = shelves.care([one], "turn", START + 4 * DAY_MS)  # fmt: skip
    with refused(KeepingError, "keeping.move-has-a-room", wheel=one.code):
        shelves.correct_care(turned, room="attic")
    with refused(KeepingError, "keeping.before-it-was-made", wheel=one.code):
        shelves.weigh(one, 0.7, START - 1)
    with refused(KeepingError, "keeping.pieces", wheel=one.code):
        shelves.cut(one, (1,), START + 5 * DAY_MS)
    saved.wheels.save(replace(other, code=f"{one.code}1"))
    quarter = shelves.take(Removal(one.id, "eaten", START + 5 * DAY_MS, 0.25))
    pieces = shelves.cut(one, (1, 1), START + 6 * DAY_MS)
    assert [piece.code for piece in pieces] == [f"{one.code}1x", f"{one.code}2"]
    shelves.correct(replace(quarter, share=1.0))  # what was cut stays cut
    assert saved.wheels.get(one.id).gone_why == "cut"
    bare = saved.wheels.save(Wheel(one.make_id, "BARE"))
    with refused(KeepingError, "keeping.weigh-it-first", wheel="BARE"):
        shelves.take(Removal(bare.id, "eaten", START + 5 * DAY_MS, weight_kg=0.1))
    assert saved.check() == []


def test_what_lies_in_a_bath_comes_out_once(saved: Journal, wheels: list[Wheel]) -> None:
    one, other = wheels
    bath = saved.brines.save(Brine("tub", 20, 20, START))
    lies = saved.baths.put_in(bath.id, one.make_id, START + 1, one.id)
    beside = saved.baths.put_in(bath.id, one.make_id, START + 1, other.id)
    for wheel_id in (one.id, None):
        with refused(KeepingError, "keeping.in-brine-already", brine="tub"):
            saved.baths.put_in(bath.id, one.make_id, START + 2, wheel_id)
    out = saved.baths.take_out(lies, START + DAY_MS)
    saved.baths.put_back(one.make_id, out.out_ms)
    assert saved.brine_stays.all() == [lies, beside]


def test_a_blind_session_refuses_what_would_tell_or_say_nothing(
    saved: Journal, wheels: list[Wheel]
) -> None:
    cheeses = [SampleIdentity(wheel.id) for wheel in wheels]
    order, codes = ((0, 1),), (("111", "222"),)
    at = START + 9 * DAY_MS
    with refused(KeepingError, "keeping.blind-needs-codes"):
        saved.sessions.set_up(Tasting(at, coding=OPEN), cheeses, ["Orla"], order, codes, ["", ""])
    saved.tastings.save(Tasting(at, note="at the table"))
    hidden = saved.sessions.set_up(
        Tasting(at, coding=BY_SAMPLE), cheeses, ["Orla"], order, codes, ["111", "222"]
    )
    assert (
        [row.tasting for row in saved.sessions.rows()]
        == saved.sessions.hidden_sessions()
        == [hidden]
    )
    assert saved.sessions.revealed() == []
    with refused(KeepingError, "keeping.nobody-joins"):
        saved.sessions.join(hidden.id, "  ", (0, 1), ("111", "222"))
    with refused(KeepingError, "keeping.sits-already", person="ORLA"):
        saved.sessions.join(hidden.id, " ORLA ", (0, 1), ("111", "222"))
    with refused(KeepingError, "keeping.sample-empty"):
        saved.sessions.give(saved.sessions.servings(hidden.id)[0].id, ScoredSample({}))
    saved.sessions.take_away(hidden.id)
    assert saved.sessions.rows() == []
    assert saved.undo() == Message("keeping.act-take-sitting-away")
    assert saved.sessions.hidden_sessions() == [hidden]


def test_a_panel_test_is_answered_whole_and_revealed_once(saved: Journal) -> None:
    cheeses = [SampleIdentity(None, "first"), SampleIdentity(None, "second")]
    triangle, tetrad = (PanelTest(START, "UTC", kind) for kind in (TRIANGLE, TETRAD))
    with refused(KeepingError, "keeping.nobody-tastes"):
        saved.tests.set_up(triangle, cheeses, [], [])
    for test in (triangle, tetrad):
        sets = [(one.cups, one.codes) for one in set_up_sets(test.kind, 1, seed=5)]
        saved.tests.set_up(test, cheeses, ["Orla"], sets)
    three, four = saved.panel_sets.all()
    with refused(KeepingError, "keeping.names-one-cup", kind=TRIANGLE):
        saved.tests.answer(three.id, (0, 1))
    with refused(KeepingError, "keeping.names-cups", kind=TETRAD, cups=2):
        saved.tests.answer(four.id, (0,))
    with refused(KeepingError, "findings.no-answer-yet"):
        saved.tests.reveal(three.panel_test_id, START + 1)
    saved.tests.answer(three.id, (three.cups.index(min(three.cups, key=three.cups.count)),))
    assert {row.right for row in saved.tests.rows()} == {None}
    saved.tests.reveal(three.panel_test_id, START + 1)
    with refused(KeepingError, "keeping.test-lifted"):
        saved.tests.reveal(three.panel_test_id, START + 2)
    assert {row.test.kind: row.right for row in saved.tests.rows()} == {TRIANGLE: 1, TETRAD: None}


def test_an_act_is_not_taken_back_over_what_came_otherwise(saved: Journal, make: Make) -> None:
    """The rows were changed by no act that is known, as a mended or a cut file has it."""
    ann = saved.assessors.save(Assessor("Ann"))
    saved._db.execute("update assessor set name = 'Bea' where id = ?", (ann.id,))
    with refused(KeepingError, "keeping.not-as-it-was", noun="assessor"):
        saved.undo()
    saved._db.execute("update assessor set name = 'Ann' where id = ?", (ann.id,))
    note = saved.notes.save(Note(START, "soft", make.id))
    saved.notes.remove(note.id)
    columns = 'id, uuid, at_ms, "text", make_id'
    values = (note.id + 7, note.uuid, note.at_ms, note.text, note.make_id)
    saved._db.execute(f"insert into note ({columns}, photo) values (?, ?, ?, ?, ?, '')", values)
    with refused(KeepingError, "keeping.not-as-it-was", noun="note"):
        saved.undo()
    assert [each.id for each in saved.notes.all()] == [note.id + 7]


@pytest.mark.parametrize("name", ["[]", "nothing", '{"id": 1}'])
def test_an_act_that_cannot_be_read_is_named_nowhere_and_stays(saved: Journal, name: str) -> None:
    ann = saved.assessors.save(Assessor("Ann"))
    saved._db.execute("update act set name = ?", (name,))
    assert saved.undo_name is None
    assert saved.redo_name is None
    with refused(DamageError, "keeping.records-damaged"):
        saved.undo()
    assert saved.assessors.all() == [ann]


@pytest.mark.parametrize("kept", ['{"name"', '["name"]', '{"colour": "red"}', "{}"])
def test_a_row_of_history_that_cannot_be_read_is_damage(saved: Journal, kept: str) -> None:
    ann = saved.assessors.save(Assessor("Ann"))
    saved.assessors.save(replace(ann, name="Bea"))
    saved._db.execute("update history set before = ?, after = ? where before is not null",
                      (kept, kept))  # fmt: skip
    with refused(DamageError, "keeping.records-damaged"):
        saved.undo()
    assert [one.name for one in saved.assessors.all()] == ["Bea"]
    with closing(sqlite3.connect(saved.path)) as plain:
        assert plain.execute("select count(*) from act").fetchone() == (2,)
    assert len(list(acts(saved._db))) == 2


def test_an_import_taken_back_leaves_what_streamed_into_its_trace(
    saved: Journal, make: Make
) -> None:
    saved.readings.add_many(
        make.id, "milk-temp", START + np.arange(9) * 1000, np.full(9, 20.0), "p"
    )
    brought = saved.history.all(1)[0].act
    saved.readings.append_many(make.id, "milk-temp", np.array([START - 1]), np.array([31.0]), "p")
    saved.take_back(brought.id)
    assert saved.readings.trace(make.id, "milk-temp").value.tolist() == [31.0]
    assert saved.check() == []


def test_undo_goes_so_far_and_no_farther(saved: Journal, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(changes, "STEPS_KEPT", 2)
    for name in ("Ann", "Bea", "Cleo"):
        saved.assessors.save(Assessor(name))
    assert [saved.undo() is not None for _ in range(3)] == [True, True, False]
    assert [one.name for one in saved.assessors.all()] == ["Ann"]


def test_no_change_is_made_from_a_list_that_is_not_whole(saved: Journal, plan: Plan) -> None:
    saved.plans.save(plan)
    saved.plans.save(replace(plan, name="spoilt"))
    saved.close()
    with closing(sqlite3.connect(saved.path)) as plain, plain:
        plain.execute("update plan set note = 'x' where name = 'spoilt'")
    with Journal.open(saved.path) as again:
        assert [one.name for one in again.plans.latest()] == [plan.name]
        assert len(again.left_out()) == 1
        with refused(DamageError, "keeping.row-damaged", noun="plan"), again.unit("x"):
            again.plans.latest()


def test_what_lies_in_the_bin_and_is_no_record_stays_there(saved: Journal, make: Make) -> None:
    note = saved.notes.save(Note(START, "soft", make.id))
    saved.notes.remove(note.id)
    (lies,) = saved.bin.all()
    for row in ('{"colour": "red"}', '["text"]', "{"):
        saved._db.execute("update bin set row = ?", (row,))
        with refused(DamageError, "keeping.records-damaged"):
            saved.bin.restore([lies.id])
        assert saved._db.execute("select count(*) from bin").fetchone() == (1,)
    assert saved.notes.all() == []


def test_the_day_is_put_right_as_far_as_it_hangs_together(saved: Journal, make: Make) -> None:
    assert saved.day.lengthen(make.id, -5.0).extra_min == -5.0
    saved.day.again(make.id, START + 10 * 60_000)
    with refused(KeepingError, "keeping.begun-again-before", stage="warm"):
        saved.day.set_times(make.id, {0: START + 20 * 60_000})
    saved.day.set_times(make.id, {0: START - 60_000})
    assert saved.makes.get(make.id).started_ms == START - 60_000
