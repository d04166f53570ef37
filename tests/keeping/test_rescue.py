"""Rescue: what a damaged journal still holds goes into a sound one, and nothing untrue with it."""

from __future__ import annotations

import os
import sqlite3
import subprocess
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest

from journal.keeping import DamageError, Journal, KeepingError
from journal.keeping.rescue import rescue
from journal.keeping.session_rows import SampleIdentity
from journal.records.makes import Milk, Note
from journal.records.panel_tests import TRIANGLE, PanelTest
from journal.records.plans import Plan
from journal.records.tastings import Sample, Tasting
from tests.refusals import refused
from tests.siege.damages import rows_of, run

from .conftest import START

PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(200))


@pytest.fixture
def path(tmp_path: Path, plan: Plan) -> Path:
    """A closed journal with three makes, 40 notes each, a photo, a block of readings each."""
    where = tmp_path / "kitchen.vatside"
    (tmp_path / "camera.png").write_bytes(PNG)
    with Journal.create(where, letters="QV", zone="Europe/London") as journal:
        for day in range(3):
            make = journal.makes.begin(plan, Milk(12.0), START + day * 86_400_000)
            at = make.started_ms + 60_000 * np.arange(5000)
            journal.readings.add_many(make.id or 0, "milk-temp", at, 31 + at % 7919 / 1000, "log")
            journal.notes.save_many(
                Note(make.started_ms + n, f"note {n} of {day}", make_id=make.id) for n in range(40)
            )
        journal.photos.save(Note(START, "the curd", make_id=2), tmp_path / "camera.png")
        journal.notes.remove(3)
    return where


def page_of(path: Path, table: str) -> int:
    with closing(sqlite3.connect(path)) as db:
        found = db.execute("select rootpage from sqlite_master where name = ?", (table,)).fetchone()
        return int(found[0])


def overwrite(path: Path, page: int) -> None:
    whole = bytearray(path.read_bytes())
    whole[(page - 1) * 4096 : page * 4096] = b"\xa5" * 4096
    path.write_bytes(whole)


def lost(path: Path, out: Path) -> dict[str, tuple[int, int]]:
    """What is lost of each table, and of it what hung on something lost."""
    return {one.table: (one.lost, one.hung) for one in rescue(path, out) if one.lost}


def test_a_whole_journal_is_rescued_whole(path: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.vatside"
    assert lost(path, out) == {}
    assert rows_of(out) == rows_of(path)
    with Journal.open(out) as journal:
        assert journal.check() == []
        assert (journal.letters, journal.zone) == ("QV", "Europe/London")
        assert [photo.read_bytes() for photo in journal.photos.all()] == [PNG]


def test_the_root_of_a_table_gone_its_leaves_are_found(path: Path, tmp_path: Path) -> None:
    before = rows_of(path)
    overwrite(path, page_of(path, "note"))
    out = tmp_path / "out.vatside"
    assert lost(path, out) == {}
    assert rows_of(out) == before


def test_the_schema_gone_all_rows_are_found(path: Path, tmp_path: Path) -> None:
    before = rows_of(path)
    overwrite(path, 1)
    out = tmp_path / "out.vatside"
    assert not any(one.exact for one in rescue(path, out))
    assert rows_of(out) == before
    with Journal.open(out) as journal:
        assert journal.check() == []
        assert len(journal.makes.all()) == 3
        assert sum(row.readings for row in journal.makes.rows()) == 15_000


def test_a_line_of_the_schema_that_cannot_be_read_costs_no_row(path: Path, tmp_path: Path) -> None:
    before, raw = rows_of(path), path.read_bytes()
    assert raw.count(b'CREATE TABLE "note"') == 1
    path.write_bytes(raw.replace(b'CREATE TABLE "note"', b'\xffREATE TABLE "note"'))  # no UTF-8
    out = tmp_path / "out.vatside"
    assert lost(path, out) == {}
    assert rows_of(out) == before


def test_how_far_it_is_rises_with_the_pages_that_were_read(path: Path, tmp_path: Path) -> None:
    with Journal.open(path) as journal:
        journal.notes.save_many(Note(START + n, "curd " * 300, make_id=1) for n in range(600))
    shares: list[float] = []
    rescue(path, tmp_path / "out.vatside", progress=shares.append)
    assert 0 < shares[0] < shares[1] < shares[-1] <= 1
    assert shares == sorted(shares)


def test_a_row_with_a_wrong_sum_is_lost_with_what_hangs_on_it(path: Path, tmp_path: Path) -> None:
    before = rows_of(path)
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("update make set milk_litres = 21 where id = 2")
        db.execute("update note set text = 'nothing' where id = 5")
    out = tmp_path / "out.vatside"
    output = {one.table: one for one in rescue(path, out)}
    assert (output["make"].lost, output["make"].hung) == (1, 0)
    assert (output["note"].lost, output["note"].hung, output["note"].cut) == (1, 0, 41)
    assert (output["trace"].lost, output["trace"].hung) == (1, 1)
    assert (output["reading_block"].lost, output["reading_block"].hung) == (1, 1)
    after = rows_of(out)
    del before["note"], after["note"]
    assert all(before[t][key] == row for t, rows in after.items() for key, row in rows.items())
    with Journal.open(out) as journal:
        assert journal.check() == []
        assert [make.code for make in journal.makes.all()] == ["QV-0001", "QV-0003"]


def test_what_was_tasted_of_a_lost_wheel_is_a_cheese_without_a_name(
    path: Path, tmp_path: Path
) -> None:
    with Journal.open(path) as journal:
        wheel = journal.makes.finish(1, [1.0], START + 86_400_000)[0]
        cheeses = [SampleIdentity(wheel.id, ""), SampleIdentity(None, "bought")]
        cups = [((0, 0, 1), ("123", "456", "789"))]
        test = PanelTest(START, "Europe/London", TRIANGLE)
        journal.tests.set_up(test, cheeses, ["Taster 1"], cups)
        session = journal.tastings.save(Tasting(START, "Europe/London"))
        journal.samples.save(Sample(session.id, wheel.id, "123"))
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("update wheel set green_weight_kg = 21")
    out = tmp_path / "out.vatside"
    output = {one.table: one for one in rescue(path, out)}
    for table in ("panel_item", "sample"):
        assert (output[table].lost, output[table].cut) == (0, 1)
    with Journal.open(out) as journal:
        assert journal.check() == []
        assert [item.reference for item in journal.panel_items.all()] == ["?", "bought"]
        assert [sample.reference for sample in journal.samples.all()] == ["?"]


def test_what_a_crash_left_beside_the_file_is_in_it(path: Path, tmp_path: Path) -> None:
    there = tmp_path / "crashed" / path.name
    there.parent.mkdir()
    with Journal.open(path) as journal:
        journal.notes.save(Note(START, "the last thing typed", make_id=1))
        for ending in ("", "-wal"):  # by another process: this one has the locks
            subprocess.run(["cp", f"{path}{ending}", f"{there}{ending}"], check=True)
    assert Path(f"{there}-wal").stat().st_size
    overwrite(there, page_of(path, "wheel"))
    out = tmp_path / "out.vatside"
    rescue(there, out)
    with Journal.open(out) as journal:
        assert journal.notes.all()[-1].text == "the last thing typed"


def test_what_was_deleted_does_not_come_back(path: Path, tmp_path: Path) -> None:
    overwrite(path, page_of(path, "care"))
    out = tmp_path / "out.vatside"
    rescue(path, out)
    assert 3 not in rows_of(out)["note"]


@pytest.mark.parametrize("content", [b"", b"milk " * 5000, bytes(40_960)])
def test_where_nothing_can_be_saved_nothing_is_written(tmp_path: Path, content: bytes) -> None:
    path, out = tmp_path / "kitchen.vatside", tmp_path / "out.vatside"
    path.write_bytes(content)
    with refused(KeepingError, "keeping.nothing-to-rescue", file=path.name):
        rescue(path, out)
    assert [one.name for one in tmp_path.iterdir()] == [path.name]


def test_no_file_is_rescued_over_and_an_open_journal_can_be_rescued(
    path: Path, tmp_path: Path
) -> None:
    with refused(KeepingError, "keeping.file-exists"):
        rescue(path, path)
    with Journal.open(path) as journal:
        journal.notes.save(Note(START, "typed in the window", make_id=1))
        assert lost(path, tmp_path / "out.vatside") == {}
    assert rows_of(tmp_path / "out.vatside")["note"] == rows_of(path)["note"]
    with pytest.raises(KeepingError):
        rescue(tmp_path / "none.vatside", tmp_path / "out.vatside")


def test_random_damages_are_told_and_what_is_rescued_is_true() -> None:
    tally = run(24, seed=11, sizes=(2,))
    assert tally.faults == []
    assert tally.counts["damages"] == 24
    assert tally.counts["rescued"] > 12


def test_a_damaged_file_is_never_shown_as_sound(path: Path) -> None:
    overwrite(path, page_of(path, "make"))
    with pytest.raises(DamageError):
        Journal.open(path, read_only=True).makes.rows()


def test_a_plan_whose_stages_are_lost_keeps_its_makes(path: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("update stage set minutes = minutes + 1")
    out = tmp_path / "out.vatside"
    output = {one.table: one for one in rescue(path, out)}
    assert (output["stage"].saved, output["stage"].lost) == (0, 5)
    with Journal.open(out) as journal:
        assert journal.check() == []
        assert len(journal.makes.all()) == 3
        assert [stage.name for stage in journal.plans.all()[0].stages] == ["?"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name here")
def test_a_pipe_or_a_device_is_no_journal_and_nobody_waits_for_its_end(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.vatside")
    for endless in (tmp_path / "pipe.vatside", Path("/dev/zero")):
        with refused(KeepingError, "keeping.file-not-read", file=endless.name):
            rescue(endless, tmp_path / "saved.vatside")
    assert not (tmp_path / "saved.vatside").exists()
