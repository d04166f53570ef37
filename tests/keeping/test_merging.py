"""Two copies of a journal become one again, whichever of them asks."""

from __future__ import annotations

import itertools
import json
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from journal.keeping import Change, Journal, KeepingError, changes, history, keepers
from journal.keeping.merging import Merge
from journal.message import Message
from journal.records import id_of
from journal.records.makes import Milk, Note
from journal.records.plans import Plan, Stage
from journal.records.tastings import Assessor, DefectMark, Sample, Score, Tasting
from journal.records.wheels import Weighing
from tests.keeping.conftest import START

PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(200))
MIN = 60_000
NOW = START + 90 * 86_400_000


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A journal before it is copied: a make with two wheels, readings, a note, a score."""
    path = tmp_path_factory.mktemp("first") / "kitchen.vatside"
    with Journal.create(path, zone="Europe/London") as journal:
        plan = journal.plans.save(Plan("hard", (Stage("warm", 30), Stage("set", 40))))
        make = journal.makes.begin(plan, Milk(12.0), START)
        for minute in range(5):
            journal.readings.log(id_of(make), "milk-temp", 20.0 + minute, START + minute * MIN)
        at = np.arange(3000) * 1000 + START
        journal.readings.add_many(id_of(make), "curd-ph", at, 6.7 - np.arange(3000) / 5000, "probe")
        journal.makes.finish(id_of(make), (0.7, 0.8), START + 100 * MIN)
        journal.notes.save(Note(START, "clean break", make.id))
        ann = journal.assessors.save(Assessor("Ann"))
        session = journal.tastings.save(Tasting(START + 200 * MIN, "Europe/London"))
        sample = journal.samples.save(Sample(id_of(session), 1, "A"))
        journal.scores.save(Score(id_of(sample), id_of(ann), "overall", 6.0))
    return path


@pytest.fixture
def pair(first: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """The journal and a copy of it, both open; what is done later is so by a millisecond and more,
    which a quick disk does not take."""
    clock, looks = time.time_ns, itertools.count()
    monkeypatch.setattr(time, "time_ns", lambda: clock() + 1_000_000 * next(looks))
    for name in ("house", "dairy"):
        (tmp_path / name).mkdir()
        shutil.copy(first, tmp_path / name / f"{name}.vatside")
    with (
        Journal.open(tmp_path / "house" / "house.vatside") as house,
        Journal.open(tmp_path / "dairy" / "dairy.vatside") as dairy,
    ):
        yield house, dairy


def output(journal: Journal) -> dict[str, Any]:
    """All a journal holds without its ids, by other means than the merge's own."""
    db = journal._db
    names = [name for (name,) in db.execute("select name from sqlite_master where type = 'table'")]
    out: dict[str, Any] = {}
    for table in names:
        if table in ("setting", "act", "history", "trace", "reading_log", "reading_block"):
            continue
        columns = [row[1] for row in db.execute(f'pragma table_info("{table}")')]
        refers = {row[3]: row[2] for row in db.execute(f'pragma foreign_key_list("{table}")')}
        if "uuid" not in columns:
            continue
        plain = [c for c in columns if c not in ("id", "sum")]
        asked = [
            f'(select p.uuid from "{refers[c]}" p where p.id = t."{c}")' if c in refers
            else f't."{c}"' for c in plain
        ]  # fmt: skip
        rows = db.execute(f'select {", ".join(asked)} from "{table}" t').fetchall()
        if table == "bin":
            rows = [(row[0], row[1]) for row in rows]
        out[table] = sorted(rows, key=repr)
    for make in journal.makes.all():
        for kind in journal.readings.kinds(id_of(make)):
            trace = journal.readings.trace(id_of(make), kind, raw=True)
            columns = (trace.at_ms.tolist(), trace.value.tolist(), trace.flags.tolist())
            rows = sorted(zip(*columns, strict=True))
            if rows:
                out[f"{make.uuid} {kind}"] = rows
    return out


def merge(into: Journal, other: Journal, choices=()) -> Merge:
    """Merge the other as its file lies there, as a command would."""
    with Journal.open(other.path, read_only=True) as there:
        return into.merge(there, NOW, choices)


def both_ways(house: Journal, dairy: Journal) -> Merge:
    """Merge each into a copy of the other, then one into the other and back: all end equal, sound,
    and a second time changes nothing."""
    copies = []
    for one, other in ((house, dairy), (dairy, house)):
        path = one.path.with_name("again.vatside")
        one.save_copy(path)
        with Journal.open(path) as copy:
            merge(copy, other)
            assert copy.check() == []
            copies.append(output(copy))
    assert copies[0] == copies[1]
    done = merge(house, dairy)
    assert output(house) == copies[0]
    assert merge(house, dairy).empty
    merge(dairy, house)
    assert output(dairy) == output(house)
    assert merge(dairy, house).empty
    assert merge(house, dairy).empty
    assert output(house) == copies[0]
    return done


def test_what_one_side_did_comes_and_nothing_else(pair):
    house, dairy = pair
    before = output(dairy)
    dairy.readings.log(1, "milk-temp", 31.5, START + 9 * MIN)
    dairy.wheels.save(replace(dairy.wheels.get(1), remark="mould"))
    dairy.notes.remove(1)
    make = dairy.makes.begin(dairy.plans.by_name("hard"), Milk(10.0), START + 400 * MIN)
    dairy.readings.log(id_of(make), "milk-temp", 8.0, START + 401 * MIN)
    assert output(house) == before
    done = both_ways(house, dairy)
    assert done.came["make"] == 1
    assert done.changed == {"wheel": 1}
    assert done.went == {"note": 1}
    assert (done.readings, done.differences, done.stay, done.renamed) == (2, (), (), ())
    assert house.wheels.get(1).remark == "mould"
    assert [m.code for m in house.makes.all()] == ["HL-0001", "HL-0002"]


def test_other_columns_of_one_row_come_together(pair):
    house, dairy = pair
    house.wheels.save(replace(house.wheels.get(1), remark="mould"))
    dairy.wheels.save(replace(dairy.wheels.get(1), gone_ms=NOW, gone_why="eaten"))
    done = both_ways(house, dairy)
    wheel = house.wheels.get(1)
    assert (wheel.remark, wheel.gone_ms, wheel.gone_why) == ("mould", NOW, "eaten")
    assert done.differences == ()


def test_of_what_both_changed_the_later_stands_and_the_other_is_named_and_kept(pair):
    house, dairy = pair
    dairy.wheels.save(replace(dairy.wheels.get(1), remark="dry"))
    house.wheels.save(replace(house.wheels.get(1), remark="mould"))
    done = both_ways(house, dairy)
    [one] = done.differences
    assert (one.noun, one.about, one.column) == ("wheel", "HL-0001-A", "remark")
    assert (one.stands, one.other, one.from_here) == ("mould", "dry", True)
    rows = dairy._db.execute("select after from history where noun = 'wheel'").fetchall()
    assert {"dry", "mould"} <= {json.loads(row[0] or "{}").get("remark") for row in rows}


def test_a_choice_lets_the_other_stand_and_goes_on_to_the_other_side(pair):
    house, dairy = pair
    dairy.wheels.save(replace(dairy.wheels.get(1), remark="dry"))
    house.wheels.save(replace(house.wheels.get(1), remark="mould"))
    with Journal.open(dairy.path, read_only=True) as there:
        [one] = house.merging(there).differences
        house.merge(there, NOW, {(one.noun, one.uuid, one.column)})
    assert house.wheels.get(1).remark == "dry"
    merge(dairy, house)
    assert dairy.wheels.get(1).remark == "dry"
    assert merge(house, dairy).empty
    house.undo()
    assert house.wheels.get(1).remark == "mould"


def test_what_was_changed_stays_though_the_other_deleted_it_and_is_said(pair):
    house, dairy = pair
    house.notes.remove(1)
    dairy.notes.save(replace(dairy.notes.get(1), text="clean break at last"))
    done = both_ways(house, dairy)
    assert [note.text for note in house.notes.all()] == ["clean break at last"]
    assert [(one.noun, one.about, one.deleted_here) for one in done.stay] == [
        ("note", "HL-0001", True)
    ]


def test_what_others_need_stays_though_it_was_deleted(pair):
    house, dairy = pair
    sample = house.samples.get(1)
    house.scores.remove(1)
    house.samples.remove(id_of(sample))
    bob = dairy.assessors.save(Assessor("Bob"))
    dairy.scores.save(Score(1, id_of(bob), "overall", 7.0))
    done = both_ways(house, dairy)
    assert [s.uuid for s in house.samples.all()] == [sample.uuid]
    assert [s.value for s in house.scores.all()] == [7.0]
    assert [one.noun for one in done.stay] == ["sample"]


def test_a_plan_that_one_took_back_and_the_other_made_from_stays_whole(first, tmp_path):
    house = Journal.open(shutil.copy(first, tmp_path / "house.vatside"))
    house.plans.save(replace(house.plans.by_name("hard"), note="second"))
    house.save_copy(tmp_path / "dairy.vatside")
    with house, Journal.open(tmp_path / "dairy.vatside") as dairy:
        house.undo()
        dairy.makes.begin(dairy.plans.by_name("hard"), Milk(9.0), START)
        done = both_ways(house, dairy)
        assert [(one.noun, one.about) for one in done.stay] == [("plan", "hard")]
        assert [len(plan.stages) for plan in house.plans.all()] == [2, 2]


def test_what_was_undone_again_on_one_side_does_not_stand_against_the_other(pair):
    house, dairy = pair
    dairy.wheels.save(replace(dairy.wheels.get(1), remark="dry"))
    house.wheels.save(replace(house.wheels.get(1), remark="mould"))
    house.undo()
    done = both_ways(house, dairy)
    assert house.wheels.get(1).remark == "dry"
    assert done.differences == ()


def test_what_was_there_before_they_parted_and_is_undone_stays_undone(first, pair):
    house, dairy = pair
    last = house._db.execute("select max(id) from act").fetchone()[0]
    house.take_back(last)
    assert house.scores.all() == []
    both_ways(house, dairy)
    assert dairy.scores.all() == []


def test_a_merge_is_one_step_of_undo_and_what_was_undone_does_not_come_again(pair):
    house, dairy = pair
    before = output(house)
    dairy.wheels.save(replace(dairy.wheels.get(1), remark="dry"))
    dairy.readings.log(1, "milk-temp", 31.5, START + 9 * MIN)
    done = merge(house, dairy)
    assert done.backup is not None
    assert done.backup.path.is_file()
    assert house.undo_name.id == "keeping.act-merge"
    house.undo()
    assert output(house) == before
    assert merge(house, dairy).empty
    house.redo()
    assert house.wheels.get(1).remark == "dry"
    merge(dairy, house)
    assert output(house) == output(dairy)


def test_the_others_acts_are_not_undone_by_ctrl_z_here(pair):
    house, dairy = pair
    dairy.wheels.save(replace(dairy.wheels.get(1), remark="dry"))
    merge(house, dairy)
    assert house.undo() == Message("keeping.act-merge", other="dairy.vatside")
    assert house.undo_name == Message("keeping.act-keep", noun="score")
    path = house.path
    house.close()
    with Journal.open(path) as again:
        assert again.undo_name == Message("keeping.act-keep", noun="score")


def test_codes_that_both_gave_away_are_given_anew(pair):
    house, dairy = pair
    for side, litres in ((house, 11.0), (dairy, 22.0)):
        make = side.makes.begin(side.plans.by_name("hard"), Milk(litres), START + 500 * MIN)
        side.makes.finish(id_of(make), (0.5,), START + 600 * MIN)
        side.makes.add_wheels(side.makes.get(1), (0.1,), START + 600 * MIN)
        side.plans.save(replace(side.plans.by_name("hard"), note=f"{litres:g} litres"))
    done = both_ways(house, dairy)
    codes = {(m.milk.litres, m.code) for m in house.makes.all()}
    assert codes == {(12.0, "HL-0001"), (11.0, "HL-0002"), (22.0, "HL-0003")}
    assert [(one.noun, one.was, one.now) for one in done.renamed] == [
        ("make", "HL-0002", "HL-0003"), ("wheel", "HL-0002-A", "HL-0003-A"),
        ("wheel", "HL-0001-C", "HL-0001-D"), ("plan", "2", "3"),
    ]  # fmt: skip
    of = {w.code: house.makes.get(w.make_id).code for w in house.wheels.all()}
    assert of == {code: code.rpartition("-")[0] for code in of}
    dairy.makes.add_wheels(dairy.makes.by_code("HL-0003"), (0.2,), START + 700 * MIN)
    both_ways(house, dairy)
    assert house.wheel_by_code("HL-0003-B").green_weight_kg == 0.2


def test_a_wheel_of_a_make_that_has_a_new_code_by_now_gets_it_too(pair):
    house, dairy = pair
    for side, litres in ((house, 11.0), (dairy, 22.0)):
        side.makes.begin(side.plans.by_name("hard"), Milk(litres), START + 500 * MIN)
    merge(house, dairy)
    dairy.makes.finish(2, (0.5,), START + 600 * MIN)
    done = both_ways(house, dairy)
    assert [(one.was, one.now) for one in done.renamed] == [("HL-0002-A", "HL-0003-A")]


def test_one_score_of_one_taster_and_one_mark_of_a_fault_there_is_only_once(pair):
    house, dairy = pair
    for side, points in ((dairy, 4.0), (house, 5.0)):
        side.scores.save(Score(1, 1, "aroma", points))
        side.defects.save(DefectMark(1, 1, "flavour", "bitter", "weak"))
    done = both_ways(house, dairy)
    assert [s.value for s in house.scores.where(attribute="aroma")] == [5.0]
    assert len(house.defects.all()) == 1
    assert [(one.about, one.stands, one.other) for one in done.differences] == [
        ("HL-0001-A, Ann, aroma", 5.0, 4.0)
    ]


def test_of_a_hidden_session_nothing_is_told(pair):
    house, dairy = pair
    for side, points in ((dairy, 4.0), (house, 5.0)):
        side.tastings.save(replace(side.tastings.get(1), coding="sample"))
        side.scores.save(replace(side.scores.get(1), value=points))
    [one] = merge(house, dairy).differences
    assert (one.about, one.stands, one.other, one.hidden) == ("", None, None, True)
    assert house.scores.get(1).value == 5.0


def test_readings_are_each_there_once_and_struck_where_one_side_struck_them(pair):
    house, dairy = pair
    for side, count in ((house, 4000), (dairy, 5000)):
        at = np.arange(count) * 500 + START
        side.readings.log(1, "milk-temp", 40.0, START + 20 * MIN)
        side.readings.add_many(1, "room-temp", at, at % 7 + 15.0, "probe")
    house.readings.strike(1, "milk-temp", START, 20.0)
    dairy.readings.strike(1, "curd-ph", START + 7000, 6.7 - 7 / 5000)
    dairy.readings.append_many(1, "milk-temp", np.array([START + 1]), np.array([1.0]), "sensor")
    done = both_ways(house, dairy)
    milk = house.readings.trace(1, "milk-temp")
    assert milk.value.tolist() == [20.0, 1.0, 21.0, 22.0, 23.0, 24.0, 40.0]
    assert [bool(flag & 1) for flag in milk.flags[:2]] == [True, False]
    assert house.readings.trace(1, "curd-ph").flags.sum() == 1
    assert len(house.readings.trace(1, "room-temp")) == 5000
    assert done.readings == 1001
    house.readings.strike(1, "milk-temp", START, 20.0, False)
    both_ways(house, dairy)
    assert dairy.readings.trace(1, "milk-temp").flags.sum() == 0


def test_two_files_of_a_logger_come_as_one_and_what_is_undone_there_goes_from_it(pair):
    """In the other copy they lie in blocks of their own; here they are packed together."""
    house, dairy = pair
    at = np.arange(3000) * MIN + START
    for late in (0, MIN // 2):
        dairy.readings.add_many(1, "room-humidity", at + late, at % 7 + 80.0, "logger")
    heard: list[Change] = []
    house.listen(heard.append)
    assert both_ways(house, dairy).readings == 6000
    assert [(c.kinds, c.makes) for c in heard] == [({"reading"}, {1})], "so that curves are redrawn"
    asked = (
        'select "count" from reading_block where trace_id in (select id from trace where kind = ?)'
    )
    assert house._db.execute(asked, ("room-humidity",)).fetchall() == [(6000,)]
    assert sorted(dairy._db.execute(asked, ("room-humidity",))) == [(3000,), (3000,)]
    assert dairy.undo().id == "keeping.act-bring-in"
    both_ways(house, dairy)
    assert house.readings.trace(1, "room-humidity").at_ms.tolist() == at.tolist()
    assert house._db.execute(asked, ("room-humidity",)).fetchall() == [(3000,)]


def test_a_reading_that_was_taken_back_on_one_side_goes_on_the_other(first, tmp_path):
    house = Journal.open(shutil.copy(first, tmp_path / "house.vatside"))
    house.readings.log(1, "milk-temp", 77.0, START + 30 * MIN)
    at = np.arange(50) * 500 + START
    house.readings.add_many(1, "room-temp", at, at * 0 + 15.0)
    house.save_copy(tmp_path / "dairy.vatside")
    with house, Journal.open(tmp_path / "dairy.vatside") as dairy:
        house.undo()
        house.undo()
        dairy.readings.log(1, "milk-temp", 41.0, START + 40 * MIN)
        both_ways(house, dairy)
        assert dairy.readings.trace(1, "milk-temp").value.tolist()[-2:] == [24.0, 41.0]
        assert len(dairy.readings.trace(1, "room-temp")) == 0


def test_photos_come_along_and_are_seen(pair, tmp_path):
    house, dairy = pair
    (tmp_path / "cut.png").write_bytes(PNG)
    name = dairy.photos.save(Note(START, "cut", 1), tmp_path / "cut.png").photo
    assert merge(house, dairy).photos == 1
    assert house.photos.file(name).parent == house.photos.folder
    assert house.photos.file(name).read_bytes() == PNG
    assert house.check() == []


def test_a_bin_and_what_is_restored_from_it_mean_the_same_rows_on_both_sides(pair):
    house, dairy = pair
    house.makes.begin(house.plans.by_name("hard"), Milk(11.0), START + 500 * MIN)
    other = dairy.makes.begin(dairy.plans.by_name("hard"), Milk(22.0), START + 510 * MIN)
    note = dairy.notes.save(Note(START, "of the other", other.id))
    dairy.notes.remove(id_of(note))
    both_ways(house, dairy)
    row = house._db.execute("select row from bin").fetchall()
    make = next(m for m in house.makes.all() if m.uuid == other.uuid)
    assert [json.loads(one[0])["make_id"] for one in row] == [make.id]


def test_verdicts_come_and_other_settings_stay(pair):
    house, dairy = pair
    uuid = dairy.makes.get(1).uuid
    dairy.set_setting(f"verdict {uuid}", "{}")
    dairy.set_setting("letters", "XX")
    dairy.readings.log(1, "milk-temp", 31.5, START + 9 * MIN)
    merge(house, dairy)
    assert house.setting(f"verdict {uuid}") == "{}"
    assert house.setting("letters") == "HL"


def test_journals_that_are_no_copies_and_a_journal_with_itself_are_refused(pair, tmp_path):
    house, dairy = pair
    with Journal.create(tmp_path / "other.vatside") as other:
        for into, of, why in ((house, other, "keeping.other-origin"),
                              (house, house, "keeping.merge-itself")):  # fmt: skip
            with pytest.raises(KeepingError) as refused:
                into.merge(of, NOW)
            assert refused.value.id == why
    assert house.backups() == []
    assert merge(house, dairy).backup is None


def test_without_a_history_the_row_with_the_later_time_stands_and_both_are_named(pair):
    house, dairy = pair
    for side, text, at_ms in ((house, "here", START), (dairy, "there", START + 1)):
        for statement, values in (
            ("delete from history", ()),
            ("update act set undoes = null", ()),
            ("delete from act", ()),
            ("update note set text = ?, at_ms = ?", (text, at_ms)),
            ("update weighing set weight_kg = ? where id = 1", (at_ms / START,)),
        ):
            side._db.execute(statement, values)
    done = both_ways(house, dairy)
    assert [(note.text, note.at_ms) for note in house.notes.all()] == [("there", START + 1)]
    assert {(one.noun, one.column) for one in done.differences} == {
        ("note", "text"), ("note", "at_ms"), ("weighing", "weight_kg"),
    }  # fmt: skip


def test_what_another_process_wrote_meanwhile_is_merged_and_not_lost(pair):
    house, dairy = pair
    code = (
        "import sys; from journal.keeping import Journal\n"
        "with Journal.open(sys.argv[1]) as j:\n"
        "    j.readings.log(1, 'milk-temp', 50.0, int(sys.argv[2]))"
    )
    for side, minute in ((house, 50), (dairy, 60)):
        subprocess.run(
            [sys.executable, "-c", code, side.path, str(START + minute * MIN)], check=True
        )
    merge(house, dairy)
    assert house.readings.trace(1, "milk-temp").value.tolist()[-2:] == [50.0, 50.0]


def test_what_is_written_between_the_look_and_the_merge_is_not_lost(pair, monkeypatch):
    """Another program writes while the backup is made."""
    house, dairy = pair
    dairy.wheels.save(replace(dairy.wheels.get(1), remark="dry"))
    back_up = house.back_up

    def slowly(at_ms: int, **how: object):
        with Journal.open(house.path) as other:
            other.wheels.save(replace(other.wheels.get(1), remark="mould"))
        return back_up(at_ms, **how)

    monkeypatch.setattr(house, "back_up", slowly)
    [one] = merge(house, dairy).differences
    assert (one.stands, one.other) == ("mould", "dry")
    assert house.wheels.get(1).remark == "mould"


# Any edits of two copies


def pick(rows: list[Any], n: int) -> Any:
    if not rows:
        raise KeepingError("keeping.no-record", noun="any", key=n)
    return rows[n % len(rows)]


def change(of: Callable[[Journal], Any], n: int, j: Journal, **fields: Any) -> None:
    of(j).save(replace(pick(of(j).all(), n), **fields))


def remove(keeper: Any, n: int) -> None:
    keeper.remove(id_of(pick(keeper.all(), n)))


def score(j: Journal, n: int, v: int) -> None:
    of = (id_of(pick(j.samples.all(), n)), id_of(pick(j.assessors.all(), v)), "aroma")
    old = j.scores.where(sample_id=of[0], assessor_id=of[1], attribute="aroma")
    j.scores.save(replace(old[0], value=float(v)) if old else Score(*of, float(v)))


def strike(j: Journal, n: int, v: int) -> None:
    make = id_of(pick(j.makes.all(), n))
    trace = j.readings.trace(make, "milk-temp")
    at_ms, value, flags = pick(list(zip(trace.at_ms, trace.value, trace.flags, strict=True)), v)
    j.readings.strike(make, "milk-temp", int(at_ms), float(value), not flags & 1)


def log(j: Journal, n: int, v: int) -> None:
    j.readings.log(id_of(pick(j.makes.all(), n)), "milk-temp", 20.0 + v, START + v * MIN)


def finish(j: Journal, n: int, v: int) -> None:
    make = pick(j.makes.running(), n)
    j.makes.finish(id_of(make), (0.1 * (v + 1),), make.started_ms + MIN)


def weigh(j: Journal, n: int, v: int) -> None:
    j.weighings.save(Weighing(id_of(pick(j.wheels.all(), n)), START + v, 0.1 + v))


# What can be done to a journal, by two small numbers.
ACTS: dict[str, Callable[[Journal, int, int], object]] = {
    "begin": lambda j, n, v: j.makes.begin(j.plans.by_name("hard"), Milk(9.0 + v), START + v),
    "finish": finish,
    "log": log,
    "strike": strike,
    "note": lambda j, n, v: j.notes.save(Note(START + v, f"words {v}", None)),
    "reword": lambda j, n, v: change(lambda j: j.notes, n, j, text=f"other {v}"),
    "drop note": lambda j, n, v: remove(j.notes, n),
    "remark": lambda j, n, v: change(lambda j: j.wheels, n, j, remark=f"r{v}"),
    "gone": lambda j, n, v: change(lambda j: j.wheels, n, j, gone_ms=START + v, gone_why="sold"),
    "weigh": weigh,
    "reweigh": lambda j, n, v: change(lambda j: j.weighings, n, j, weight_kg=1.0 + v),
    "drop weighing": lambda j, n, v: remove(j.weighings, n),
    "bin wheel": lambda j, n, v: remove(j.wheels, n),
    "taster": lambda j, n, v: j.assessors.save(Assessor(f"taster {v}")),
    "score": score,
    "drop score": lambda j, n, v: remove(j.scores, n),
    "plan": lambda j, n, v: j.plans.save(replace(j.plans.by_name("hard"), note=f"n{v}")),
    "undo": lambda j, n, v: j.undo(),
    "redo": lambda j, n, v: j.redo(),
}
EDITS = st.lists(
    st.tuples(st.booleans(), st.sampled_from(sorted(ACTS)), st.integers(0, 3), st.integers(0, 5)),
    max_size=12,
)


@settings(max_examples=4, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(EDITS, min_size=1, max_size=2))
def test_any_edits_of_two_copies_end_the_same_whichever_is_merged(first, tmp_path_factory, rounds):
    merge_any(first, tmp_path_factory.mktemp("pair"), rounds)


@pytest.mark.parametrize("step", [1, -1])
def test_what_both_did_at_one_moment_ends_the_same_on_both_sides(
    first, tmp_path, monkeypatch, step
):
    names = itertools.count(10**6, step)
    monkeypatch.setattr(history, "new_uuid", lambda: f"{next(names):036d}")
    monkeypatch.setattr(keepers, "now_ms", itertools.count(NOW).__next__)
    both = [(side, act, 0, 0) for act in ("begin", "bin wheel") for side in (True, False)]
    merge_any(first, tmp_path, [both])


@pytest.mark.parametrize("act", ["drop note", "reword", "remark", "bin wheel"])
@pytest.mark.parametrize("first_left", [True, False])
def test_what_one_side_took_back_at_once_is_nothing_at_a_second_merge_too(
    first, tmp_path, act, first_left
):
    """The taking back may have a later stamp than what the other side did to the same row."""
    there, here = (first_left, act, 0, 0), (not first_left, act, 0, 1)
    merge_any(first, tmp_path, [[there, (first_left, "undo", 0, 0), here]])


def merge_any(first: Path, folder: Path, rounds: list[list[tuple[bool, str, int, int]]]) -> None:
    """Edit two copies and merge them, round by round; the clock goes a second at each act."""
    ticks = itertools.count(NOW, 1000)
    with pytest.MonkeyPatch.context() as patch:
        for module in (changes, history):
            patch.setattr(module, "now_ms", lambda: next(ticks))
        paths = [Path(shutil.copy(first, folder / f"{name}.vatside")) for name in ("one", "two")]
        with Journal.open(paths[0]) as one, Journal.open(paths[1]) as two:
            for edits in rounds:
                for left, act, n, value in edits:
                    try:
                        ACTS[act](one if left else two, n, value)
                    except KeepingError:
                        continue  # what cannot be done or undone here is refused
                both_ways(one, two)
