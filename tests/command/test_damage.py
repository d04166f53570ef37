"""A damaged journal: a sentence from every command, and `check` says what is not sound."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import numpy as np
import pytest

from journal.keeping import Journal

from .conftest import fingerprint


@pytest.fixture
def spoilt(begun: Path) -> Path:
    """A journal whose only block of readings is damaged."""
    with Journal.open(begun) as journal:
        make = journal.makes.by_code("latest")
        at = make.started_ms + 60_000 * np.arange(90)
        journal.readings.add_many(make.id or 0, "milk-temp", at, np.full(90, 31.5), "logger")
    db = sqlite3.connect(begun)
    db.execute("update reading_block set \"at\" = x'0011' where rowid = 1")
    db.commit()
    db.close()
    return begun


@pytest.mark.parametrize(
    "words",
    [
        ("deviation", "{}", "HL-0001"),
        ("forecast", "{}", "HL-0001", "--ph", "5.4"),
        ("export", "{}", "{}-out"),
    ],
)
def test_a_damaged_block_is_one_sentence(spoilt, refused, words):
    before = fingerprint(spoilt)
    output = refused(*(word.format(spoilt) for word in words))
    assert "damaged" in output
    assert "vatside check" in output
    assert fingerprint(spoilt) == before


def test_check_names_the_readings_that_are_lost(spoilt, run):
    done = run("check", spoilt, "--json")
    assert done.code == 1
    assert done.data["faults"] == [
        "90 milk-temp readings of HL-0001, from 2026-07-14 08:00 on, are damaged and cannot be "
        "read."
    ]


def test_check_of_a_file_with_pages_of_nothing_says_it_once_with_the_ways_out(begun, run):
    whole = begun.read_bytes()
    for first in range(1, 10):
        raw = bytearray(whole)
        for page in range(first, len(raw) // 4096, 9):
            raw[page * 4096 : (page + 1) * 4096] = bytes(4096)
        begun.write_bytes(raw)
        faults = run("check", begun, "--json").data["faults"]
        assert len(faults) == len(set(faults)) > 0
        assert all(way in faults[0] for way in ("vatside rescue", "vatside backups"))


@pytest.mark.parametrize("share", [0.01, 0.3, 0.9])
def test_check_of_a_file_cut_short_says_so(begun, run, share):
    whole = begun.read_bytes()
    begun.write_bytes(whole[: int(len(whole) * share)])
    done = run("check", begun)
    assert done.code == 1
    assert f"of {len(whole):,} bytes are there" in done.out
    assert run("makes", begun).code == 2
    assert [path.name for path in begun.parent.iterdir()] == [begun.name]


def test_check_of_no_journal_is_no_answer(tmp_path, refused):
    other = tmp_path / "notes.vatside"
    other.write_text("milk and salt " * 20)
    assert "another kind" in refused("check", other)
    assert "no file" in refused("check", tmp_path / "none.vatside")


def test_a_list_says_what_it_goes_without(begun, run):
    with Journal.open(begun) as journal:
        plan = journal.plans.all()[0]
        journal.makes.begin(plan, journal.makes.all()[0].milk, 1_790_000_000_000)
    db = sqlite3.connect(begun)
    db.execute("update make set milk_litres = milk_litres + 1 where id = 1")
    db.commit()
    db.close()
    done = run("makes", begun)
    assert "HL-0002" in done.out
    assert "HL-0001" not in done.out
    assert "Row 1 of make is damaged and is left out." in done.err
    checked = run("check", begun, "--json")
    assert checked.data["faults"] == ["Row 1 of make is damaged and is left out."]


def test_rescue_saves_what_is_sound_and_lists_what_is_lost(spoilt, run, tmp_path):
    out = tmp_path / "saved.vatside"
    done = run("rescue", spoilt, out, "--json")
    assert done.code == 0
    announced = {one["table"]: (one["saved"], one["lost"]) for one in done.data}
    assert announced["reading_block"] == (0, 1)
    assert announced["make"] == (1, 0)
    assert run("check", out).code == 0
    assert "HL-0001" in run("makes", out).out
    assert "exists already" in run("rescue", spoilt, out).err
    spoilt.write_bytes(b"whey " * 3000)
    assert run("rescue", spoilt, tmp_path / "other.vatside").code == 1
