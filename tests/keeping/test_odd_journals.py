"""Journals in an odd state: rows that cannot be, work that is stopped, others at the same file."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from journal.keeping import Journal, KeepingError, surroundings
from journal.keeping.errors import DamageError
from journal.keeping.migrations import SCHEMA
from journal.keeping.moving_on import alone, move_on
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.seats import is_seated
from journal.keeping.session_rows import OpenServing
from journal.keeping.whole_tables import write_journal
from journal.message import Message
from journal.records.instants import DAY_MS
from journal.records.makes import Ingredient, Make, Milk, Note
from journal.records.plans import Plan
from journal.records.tastings import Tasting
from journal.records.wheels import Wheel
from tests.keeping.conftest import START
from tests.refusals import refused

PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(200))
RELEASED = Path(__file__).parent / "released"


def yes() -> bool:
    return True


def ids(found: list[Message]) -> list[str]:
    return [one.id for one in found]


def spoil(path: Path, *statements: str) -> None:
    """Change a closed file by other means, which keep no sums."""
    with closing(sqlite3.connect(path)) as db, db:
        for one in statements:
            db.execute(one)


# The check


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ("update wheel set green_weight_kg = -1", "keeping.record-impossible"),
        ("update plan set milk_l = -1", "keeping.plan-impossible"),
        ("update tasting set attributes = 'x'", "keeping.record-damaged"),
        ("update plan set taste_at_days = 'x'", "keeping.plan-damaged"),
        ("update reading_block set value = zeroblob(3)", "keeping.block-damaged"),
        ("update reading_block set last_ms = last_ms + 1", "keeping.block-unordered"),
    ],
)
def test_the_check_names_what_cannot_be_though_its_sum_holds(
    saved: Journal, make: Make, change: str, fault: str
) -> None:
    saved.wheels.save(Wheel(make.id, "A", 1.0))
    saved.tastings.save(Tasting(START))
    saved.readings.add_many(make.id, "curd-ph", START + np.arange(9) * 1000, np.full(9, 6.5), "p")
    assert saved.check() == []
    saved._db.execute(change)
    with Journal.open(saved.path) as again:
        assert fault in ids(again.check())


def test_the_check_names_each_damaged_row_once(saved: Journal, make: Make) -> None:
    saved.readings.add_many(make.id, "curd-ph", START + np.arange(9) * 1000, np.full(9, 6.5), "p")
    saved.close()
    spoil(saved.path, "update reading_block set value = zeroblob(3)",
          "delete from plan where id in (select plan_id from make)")  # fmt: skip
    with Journal.open(saved.path) as again:
        found = ids(again.check())
        assert found.count("keeping.block-damaged") == 1
        assert "keeping.row-refers-to-nothing" in found
        assert again.quick_check(yes) == []
        assert "keeping.block-damaged" in ids(again.quick_check(lambda: False))
        with refused(DamageError, "keeping.row-damaged", noun="reading_block"):
            for _, _, rows in again.tables():
                list(rows)


def test_a_trace_without_readings_and_two_plans_are_no_doubt(saved: Journal, make: Make) -> None:
    saved.readings.log(make.id, "milk-temp", 31.0, START)
    saved.readings.log(make.id, "milk-temp", 31.0, START)
    assert "keeping.readings-twice" in ids(saved.doubts())
    saved._db.execute("delete from reading_log")
    assert saved.doubts() == []


def test_a_journal_without_a_table_is_damaged(saved: Journal) -> None:
    saved.close()
    spoil(saved.path, "drop table note")
    with pytest.raises(DamageError) as caught:
        Journal.open(saved.path)
    assert caught.value.id == "keeping.journal-damaged"
    with pytest.raises(KeepingError):
        Journal.open(saved.path, read_only=True)


# What is stopped, or comes meanwhile


def test_makes_are_read_until_it_is_stopped(saved: Journal, plan: Plan) -> None:
    for day in range(3):
        saved.makes.begin(plan, Milk(9.0), START + day * DAY_MS)
    announced: list[float] = []
    assert [one.make.code for one in saved.wholes(progress=announced.append)] == [
        one.code for one in saved.makes.all()
    ]
    assert announced == [1 / 3, 2 / 3, 1.0]
    assert list(saved.wholes(stop=lambda: len(announced) > 3, progress=announced.append))
    assert list(saved.wholes(stop=yes)) == []
    with saved.unit("keeping.act-room", room="x"):
        assert not saved.look_for_others()
        assert len(saved.makes.rows()) == 3
        with saved.unit("keeping.act-room", room="y"):
            assert saved.makes.newest_rows(1) is not None
    assert len(saved.makes.rows()) == 3
    assert saved.makes.newest_rows(1) is None  # they are known by now


def test_a_merge_that_is_stopped_changes_nothing(saved: Journal, make: Make, tmp_path) -> None:
    other = tmp_path / "other" / "kitchen.vatside"
    other.parent.mkdir()
    saved.fold()
    saved.save_copy(other)
    with Journal.open(other) as copy:
        copy.notes.save(Note(START, "soft", make.id))
        with refused(KeepingError, "keeping.merge-stopped"):
            saved.merge(copy, START + DAY_MS, stop=yes)
        begun: list[bool] = []

        def once_it_writes() -> bool:
            begun.extend([True] * saved.within_unit)
            return bool(begun)

        with refused(KeepingError, "keeping.merge-stopped"):
            saved.merge(copy, START + DAY_MS, stop=once_it_writes)
        assert saved.notes.all() == []
        assert saved.merge(copy, START + DAY_MS).empty is False
    assert [note.text for note in saved.notes.all()] == ["soft"]


def test_what_was_deleted_for_good_does_not_come_again_by_a_copy(saved, make, plan, tmp_path):
    """Unless something was added to it there since: then it stays, whole, and that is said."""
    other = saved.makes.begin(plan, Milk(9.0), START + DAY_MS)
    for each in (make, other):
        saved.readings.log(each.id, "milk-temp", 31.0, START + DAY_MS)
        at_ms = START + DAY_MS + np.arange(9) * 1000
        saved.readings.add_many(each.id, "curd-ph", at_ms, np.full(9, 6.5), "probe")
    path = tmp_path / "other" / "kitchen.vatside"
    path.parent.mkdir()
    saved.save_copy(path)
    for each in (make, other):
        saved.outcomes.delete(each.id)
    assert saved.bin.empty() == 2
    with Journal.open(path) as copy:
        copy.readings.log(other.id, "milk-temp", 32.0, START + 2 * DAY_MS)
        came = saved.merge(copy, START + DAY_MS)
        assert [one.about for one in came.stay if one.noun == "make"] == [other.code]
        assert came.readings == 11
        copy.merge(saved, START + DAY_MS)
        for journal in (saved, copy):
            (stays,) = journal.makes.all()
            assert stays.uuid == other.uuid
            assert len(journal.readings.trace(stays.id, "milk-temp").value) == 2
            assert len(journal.readings.trace(stays.id, "curd-ph").value) == 9
            assert journal.check() == []


def test_a_make_that_was_taken_back_with_its_readings_goes_from_a_copy(saved, make, tmp_path):
    saved.readings.log(make.id, "milk-temp", 31.0, START)
    path = tmp_path / "other" / "kitchen.vatside"
    path.parent.mkdir()
    saved.save_copy(path)
    assert [one.id for one in (saved.undo(), saved.undo())] == [
        "keeping.act-reading", "keeping.act-begin-make",
    ]  # fmt: skip
    with Journal.open(path) as copy:
        copy.merge(saved, START + DAY_MS)
        assert copy.makes.all() == []
        assert copy.check() == []


def test_a_second_folder_of_backups_is_used_while_it_is_there(saved, make, tmp_path) -> None:
    chosen = tmp_path / "stick"
    with refused(KeepingError, "keeping.backup-folder-gone", folder=str(chosen)):
        saved.back_up_also(chosen, START)
    chosen.mkdir()
    assert saved.backup_due(START, chosen)
    made = saved.back_up_also(chosen, START)
    assert chosen in made.path.parents
    assert [one.path for one in saved.backups(chosen)] == [made.path]
    assert not saved.backup_due(START, chosen)


def test_what_was_restored_or_deleted_for_good_is_not_taken_back(saved, make) -> None:
    note = saved.notes.save(Note(START, "soft", make.id))
    saved.notes.remove(note.id)
    assert saved.bin.empty() > 0
    gone = saved.history.all(1)[0].act
    with refused(KeepingError, "keeping.not-to-be-taken-back"):
        saved.take_back(gone.id)
    with refused(KeepingError, "keeping.no-act", key=999):
        saved.take_back(999)
    with refused(KeepingError, "keeping.no-record", noun="moon"):
        saved.history.of("moon", 1)


def test_a_guest_leaves_the_seat_to_its_journal(saved: Journal) -> None:
    heard: list[object] = []
    saved.listen(heard.append)
    saved.unlisten(heard.append)
    saved.unlisten(print)  # which never listened
    with Journal.open(saved.path, token=saved.token) as guest:
        assert guest.token == saved.token
        guest.set_setting("x", "y")
    assert is_seated(saved.token)
    assert heard == []
    machine, pid, started, opening = saved.token.split(":")
    assert is_seated(f"elsewhere:{pid}:{started}:{opening}")  # of another machine nobody knows
    assert not is_seated(f"{machine}:{pid}:1:{opening}")  # another process had that number
    assert not is_seated(f"{machine}:{os.getpid()}:{started}:never")
    assert not is_seated("nonsense")
    assert not is_seated(f"{machine}:x:{started}:{opening}")


# Older files, and new ones


def test_a_file_of_today_is_not_moved_on_and_one_that_hangs_on_nothing_cannot_be(
    saved: Journal, tmp_path: Path
) -> None:
    saved.close()
    before = saved.path.read_bytes()
    with closing(alone(saved.path, sqlite3.Connection)) as db:
        move_on(db, saved.path, SCHEMA - 1)
    assert saved.path.read_bytes() == before
    old = Path(shutil.copy(RELEASED / "format_1.vatside", tmp_path / "old.vatside"))
    spoil(old, "delete from plan")
    kept = old.read_bytes()
    with pytest.raises(KeepingError) as caught:
        Journal.open(old)
    assert caught.value.id in ("keeping.not-moved-on", "keeping.not-copied-to-move")
    assert old.read_bytes() == kept


def test_a_journal_of_rows_has_its_name_only_once_it_is_sound(saved, tmp_path) -> None:
    with refused(KeepingError, "keeping.file-exists", file=saved.path.name):
        write_journal(saved.path, lambda db: None)
    out = tmp_path / "new.vatside"

    def hanging(db: sqlite3.Connection) -> None:
        db.execute("insert into weighing (id, uuid, wheel_id, at_ms, weight_kg) "
                   "values (1, 'u', 7, 0, 1.0)")  # fmt: skip

    def late(db: sqlite3.Connection) -> None:
        out.write_bytes(b"another's")

    with refused(KeepingError, "keeping.copy-unsound"):
        write_journal(out, hanging)
    assert not out.exists()
    with refused(KeepingError, "keeping.file-exists"):
        write_journal(out, late)
    assert out.read_bytes() == b"another's"
    assert [one.name for one in tmp_path.iterdir() if one.name.startswith(".")] == []


# Pictures, cards, what was used


def test_a_picture_is_known_by_its_first_bytes_and_may_be_too_large(saved, make, tmp_path) -> None:
    webp, huge = tmp_path / "a.jpg", tmp_path / "b.png"
    webp.write_bytes(b"RIFF\x00\x00\x00\x00WEBP" + bytes(90))
    assert saved.photos.save(Note(START, "rind", make.id), webp).photo.endswith(".webp")
    with huge.open("wb") as file:
        file.write(PNG)
        file.truncate(500 * 1024 * 1024)  # takes no room
    with refused(KeepingError, "keeping.photo-too-large", photo="b.png"):
        saved.photos.save(Note(START, "rind", make.id), huge)
    with refused(KeepingError, "keeping.photo-not-copied", photo="gone.png"):
        saved.photos.take([tmp_path / "gone.png"])
    saved.photos.drop(["never.png"])
    assert len(saved.photos.every()) == 1


def test_a_card_given_again_changes_only_what_is_another(saved, make) -> None:
    saved.makes.finish(make.id, [0.8], START + DAY_MS)
    wheel = saved.wheels.all()[0]
    at = START + 9 * DAY_MS
    marks = (("flavour", "bitter", "slight"), ("finish", "rough", "slight"))
    card = ScoredSample({"overall": 7.0, "flavour": 6.0}, marks, "nutty")
    saved.sessions.give(OpenServing(wheel.id, "Orla", at), card)
    before = saved.scores.all(), saved.defects.all(), saved.sample_notes.all()
    saved.sessions.give(OpenServing(wheel.id, "Orla", at), card)
    assert (saved.scores.all(), saved.defects.all(), saved.sample_notes.all()) == before
    other = ScoredSample({"overall": 7.5}, marks[:1], "nutty")
    saved.sessions.give(OpenServing(wheel.id, "Orla", at), other)
    assert saved.sessions.scored(OpenServing(wheel.id, "Orla", at)) == other
    assert saved.defects.all() == [d for d in before[1] if d.term == "bitter"]
    assert saved.sample_notes.all() == before[2]
    saved.sessions.give(OpenServing(wheel.id, "Tam", at + DAY_MS), card)
    first, second = saved.tastings.all()
    assert saved.sessions.scored_samples_of(wheel.id, first.id) == [(second.at_ms, "Tam", card)]
    assert [one[1] for one in saved.sessions.scored_samples_of(wheel.id, second.id)] == ["Orla"]


def test_what_was_last_used_of_each_thing_on_the_shelf(saved, make) -> None:
    assert saved.care_tasks.last_used() == {}
    assert saved.care_tasks.rooms_used() == set()
    saved.ingredients.save(Ingredient("culture", "mesophilic", unit="g", amount_left=9.0))
    saved.ingredients.save(Ingredient("rennet", "never used", unit="ml", amount_left=9.0))
    saved.makes.end_stage(make.id, START + 60_000)
    used = saved.care_tasks.last_used()
    assert used == {("culture", "mesophilic"): pytest.approx(0.24)}
    saved.makes.finish(make.id, [0.8], START + DAY_MS)
    assert saved.care_tasks.rooms_used() == {None}


def test_a_make_fails_for_a_reason_that_may_be_said_anew(saved: Journal, make: Make) -> None:
    with refused(KeepingError, "keeping.failed-early", make=make.code):
        saved.outcomes.fail(make.id, "spilt", START - 1)
    saved.outcomes.fail(make.id, "spilt", START + 60_000)
    saved.outcomes.fail(make.id, " knocked   over ", START + 90_000)
    assert [note.text for note in saved.notes.all()] == ["Abandoned: knocked over"]
    saved.notes.remove(saved.notes.all()[0].id)
    assert not saved.outcomes.take_back_failure(make.id).failed  # though nobody wrote down why


def test_there_is_so_much_whey_as_there_was_milk(saved: Journal, make: Make, plan: Plan) -> None:
    with refused(KeepingError, "keeping.whey-too-much", litres=12.5):
        saved.makes.begin_whey(make.id, plan, 12.5, START + DAY_MS)
    saved.makes.begin_whey(make.id, plan, 8.0, START + DAY_MS)
    with refused(KeepingError, "keeping.whey-went-elsewhere", used=8.0):
        saved.makes.begin_whey(make.id, plan, 8.0, START + DAY_MS)
    saved.makes.save(replace(saved.makes.get(make.id), water_added_l=3.0))  # the curd was washed
    with refused(KeepingError, "keeping.whey-went-elsewhere", litres=7.1):
        saved.makes.begin_whey(make.id, plan, 7.1, START + DAY_MS)
    assert saved.makes.begin_whey(make.id, plan, 7.0, START + DAY_MS).whey_l == 7.0


def test_a_plan_has_the_history_of_all_its_versions(saved: Journal, plan: Plan) -> None:
    first = saved.plans.save(plan)
    second = saved.plans.save(replace(first, milk_l=20.0))
    assert second.version == 2
    acts = [one.act.id for one in saved.history.of("plan", second.id)]
    assert len(acts) == 2
    assert [one.act.id for one in saved.history.of("plan", first.id)] == acts
    make = saved.makes.begin(second, Milk(9.0), START)
    assert saved.corrections.set_plan(make.id, second) == make


def test_who_shows_a_journal_hears_that_it_was_renamed(saved: Journal, make: Make) -> None:
    heard: list[str] = []
    saved.when_gone(lambda: heard.append("gone"))
    saved.wait_at_most(1.0)
    moved = saved.path.rename(saved.path.with_name("moved.vatside"))
    with refused(KeepingError, "keeping.renamed-while-open"):
        saved.notes.save(Note(START, "soft", make.id))
    assert heard == ["gone"]
    moved.rename(saved.path)
    saved.notes.save(Note(START, "soft", make.id))


def test_of_locks_that_do_not_hold_and_of_older_copies_beside(saved, make, monkeypatch) -> None:
    shutil.copy(RELEASED / "format_1.vatside", saved.path.with_name("kitchen-1.vatside"))
    assert saved.cautions() == []
    monkeypatch.setattr(surroundings, "locks_hold", lambda folder: False)
    assert ids(saved.cautions()) == ["keeping.locks-do-not-hold"]
