"""Files that are odd, tables that come again with more in them, disks that are full: each is
read, or refused with a sentence, and nothing is left half done."""

from __future__ import annotations

import datetime as dt
import json
import shutil
from collections import namedtuple
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from journal.exchange import ExchangeError, bundle, export, sheet_limits, spreadsheet
from journal.exchange.air_file import bring_air
from journal.exchange.bundle import MANIFEST, read_bundle, write_bundle
from journal.exchange.calendar_file import remember_calendar, renew_calendar, write_calendar
from journal.exchange.chosen import keys_of_file, style_of_file
from journal.exchange.export import export_journal
from journal.exchange.import_export import WHOLE, import_export
from journal.exchange.loggers import decoding
from journal.exchange.loggers.mapping import Mapping
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.understand import understand
from journal.exchange.past_columns import ChosenColumns, columns_of
from journal.exchange.past_keeping import ALREADY, save_past
from journal.exchange.past_known import known_columns, with_known
from journal.exchange.past_makes import IMPOSSIBLE, read_past
from journal.exchange.plan_files import bring_in, coming, newer_builtin
from journal.exchange.spreadsheet import read_foreign
from journal.keeping import Journal
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Note
from journal.records.plan_text import builtin_plan
from journal.records.plans import new_uuid
from journal.records.wheels import Room
from journal.wording import text_of
from journal.wording.style import Style
from tests.exchange.test_bundle import PNG, START, files_of
from tests.exchange.test_bundle import write as zipped_of
from tests.refusals import refused

ZONE = "Europe/London"
TABLE = """Date,Batch,Milk (l),Rennet (ml),Ripening (min),Rind,Green weight (kg),Still there,\
Ann's score
2025-03-14,A1,12,3,45,dry,1.25,yes,7
2025-03-21,A2,12,3,60,moist,1.19,yes,6
"""
LATER = """Date,Batch,Milk (l),Rennet (ml),Salt (%),Ripening (min),Rind,Green weight (kg),\
Still there,Ann's score
2025-03-14,A1,11,2.5,1.9,50,dry,1.30,no,8
2025-03-21,A2,12,3,,60,moist,1.19,yes,6
"""


# Tables of past makes


def test_a_table_that_comes_again_brings_its_makes_up_to_date(kept, write):
    first = save_past(kept, read_past(write("t.csv", TABLE), zone=ZONE))
    assert (first.kept, first.updated) == (2, 0)
    one = kept.makes.by_code("HL-0001")
    before = kept.whole(one.id)
    assert [wheel.gone_ms for wheel in before.wheels] == [None]
    again = save_past(kept, read_past(write("t.csv", LATER), zone=ZONE))
    assert (again.kept, again.updated, again.reasons[ALREADY]) == (0, 1, 1)
    after = kept.whole(one.id)
    assert after.make.milk.litres == 11
    assert {e.name: e.value for e in after.entered} == {
        "milk ripened": 50, "rind": None, "salt in curd": 1.9,
    }  # fmt: skip
    assert [(a.kind, a.amount, a.unit) for a in after.additions] == [("rennet", 2.5, "ml")]
    assert [(w.code, w.green_weight_kg, w.gone_ms is None) for w in after.wheels] == [
        ("HL-0001-A", 1.3, False)
    ]
    assert [(s.assessor, s.value) for s in after.scores] == [("Ann", 8.0)]
    assert kept.backups()[0].path.exists()
    there = save_past(kept, read_past(write("t.csv", LATER.replace(",no,8", ",yes,8")), zone=ZONE))
    assert there.updated == 1
    assert kept.whole(one.id).wheels[0].gone_ms is None
    two = LATER.replace("2025-03-21,A2", "2025-03-14,A1,11,2.5,1.9,50,dry,0.4,yes,8\n2025-03-21,A2")
    grown = save_past(kept, read_past(write("t.csv", two), zone=ZONE))
    assert grown.kept + grown.updated >= 1
    for _ in range(4):
        kept.undo()
    assert kept.makes.all() == []
    assert kept.check() == []


@pytest.mark.parametrize(
    ("columns", "cells", "role"),
    [
        ("year", ("2024", "2025"), "left out"), ("milk used in litres", ("12", "11"), "milk"),
        ("code", ("HL-1", "HL-2"), "code"), ("code", ("big one", "big one"), "name"),
        ("eaten on", ("2025-05-01", "2025-06-01"), "gone"), ("judge 1", ("7", "8"), "score"),
        ("Ann's overall", ("7", "8"), "score"), ("tasted on", ("2025-05-01", "2025-06-01"),
         "tasted"), ("cook to", ("38", "39"), "variable"), ("cook to", ("100", "102"), "variable"),
    ],
)  # fmt: skip
def test_what_a_column_is_said_by_its_name_and_cells(write, columns, cells, role):
    text = f"date,{columns},overall\n2025-03-14,{cells[0]},7\n2025-03-21,{cells[1]},6\n"
    found = columns_of(read_foreign(write("t.csv", text)), ChosenColumns())
    assert (found[1].header, found[1].role) == (columns, role)


def test_what_a_person_said_of_columns_is_known_the_next_time(kept, write):
    text = "date,flavour,panel,mood,ladder\n2025-03-14,7,6,5,1\n2025-03-21,6,7,4,2\n"
    chosen = ChosenColumns(columns={"panel": "taster", "ladder": "overall"}, scores=("flavour",),
                           apart=("mood",))  # fmt: skip
    table = read_past(write("t.csv", text), zone=ZONE, chosen=chosen)
    assert {c.header: (c.role, c.who) for c in table.columns}["panel"] == ("score", "panel")
    assert any("“panel” is what panel gave" in one for one in table.sentences)
    save_past(kept, table)
    again = with_known(["date", "flavour", "Panel", "mood"], ChosenColumns(), known_columns(kept))
    assert (again.scores, again.apart) == (["flavour"], ["mood"])
    assert again.columns == {"Panel": "taster"}
    for broken in ("{", "[]"):
        kept.set_setting("columns of past makes", broken)
        assert known_columns(kept) == {}


def test_a_table_without_a_date_or_with_impossible_ones_is_said(write):
    text = "date,milk (l),overall\n2025-03-14,-5,7\n2025-03-21,12,6\n"
    assert read_past(write("t.csv", text), zone=ZONE).reasons == {IMPOSSIBLE: 1}
    text = "when,milk (l),overall\nsome day,12,7\nanother,12,6\n"
    chosen = ChosenColumns(columns={"when": "date"})
    with refused(ExchangeError, "exchange.no-date-in-column"):
        read_past(write("t.csv", text), zone=ZONE, chosen=chosen)
    text = "date,cook temp,overall\n2025-03-14,38,7\n2025-03-21,39,6\n"
    chosen = ChosenColumns(columns={"cook temp": "cook temperature (kg)"})
    read_past(write("t.csv", text), zone=ZONE, chosen=chosen)


# Loggers' files


def test_a_file_that_is_too_much_for_a_table_is_refused(monkeypatch):
    rows = b"Time,Temp (C)\n" + b"2026-03-14 09:00,31.4\n" * 9
    for limit, message_id, values in (
        ("MOST_ROWS", "exchange.file-more-rows", {"most": 5}),
        ("_MOST_BYTES", "exchange.more-than-at-once", {}),
        ("_MOST_CELLS", "exchange.file-more-cells", {"most": 5}),
    ):
        with monkeypatch.context() as patch:
            patch.setattr(decoding, limit, 5)
            with refused(ExchangeError, message_id, **values):
                read_table(rows)
    with refused(ExchangeError, "exchange.line-too-long"):
        read_table(b"Time,Temp\n\xff" + b"9" * 3_000_000 + b"\n")
    assert read_table(rows).rows == 9


def test_the_air_of_a_room_comes_with_either_value_and_with_its_times(kept, write):
    room = kept.rooms.save(Room("cellar"))
    damp = write("damp.csv", "Time,Humidity (%)\n2026-03-14 09:00,85\n2026-03-14 09:10,86\n")
    warm = write("warm.csv", "Time,Temp (C)\n2026-03-14 09:00,12\n2026-03-14 09:20,130\n")
    both = write("both.csv", "Seconds,Temp (C),Humidity (%)\n0,12,85\n600,12.5,86\n")
    none = write("none.csv", "Time,pH\n2026-03-14 09:00,6.5\n2026-03-14 09:10,6.4\n")
    assert [(bring_air(kept, room, one).kept) for one in (damp, damp)] == [2, 0]
    assert bring_air(kept, room, warm).kept == 1
    with refused(ExchangeError, "exchange.begin-not-known"):
        bring_air(kept, room, both)
    assert bring_air(kept, room, both, start_ms=from_iso("2026-04-01T08:00", ZONE)).kept == 2
    with refused(ExchangeError, "exchange.no-air"):
        bring_air(kept, room, none)
    assert [(a.temp_c, a.humidity_pct) for a in kept.airs.all()] == [
        (None, 85), (None, 86), (12, None), (12, 85), (12.5, 86),
    ]  # fmt: skip


def test_the_columns_of_time_are_as_a_person_chose_them():
    text = b"Day,Part,Clock,Temp (C),Words\n46095,0.375,09:00,31.4,x\n46095,0.376,09:01,31.5,y\n"
    raw = read_table(text)
    for names, form in ((("Day", "Part"), ""), (("Part", "Day"), "serial")):
        found = understand(raw, Mapping(time=names, time_form=form))
        assert found.timing.form == "serial"
    with refused(ExchangeError, "exchange.time-in-more-columns"):
        understand(raw, Mapping(time=("Day", "Part", "Clock")))
    with pytest.raises(ExchangeError, match=r"exchange.no-times .column='Words'"):
        understand(raw, Mapping(time=("Words",)))


# What goes out, and comes in again


def test_what_was_exported_comes_back_only_whole(kept, make, tmp_path):
    out, new = tmp_path / "out", tmp_path / "new.vatside"
    with refused(ExchangeError, "exchange.no-export"):
        import_export(new, tmp_path)
    output = []
    export_journal(kept, out, progress=output.append)
    assert output[-1] == 1.0
    (out / "photos").mkdir(exist_ok=True)
    (out / "photos" / "link.png").symlink_to(tmp_path / "kitchen.vatside")
    import_export(new, out)
    with Journal.open(new, read_only=True) as journal:
        assert [one.code for one in journal.makes.all()] == [make.code]
        assert journal.photos.every() == []
    path = out / "rows" / "make.jsonl"
    head, row = path.read_text(encoding="utf-8").splitlines()
    path.write_text(f"{head}\n{json.dumps(json.loads(row)[1:])}\n", encoding="utf-8")
    with pytest.raises(ExchangeError, match=r"exchange.line-damaged .file='make\.jsonl', line=2"):
        import_export(tmp_path / "other.vatside", out)
    (out / WHOLE).write_text("[1]", encoding="utf-8")
    with refused(ExchangeError, "exchange.strange-files"):
        export_journal(kept, out)
    assert not (tmp_path / "other.vatside").exists()


def test_an_export_that_cannot_be_written_leaves_the_one_before(kept, make, tmp_path, monkeypatch):
    out = tmp_path / "out"
    files = export_journal(kept, out)
    real = Path.rename

    def rename(self: Path, to: Path) -> Path:
        if Path(to) == out and not self.name.endswith("-before"):
            raise OSError(28, "No space left on device")
        return real(self, to)

    with monkeypatch.context() as patch:
        patch.setattr(Path, "rename", rename)
        with pytest.raises(ExchangeError, match=r"exchange.export-not-written .*No space left"):
            export_journal(kept, out)
    assert all((out / name).is_file() for name in files)
    assert sorted(one.name for one in tmp_path.iterdir() if one.name.startswith(".")) == []
    monkeypatch.setattr(export.tempfile, "mkdtemp", _full)
    with pytest.raises(ExchangeError, match=r"exchange.folder-not-written .*No space left"):
        export_journal(kept, tmp_path / "new")


def _full(*_: object, **__: object) -> str:
    raise OSError(28, "No space left on device")


def test_a_bundle_for_which_there_is_no_room_or_no_name_leaves_nothing(
    kept, make, tmp_path, monkeypatch
):
    (tmp_path / "cut.png").write_bytes(PNG)
    kept.photos.save(Note(START, "curd", make.id), tmp_path / "cut.png")
    zipped, new = tmp_path / "kitchen.zip", tmp_path / "new"
    with monkeypatch.context() as patch:
        patch.setattr(bundle, "name_finished", lambda half, to: False)
        with refused(ExchangeError, "exchange.file-exists"):
            write_bundle(kept, zipped)
    write_bundle(kept, zipped)
    disk = namedtuple("disk", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda _: disk(9, 9, 0))
    with refused(ExchangeError, "exchange.no-room"):
        read_bundle(zipped, new)
    monkeypatch.undo()
    with monkeypatch.context() as patch:
        patch.setattr(bundle.tempfile, "mkdtemp", _full)
        with pytest.raises(ExchangeError, match=r"exchange.folder-not-written .*No space left"):
            read_bundle(zipped, tmp_path)
    with monkeypatch.context() as patch:
        patch.setattr(bundle, "name_finished", lambda half, to: False)
        with refused(ExchangeError, "exchange.in-folder-already"):
            read_bundle(zipped, new)
    with monkeypatch.context() as patch:
        patch.setattr(bundle, "name_finished", _full)
        with pytest.raises(ExchangeError, match=r"exchange.not-opened-here .*No space left"):
            read_bundle(zipped, new)
    assert not new.exists() or not any(new.iterdir())
    assert read_bundle(zipped, new).photos == 1


def test_a_bundle_whose_files_are_not_what_its_list_says_stays_shut(
    kept, make, tmp_path, monkeypatch
):
    zipped = write_bundle(kept, tmp_path / "kitchen.zip").path
    files = files_of(zipped)
    spoilt = files | {kept.path.name: files[kept.path.name][:-1] + b"x"}
    with refused(ExchangeError, "exchange.entry-changed"):
        read_bundle(zipped_of(tmp_path / "spoilt.zip", spoilt), tmp_path / "new")
    for most in (10, len(files[MANIFEST]) - 1):
        with monkeypatch.context() as patch:
            patch.setattr(bundle, "_LARGEST_MANIFEST", most)
            with pytest.raises(
                ExchangeError, match=r"list of files is too long|exchange.list-too-long"
            ):
                read_bundle(zipped, tmp_path / "new")
    assert not (tmp_path / "new").exists()


def test_a_calendar_goes_on_in_its_own_file_alone(kept, make, tmp_path):
    out, now = tmp_path / "wheels.ics", make.started_ms + DAY_MS
    with refused(ExchangeError, "exchange.calendar-no-file"):
        write_calendar(kept, tmp_path, now)
    report = write_calendar(kept, out, now)  # with nothing that is due
    assert report.events == 0
    assert b"VTIMEZONE" not in out.read_bytes()
    remember_calendar(kept, out)
    kept.makes.finish(make.id, [0.8], now)
    assert not renew_calendar(kept, now).changed  # its plan asks for no care
    out.write_bytes(b"")
    assert write_calendar(kept, out, now).events == 0


def test_settings_that_cannot_be_read_are_the_usual_ones(tmp_path):
    path = tmp_path / "vatside.ini"
    for data in (None, b"[preferences\n", b"\xff\xfe\x00", b"[other]\na = 1\n"):
        if data is not None:
            path.write_bytes(data)
        assert style_of_file(path) == Style()
        assert keys_of_file(path) == {}
    path.write_text('[keys]\nundo = "Ctrl+U"\n', encoding="utf-8")
    assert keys_of_file(path) == {"undo": "Ctrl+U"}


def test_a_plan_whose_like_is_in_the_bin_comes_all_the_same(kept):
    tomme = builtin_plan("tomme")
    assert bring_in(kept, coming(kept, tomme)) == tomme  # it is there without being brought
    assert newer_builtin(kept, tomme.name, [tomme]) is None
    kept.plans.save(replace(tomme, milk_l=9.0, builtin=True))
    assert newer_builtin(kept, tomme.name, [tomme]) == tomme
    assert newer_builtin(kept, tomme.name, []) is None
    own = replace(tomme, name="farm", uuid=new_uuid(), builtin=False)
    came = bring_in(kept, coming(kept, own))
    kept.plans.remove("farm")
    again = bring_in(kept, coming(kept, own))
    assert kept.plans.by_name("farm").says_as(own)
    assert len({came.uuid, again.uuid}) == 2


# Spreadsheets


def sheet_of(path: Path, *rows: Sequence[object]) -> Path:
    import openpyxl

    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    book.save(path)
    return path


ROWS = (("Date", "Salt", "Overall"), (dt.date(2025, 3, 14), 1.8, 7), (dt.date(2025, 3, 21), 2, 6))


@pytest.mark.parametrize(
    ("module", "limit", "most", "message_id", "values"),
    [
        (sheet_limits, "_MOST_READ", 100, "exchange.unpacks-to-more", {"mb": 0.0001}),
        (sheet_limits, "_MOST_CELLS", 5, "exchange.more-cells", {"most": 5}),
        (sheet_limits, "_MOST_IN_A_ROW", 2, "exchange.row-too-long", {"most": 2}),
        (sheet_limits, "_MOST_ROWS", 2, "exchange.more-rows", {"most": 2}),
        (sheet_limits, "_MOST_ELEMENTS", 3, "exchange.too-many-parts", {}),
        (sheet_limits, "_MOST_NAMED", 2, "exchange.too-many-parts", {}),
        (sheet_limits, "_MOST_TEXT", 3, "exchange.text-without-end", {}),
        (sheet_limits, "_LONGEST_TEXT", 2, "exchange.name-without-end", {}),
        (sheet_limits, "_DEEPEST", 2, "exchange.too-deep", {}),
        (spreadsheet, "_MOST_TEXT", 9, "exchange.too-much-text", {}),
        (spreadsheet, "MOST_CELLS", 5, "exchange.more-cells", {"most": 5}),
        (spreadsheet, "MOST_ROWS", 2, "exchange.sheet-too-long", {"sheet": "Sheet", "most": 2}),
        (spreadsheet, "LARGEST_BYTES", 99, "exchange.table-too-large", {"most": 99 / 1e6}),
    ],
)
def test_a_spreadsheet_of_too_much_is_refused_before_it_is_read(
    tmp_path, monkeypatch, module, limit, most, message_id, values
):
    path = sheet_of(tmp_path / "makes.xlsx", *ROWS)
    assert read_foreign(path).rows == 2
    monkeypatch.setattr(module, limit, most)
    values = values if "sheet" in values else {"file": "makes.xlsx", **values}
    with refused(ExchangeError, message_id, **values) as caught:
        read_foreign(path)
    assert text_of(caught.value).count("makes.xlsx") + text_of(caught.value).count("Sheet") == 1


def test_the_cells_of_a_spreadsheet_are_as_a_person_writes_them(tmp_path):
    half = dt.datetime(2025, 3, 14, 8, 30)
    path = sheet_of(
        tmp_path / "t.xlsx",
        ("Date", "Dry", "At", "Ripened", "Overall"),
        (half, True, dt.time(9, 15), dt.timedelta(minutes=45), 7.25),
        (half, False, dt.time(10, 0), dt.timedelta(hours=2), 6, None),
    )
    table = read_foreign(path)
    assert [column[0] for column in table.columns] == [
        "2025-03-14 08:30:00", "1", "09:15:00", "45", "7.25",
    ]  # fmt: skip
    with refused(ExchangeError, "exchange.no-filled-sheet", file="empty.xlsx"):
        read_foreign(sheet_of(tmp_path / "empty.xlsx"))
    with refused(ExchangeError, "exchange.table-is-folder", file=tmp_path.name):
        read_foreign(tmp_path)
