"""Backups by command: made, listed, put back."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from journal.keeping import Journal
from journal.keeping.backups import folder_of


def test_a_backup_is_made_listed_and_put_back(begun, run):
    made = run("backup", begun)
    assert made.code == 0
    path = Path(made.out.strip())
    assert path.parent == folder_of(begun)
    assert path.is_file()
    assert run("log", begun, "latest", "milk-temp", "31.5").code == 0
    listed = run("backups", begun, "--json").data
    assert [(one["path"], one["sound"], one["bytes"]) for one in listed] == [
        (str(path), True, path.stat().st_size)
    ]
    assert listed[0]["at"]
    restored = run("restore", begun, path)
    assert "1 make, 0 readings" in restored.out
    with Journal.open(begun, read_only=True) as journal:
        assert [row.readings for row in journal.makes.rows()] == [0]
    newest = run("backups", begun, "--json").data[0]["path"]
    with Journal.open(newest, read_only=True) as journal:
        assert [row.readings for row in journal.makes.rows()] == [1]


def test_every_command_opens_a_backup_in_another_folder(begun, run, tmp_path):
    made = run("backup", begun, "--to", tmp_path / "stick", "--json").data
    assert Path(made["path"]).parent == tmp_path / "stick"
    assert run("check", made["path"]).code == 0
    assert run("makes", made["path"], "--json").data == run("makes", begun, "--json").data
    assert run("backups", begun).out.strip() == "There is no backup of it yet."


def test_where_no_file_was_nothing_is_said_to_be_set_aside(begun, run):
    run("backup", begun, "--to", begun.parent / "other")
    (made,) = (begun.parent / "other").iterdir()
    found = run("restore", begun.with_name("lost.vatside"), made)
    assert "set aside" not in found.out
    assert found.code == 0


def test_a_damaged_one_is_said_and_not_put_back(begun, run, refused):
    path = Path(run("backup", begun).out.strip())
    path.write_bytes(path.read_bytes()[:3000])
    assert [one["sound"] for one in run("backups", begun, "--json").data] == [False]
    before = begun.read_bytes()
    assert "damaged" in refused("restore", begun, path)
    assert begun.read_bytes() == before
    refused("restore", begun, begun.with_name("none.vatside"))


def test_a_journal_beyond_opening_comes_back(begun, run):
    path = Path(run("backup", begun).out.strip())
    begun.write_bytes(begun.read_bytes()[:3000])
    assert run("check", begun).code == 1
    assert [one["sound"] for one in run("backups", begun, "--json").data] == [True]
    assert "set aside" in run("restore", begun, path).out
    assert run("check", begun).code == 0


_LIMITED = """
import resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (40_000, 40_000))
import signal
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
from journal.command import main
sys.exit(main(["backup", sys.argv[1]]))
"""


def test_where_there_is_no_room_nothing_is_left_and_a_sentence_says_so(begun):
    pytest.importorskip("resource", reason="no limit of a file's size there")
    done = subprocess.run(
        [sys.executable, "-c", _LIMITED, str(begun)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert done.stderr.startswith("The backup could not be written into ")
    assert list(folder_of(begun).iterdir()) == []


@pytest.mark.parametrize("command", ["bundle", "rescue"])
def test_where_there_is_no_room_the_file_that_was_asked_for_is_named(begun, command):
    pytest.importorskip("resource", reason="no limit of a file's size there")
    to = begun.with_name("to.vatside.zip")
    code = _LIMITED.replace('["backup", sys.argv[1]]', f'["{command}", *sys.argv[1:]]')
    done = subprocess.run(
        [sys.executable, "-c", code, str(begun), str(to)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert "half" not in done.stderr
    assert "cannot be" in done.stderr
    assert [one.name for one in begun.parent.iterdir() if "to.vatside" in one.name] == []


def test_a_table_is_imported_over_a_backup(finished, run, tmp_path):
    table = tmp_path / "makes.csv"
    table.write_text("date,cook c,score\n2026-01-10,38,6\n2026-02-10,39,7\n")
    done = run("import-makes", finished, table, "--json")
    assert done.code == 0, done
    first = run("backups", finished, "--json").data
    assert [one["sound"] for one in first] == [True]
    with Journal.open(first[0]["path"], read_only=True) as before:
        assert len(before.makes.all()) == 1
    assert run("import-makes", finished, table, "--json").code == 0
    assert run("backups", finished, "--json").data == first, "nothing new came in"


def test_the_version_of_the_library_that_holds_the_file_is_said(begun, run):
    assert sqlite3.sqlite_version in run("--version").out
    assert run("check", begun, "--json").data["sqlite"] == sqlite3.sqlite_version


def test_check_says_what_can_go_wrong_where_a_journal_lies(begun, run):
    apart = begun.with_name(f"{begun.stem} (conflicted copy){begun.suffix}")
    apart.write_bytes(begun.read_bytes())
    assert run("check", begun, "--json").data["cautions"] == []
    assert run("log", apart, "latest", "milk-temp", "31.5").code == 0
    done = run("check", begun)
    assert done.code == 0
    assert apart.name in done.out
    assert len(run("check", begun, "--json").data["cautions"]) == 1
