"""Everything written out: complete, plain, all or nothing."""

from __future__ import annotations

import csv
import json
import re
import signal
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from journal.exchange import ExchangeError
from journal.exchange.bundle import read_bundle, write_bundle
from journal.exchange.export import export_journal
from journal.keeping.rescue import rescue
from journal.keeping.session_rows import OpenServing
from journal.keeping.sessions import ScoredSample
from journal.message import Message
from journal.records.calibrations import Calibration
from journal.records.makes import Milk, Note
from journal.records.plan_text import read_plan
from journal.records.verdicts import Verdict
from journal.wording import text_of


@pytest.fixture
def filled(kept, make):
    at = make.started_ms + np.arange(5) * 60_000
    kept.readings.add_many(make.id, "milk-temp", at, np.linspace(30, 31, 5), "log.csv")
    kept.readings.log(make.id, "curd-ph", 6.5, make.started_ms)
    kept.readings.strike(make.id, "curd-ph", make.started_ms, 6.5)
    wheel = kept.makes.finish(make.id, [1.2], make.started_ms + 3_600_000)[0]
    kept.sessions.give(
        OpenServing(wheel.id, "Moss", make.started_ms + 10_000_000), ScoredSample({"overall": 7.5})
    )
    kept.notes.save(Note(make.started_ms, '=HYPERLINK("x")', make.id))
    return kept


def rows(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_everything_is_there(filled, tmp_path):
    out = tmp_path / "out"
    written = export_journal(filled, out)
    on_disk = {p.relative_to(out).as_posix() for p in out.rglob("*") if p.is_file()}
    assert {path.as_posix() for path in written} == on_disk
    for keeper in filled.keepers():
        assert len(rows(out / f"{keeper.noun}.csv")) == len(keeper.all()), keeper.noun
    make = rows(out / "make.csv")[0]
    assert (make["code"], make["milk_litres"]) == ("HL-0001", "12.0")
    assert make["started_at"] == "2026-07-14T08:00:00+01:00"
    score = rows(out / "score.csv")[0]
    assert (score["attribute"], score["value"]) == ("overall", "7.5")


def test_readings_as_csv_and_json_agree(filled, tmp_path):
    export_journal(filled, tmp_path / "out")
    found = rows(tmp_path / "out" / "readings" / "HL-0001-milk-temp.csv")
    assert [row["at_utc"] for row in found][:2] == [
        "2026-07-14T07:00:00.000Z", "2026-07-14T07:01:00.000Z",
    ]  # fmt: skip
    assert [float(row["value"]) for row in found] == np.linspace(30, 31, 5).tolist()
    struck = rows(tmp_path / "out" / "readings" / "HL-0001-curd-ph.csv")
    assert [row["struck"] for row in struck] == ["1"]
    whole = json.loads((tmp_path / "out" / "journal.json").read_text(encoding="utf-8"))
    assert {(r["make"], r["kind"], len(r["value"])) for r in whole["reading"]} == {
        ("HL-0001", "milk-temp", 5), ("HL-0001", "curd-ph", 1),
    }  # fmt: skip
    assert whole["score"][0]["value"] == 7.5
    assert whole["make"][0]["milk"]["litres"] == 12.0


def test_a_plan_comes_back_from_its_file(filled, tmp_path):
    export_journal(filled, tmp_path / "out")
    path = next((tmp_path / "out" / "plans").iterdir())
    plan = read_plan(path.read_text(encoding="utf-8"))
    kept = filled.plans.by_name("kitchen hard")
    assert replace(plan, id=kept.id) == kept
    assert [row["kind"] for row in rows(tmp_path / "out" / "stage.csv")] == ["warm", "set"]


def test_the_least_age_to_eat_goes_out_with_the_plan(filled, tmp_path):
    filled.plans.save(replace(filled.plans.by_name("kitchen hard"), eat_from_days=183.0))
    export_journal(filled, tmp_path / "out")
    assert [row["eat_from_days"] for row in rows(tmp_path / "out" / "plan.csv")] == ["", "183.0"]


def test_a_spreadsheet_runs_nothing_and_the_json_keeps_the_words(filled, tmp_path):
    texts = ["=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1+1", "\r=1+1", "turned = 2"]
    texts = ['=HYPERLINK("x")', *texts]
    make = filled.makes.all()[0]
    filled.notes.save_many([Note(make.started_ms, text, make.id) for text in texts[1:]])
    export_journal(filled, tmp_path / "out")
    exported = [row["text"] for row in rows(tmp_path / "out" / "note.csv")]
    safe = [f"'{text}" for text in texts[:-1]]  # behind a tab or a line's end a cell may begin too
    assert exported == [*(re.sub(r"([\t\r])=", r"\1'=", text) for text in safe), texts[-1]]
    whole = json.loads((tmp_path / "out" / "journal.json").read_text(encoding="utf-8"))
    assert whole["note"][0]["text"] == '=HYPERLINK("x")'


def test_an_earlier_export_is_replaced_and_nothing_else_ever(filled, tmp_path):
    out = tmp_path / "out"
    export_journal(filled, out)
    filled.notes.save(Note(0, "another"))
    export_journal(filled, out)
    assert len(rows(out / "note.csv")) == 2
    (out / "readings" / "mine.txt").write_text("mine")
    before = sorted(p.name for p in tmp_path.iterdir())
    with pytest.raises(ExchangeError, match=r"exchange.strange-files .*readings/mine\.txt"):
        export_journal(filled, out)
    assert sorted(p.name for p in tmp_path.iterdir()) == before
    assert (out / "readings" / "mine.txt").read_text() == "mine"


def test_an_empty_folder_will_do_and_a_file_will_not(filled, tmp_path):
    (tmp_path / "empty").mkdir()
    assert export_journal(filled, tmp_path / "empty")
    assert (tmp_path / "empty" / "journal.json").exists()
    (tmp_path / "file").write_text("x")
    with pytest.raises(ExchangeError, match=r"exchange.export-to-a-file"):
        export_journal(filled, tmp_path / "file")


def test_a_stopped_export_leaves_nothing(filled, tmp_path):
    def stop() -> bool:
        return True

    with pytest.raises(ExchangeError, match=r"exchange.export-stopped"):
        export_journal(filled, tmp_path / "out", stop=stop)
    assert not (tmp_path / "out").exists()
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []


def test_an_empty_journal_exports_headers(kept, tmp_path):
    export_journal(kept, tmp_path / "out")
    assert (tmp_path / "out" / "wheel.csv").read_text().startswith("make_id,code")
    whole = json.loads((tmp_path / "out" / "journal.json").read_text())
    assert whole["make"] == whole["reading"] == []


def test_corrected_readings_go_out_with_the_raw_ones_beside_them(kept, make, tmp_path):
    kept.readings.log(make.id, "milk-temp", 30.0, make.started_ms - 60_000)
    check = Calibration(make.id, "thermometer", make.started_ms, (0.0,), (0.5,))
    kept.calibrations.save(check)
    kept.readings.log(make.id, "milk-temp", 31.5, make.started_ms + 60_000)
    export_journal(kept, tmp_path / "out")
    first, row = rows(tmp_path / "out" / "readings" / "HL-0001-milk-temp.csv")
    assert (first["value"], first["raw"], first["corrected"]) == ("30.0", "30.0", "0")
    assert (float(row["value"]), float(row["raw"]), row["corrected"]) == (31.0, 31.5, "1")
    assert rows(tmp_path / "out" / "calibration.csv")[0]["shown"] == "0.5"
    whole = json.loads((tmp_path / "out" / "journal.json").read_text(encoding="utf-8"))
    assert (whole["reading"][0]["value"], whole["reading"][0]["raw"]) == (
        [30.0, 31.0],
        [30.0, 31.5],
    )


def test_photos_go_out_under_the_names_their_notes_give_them(kept, make, tmp_path):
    picture = tmp_path / "vat.jpg"
    picture.write_bytes(b"\xff\xd8\xff\xe0 a photo")
    note = kept.photos.save(Note(make.started_ms, "curd", make.id), picture)
    written = export_journal(kept, tmp_path / "out")
    assert Path(f"photos/{note.photo}") in written
    assert (tmp_path / "out" / "photos" / note.photo).read_bytes() == picture.read_bytes()
    export_journal(kept, tmp_path / "out")


def test_a_make_goes_out_with_its_verdict_and_nothing_of_one_in_the_bin_does(
    filled, make, tmp_path
):
    output = Verdict(make.started_ms, Message("Do not eat this cheese."))
    filled.outcomes.save_verdict(make, output)
    other = filled.makes.begin(filled.makes.plan_of(make), Milk(10.0), make.started_ms + 86_400_000)
    filled.outcomes.fail(other.id, "the cat", other.started_ms + 60_000)
    export_journal(filled, tmp_path / "out")
    whole = json.loads((tmp_path / "out" / "journal.json").read_text(encoding="utf-8"))
    assert [one["verdict"] for one in whole["make"]] == [text_of(output.message), None]
    assert [row["verdict"] for row in rows(tmp_path / "out" / "make.csv")] == [
        text_of(output.message),
        "",
    ]
    filled.outcomes.delete(make.id)
    export_journal(filled, tmp_path / "out")
    whole = json.loads((tmp_path / "out" / "journal.json").read_text(encoding="utf-8"))
    assert [one["code"] for one in whole["make"]] == ["HL-0002"]
    for noun in ("wheel", "tasting", "sample", "score", "reading"):
        assert whole[noun] == [], noun
    assert [note["text"] for note in whole["note"]] == ["Abandoned: the cat"]
    assert {run["make_id"] for run in whole["stage_run"]} == {other.id}


@pytest.mark.parametrize("comma", [",", ";", "\t", "|"])
def test_whatever_a_spreadsheet_takes_for_a_comma_no_cell_is_a_formula(kept, make, tmp_path, comma):
    """Read as a spreadsheet of another country would: RFC 4180 with another separator."""
    texts = ["a;=1+1", "b\t+1", "c|@SUM(A1)", "d\n-1+1;=2", "e;;=3", "f;\t=4", '"g";=5', "h,=6"]
    for at, text in enumerate(texts):
        kept.notes.save(Note(make.started_ms + at, text, make.id))
    export_journal(kept, tmp_path / "out")
    for path in (tmp_path / "out").rglob("*.csv"):
        for line in path.read_text(encoding="utf-8").splitlines():
            for cell in next(csv.reader([line], delimiter=comma), []):
                assert not cell.startswith(("=", "+", "@")), (path.name, cell)
                assert not re.match(r"-\D|-\d+\D", cell) or re.match(r"-[\d.]+(e-?\d+)?$", cell)
    whole = json.loads((tmp_path / "out" / "journal.json").read_text(encoding="utf-8"))
    assert [one["text"] for one in whole["note"]] == texts


_KILLED = """
import os, signal, sys
from pathlib import Path
from journal.exchange import bundle, export, import_export
from journal.keeping import Journal, copies, rescue

def die(*given, **named):
    os.kill(os.getpid(), signal.SIGKILL)

what, path, to = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
export._ExportWriter._write_plans = rescue._set_anew = copies.try_copy = die
bundle._place = bundle._zip = die
if what == "rescue":
    rescue.rescue(path, to)
if what == "unbundle":
    bundle.read_bundle(path.with_suffix(".zip"), to.parent)
with Journal.open(path, read_only=True) as journal:
    if what == "export":
        export.export_journal(journal, to)
    if what == "bundle":
        copies.try_copy = lambda *given: None
        bundle.write_bundle(journal, to)
    journal.save_copy(to)
"""


@pytest.mark.parametrize(
    ("what", "again"),
    [
        ("export", lambda journal, _path, to: export_journal(journal, to)),
        ("bundle", lambda journal, _path, to: write_bundle(journal, to)),
        ("copy", lambda journal, _path, to: journal.save_copy(to)),
        ("unbundle", lambda _journal, path, to: read_bundle(path.with_suffix(".zip"), to.parent)),
        ("rescue", lambda _journal, path, to: rescue(path, to)),
    ],
)
def test_what_a_kill_left_half_written_goes_when_it_is_written_again(filled, tmp_path, what, again):
    path = filled.path
    write_bundle(filled, path.with_suffix(".zip"))
    to = tmp_path / "to" / "kitchen.zip"
    to.parent.mkdir()
    here = Path(__file__).parents[2]
    ended = subprocess.run(
        [sys.executable, "-c", _KILLED, what, str(path), str(to)], cwd=here, check=False
    )
    assert ended.returncode == -signal.SIGKILL
    left = {one.name for one in to.parent.iterdir()}
    assert left, "it was killed in its midst"
    again(filled, path, to)
    there = {one.name for one in to.parent.iterdir()}
    assert there
    assert not there & left, there
    assert not [name for name in there if name.startswith(".")]
