"""Bundles: whole on the other side, and nothing that a stranger's zip can do."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sqlite3
import stat
import struct
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.exchange import ExchangeError
from journal.exchange.bundle import MANIFEST, read_bundle, write_bundle
from journal.exchange.plan_files import read_plan_file
from journal.keeping import Journal, KeepingError
from journal.keeping.photos import photos_of
from journal.records.makes import Milk, Note
from journal.records.plans import Plan, Stage
from journal.wording import text_of

PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(200))
START = 1_760_000_000_000
Files = dict[str, bytes]


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a journal that has a make, a photo and a plan, and its bundle."""
    folder = tmp_path_factory.mktemp("built")
    (folder.parent / "cut.png").write_bytes(PNG)
    with Journal.create(folder / "kitchen.vatside") as journal:
        plan = journal.plans.save(Plan("hard & old", (Stage("warm", 30, target_c=31.0),)))
        make = journal.makes.begin(plan, Milk(12.0), START)
        journal.photos.save(Note(START, "curd", make.id), folder.parent / "cut.png")
        write_bundle(journal, folder / "kitchen.vatside.zip")
    return folder


@pytest.fixture
def kitchen(built: Path, tmp_path: Path) -> Path:
    return shutil.copytree(built, tmp_path / "house") / "kitchen.vatside"


@pytest.fixture
def zipped(kitchen: Path) -> Path:
    return kitchen.with_name("kitchen.vatside.zip")


def rows(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as db:
        return list(db.iterdump())


def files_of(zipped: Path) -> Files:
    with zipfile.ZipFile(zipped) as bundle:
        return {name: bundle.read(name) for name in bundle.namelist()}


def listing(files: Files, journal: str = "kitchen.vatside", form: int = 1) -> Files:
    """These files with a manifest that lists them truly."""
    listed = [
        {"name": name, "bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
        for name, data in files.items()
        if name != MANIFEST
    ]
    head = {"vatside_bundle": form, "journal": journal, "files": listed}
    return {**files, MANIFEST: json.dumps(head).encode()}


def write(path: Path, files: Files, spoil: Callable[[zipfile.ZipInfo], None] | None = None) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name, data in files.items():
            info = zipfile.ZipInfo(name)
            info.compress_type = zipfile.ZIP_DEFLATED
            if spoil is not None and name != MANIFEST:
                spoil(info)
            bundle.writestr(info, data)
    return path


def stands_off(zipped: Path, tmp_path: Path) -> str:
    """A bundle is refused with a sentence, and nothing at all came out of it."""
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(ExchangeError) as refused:
        read_bundle(zipped, tmp_path / "new" / "house")
    assert sorted(tmp_path.rglob("*")) in (before, sorted([*before, tmp_path / "new"]))
    sentence = text_of(refused.value)
    assert sentence.endswith(".")
    return sentence


def test_a_journal_its_photos_and_plans_come_out_as_they_went_in(kitchen, zipped, tmp_path):
    assert {name.partition("/")[0] for name in files_of(zipped)} == {
        "kitchen.vatside", "photos", "plans", MANIFEST,
    }  # fmt: skip
    before = rows(kitchen)
    out = read_bundle(zipped, tmp_path / "new" / "house")
    assert (out.path, out.photos, out.plans) == (tmp_path / "new/house/kitchen.vatside", 1, 1)
    assert rows(out.path) == before
    [plan] = (out.path.parent / "kitchen.vatside.plans").iterdir()
    assert read_plan_file(plan).name == "hard & old"
    with Journal.open(out.path) as journal, Journal.open(kitchen, read_only=True) as old:
        assert journal.check() == []
        assert journal.origin == old.origin
        assert [p.read_bytes() for p in journal.photos.all()] == [PNG]
        assert [p.parent for p in journal.photos.all()] == [photos_of(out.path)]


def test_what_another_program_writes_meanwhile_does_not_come_half_into_it(kitchen, tmp_path):
    with Journal.open(kitchen) as window, Journal.open(kitchen, read_only=True) as other:
        window.readings.log(1, "milk-temp", 31.4, START + 1000)  # lies in the -wal alone
        made = write_bundle(other, tmp_path / "day.zip")
    with Journal.open(read_bundle(made.path, tmp_path / "new").path) as journal:
        assert journal.readings.trace(1, "milk-temp").value.tolist() == [31.4]


def test_nothing_is_overwritten_on_either_side(kitchen, zipped, tmp_path):
    before = zipped.read_bytes()
    with Journal.open(kitchen, read_only=True) as journal:
        for out in (zipped, kitchen, tmp_path / "none" / "a.zip"):
            with pytest.raises(ExchangeError):
                write_bundle(journal, out)
    assert zipped.read_bytes() == before
    journal_before = kitchen.read_bytes()
    with pytest.raises(ExchangeError, match=r"exchange.in-folder-already"):
        read_bundle(zipped, kitchen.parent)
    for taken in ("kitchen.vatside.photos", "kitchen.vatside.plans"):
        (tmp_path / taken / taken).mkdir(parents=True)
        with pytest.raises(ExchangeError, match=r"exchange.in-folder-already"):
            read_bundle(zipped, tmp_path / taken)
        assert os.listdir(tmp_path / taken) == [taken]
    assert kitchen.read_bytes() == journal_before
    assert not [p for p in tmp_path.rglob(".*") if p.name != ".journal"]


@pytest.mark.parametrize(
    "name",
    [
        "../photos/a.png", "/etc/cron.d/a.png", "C:/a.png", "C:a.png", "\\\\host\\a.png",
        "photos/../../a.png", "photos\\..\\a.png", "photos/a.png/", "photos/.journal",
        "photos/a.svg", "photos/con.png", "plans/a.toml.exe", "plans/deep/a.toml", "run.sh",
        "kitchen2.vatside", "kitchen.vatside-wal", "photos/a.png\x00.sh", "photos/ä.png", "",
        "photos/" + "a" * 300 + ".png",
    ],
)  # fmt: skip
def test_no_name_that_a_bundle_does_not_hold_comes_out(zipped, tmp_path, name):
    files = listing({**files_of(zipped), name: PNG})
    stands_off(write(tmp_path / "bad.zip", files), tmp_path)


@pytest.mark.parametrize("name", ["../up.vatside", "a/b.vatside", "C:x.vatside", ".x.vatside",
                                  "nul.vatside", "kitchen.exe", "a\n.vatside"])  # fmt: skip
def test_no_name_of_the_journal_leads_elsewhere(zipped, tmp_path, name):
    files = files_of(zipped)
    files[name] = files.pop("kitchen.vatside")
    stands_off(write(tmp_path / "bad.zip", listing(files, name)), tmp_path)


def test_names_that_differ_only_in_case_and_names_twice_are_refused(zipped, tmp_path):
    files = {**files_of(zipped), "photos/aa.png": PNG, "photos/AA.png": PNG}
    assert "clash" in stands_off(write(tmp_path / "bad.zip", listing(files)), tmp_path)
    twice = write(tmp_path / "twice.zip", listing(files_of(zipped)))
    with zipfile.ZipFile(twice, "a") as bundle, pytest.warns(UserWarning, match="Duplicate"):
        bundle.writestr("kitchen.vatside", b"another")
    assert "twice" in stands_off(twice, tmp_path)


@pytest.mark.parametrize("kind", [stat.S_IFLNK, stat.S_IFIFO, stat.S_IFCHR, stat.S_IFDIR])
def test_links_and_devices_are_refused(zipped, tmp_path, kind):
    def spoil(info: zipfile.ZipInfo) -> None:
        info.create_system, info.external_attr = 3, (kind | 0o777) << 16

    bad = write(tmp_path / "bad.zip", listing(files_of(zipped)), spoil)
    assert "not a plain file" in stands_off(bad, tmp_path)


def test_a_bomb_is_refused_before_it_unpacks(zipped, tmp_path):
    files = listing({**files_of(zipped), "photos/big.png": PNG + bytes(50_000_000)})
    assert "too large" in stands_off(write(tmp_path / "bad.zip", files), tmp_path)


def test_sizes_that_are_not_what_was_said_are_refused(zipped, tmp_path):
    """The zip says 10 bytes in its list and holds more; its manifest agrees with the lie."""
    files = listing({**files_of(zipped), "photos/aa.png": PNG})
    bad = write(tmp_path / "bad.zip", files)
    data = bytearray(bad.read_bytes())
    at = data.rfind(b"photos/aa.png") - 46
    assert data[at : at + 4] == b"PK\x01\x02"
    struct.pack_into("<I", data, at + 24, 10)
    bad.write_bytes(data)
    stands_off(bad, tmp_path)
    files[MANIFEST] = files[MANIFEST].replace(b'"bytes": 208', b'"bytes": 10')
    lying = write(tmp_path / "lying.zip", files)
    data = bytearray(lying.read_bytes())
    struct.pack_into("<I", data, data.rfind(b"photos/aa.png") - 46 + 24, 10)
    lying.write_bytes(data)
    stands_off(lying, tmp_path)


def test_files_that_overlap_are_refused(zipped, tmp_path):
    bad = write(tmp_path / "bad.zip", listing(files_of(zipped)))
    data = bytearray(bad.read_bytes())
    at = data.rfind(b"PK\x01\x02")
    struct.pack_into("<I", data, at + 20, 0x7FFFFFFF)
    bad.write_bytes(data)
    assert "overlap" in stands_off(bad, tmp_path)


def test_more_files_than_a_bundle_has_are_refused(tmp_path, monkeypatch):
    monkeypatch.setattr("journal.exchange.bundle.MOST_FILES", 500)
    bad = tmp_path / "bad.zip"
    with zipfile.ZipFile(bad, "w") as bundle:
        bundle.writestr(MANIFEST, "{}")
        for number in range(501):
            bundle.writestr(f"photos/{number}.png", b"")
    assert "too many" in stands_off(bad, tmp_path)


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("photos/a.png", b"#!/bin/sh\nrm -rf ~"),
        ("photos/a.jpg", PNG),
        ("plans/a.toml", b"\x00\x01"),
        ("plans/a.toml", b"a = 1"),
        ("kitchen.vatside", b"SQLite format 3\x00" + bytes(4000)),
        ("kitchen.vatside", PNG),
    ],
)
def test_what_is_not_what_it_is_called_does_not_come_out(zipped, tmp_path, name, data):
    stands_off(write(tmp_path / "bad.zip", listing({**files_of(zipped), name: data})), tmp_path)


def test_a_journal_that_brings_a_trigger_along_does_not_come_out(kitchen, zipped, tmp_path):
    strange = tmp_path / "strange.vatside"
    shutil.copy(kitchen, strange)
    with closing(sqlite3.connect(strange)) as db:
        db.execute("create trigger t after insert on note begin delete from make; end")
    files = listing({**files_of(zipped), "kitchen.vatside": strange.read_bytes()})
    assert "none" in stands_off(write(tmp_path / "bad.zip", files), tmp_path)


@pytest.mark.parametrize(
    "manifest",
    [b"", b"[]", b"{}", b"[" * 200_000, b'{"vatside_bundle": 1}', b'{"vatside_bundle": "x"}',
     b'{"vatside_bundle": 1, "journal": 7, "files": [1]}', b"\xff\xfe\x00",
     b'{"vatside_bundle": 99',
     b'{"vatside_bundle": 1, "journal": "kitchen.vatside", "files": []}'],
)  # fmt: skip
def test_a_list_of_files_that_is_none_is_refused(zipped, tmp_path, manifest):
    stands_off(write(tmp_path / "bad.zip", {**files_of(zipped), MANIFEST: manifest}), tmp_path)


def test_a_bundle_of_a_newer_program_and_other_zips_and_files_are_said(zipped, tmp_path):
    newer = write(tmp_path / "newer.zip", listing(files_of(zipped), form=2))
    assert "newer" in stands_off(newer, tmp_path)
    other = write(tmp_path / "other.zip", {"a.txt": b"hello"})
    assert "not a bundle" in stands_off(other, tmp_path)
    (tmp_path / "text.zip").write_text("no zip")
    assert "not a bundle" in stands_off(tmp_path / "text.zip", tmp_path)
    assert "no file" in stands_off(tmp_path / "none.zip", tmp_path)
    os.mkfifo(tmp_path / "pipe.zip")
    assert "no file" in stands_off(tmp_path / "pipe.zip", tmp_path)


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_a_damaged_bundle_comes_out_as_it_was_or_not_at_all(built, tmp_path_factory, data):
    place = tmp_path_factory.mktemp("damaged")
    damaged = bytearray((built / "kitchen.vatside.zip").read_bytes())
    cut = data.draw(st.integers(0, len(damaged)))
    for _ in range(data.draw(st.integers(0, 3))):
        near_end = data.draw(st.booleans())
        at = data.draw(st.integers(len(damaged) - 400 if near_end else 0, len(damaged) - 1))
        damaged[at] = data.draw(st.integers(0, 255))
    (place / "a.zip").write_bytes(damaged[:cut] if data.draw(st.booleans()) else damaged)
    try:
        out = read_bundle(place / "a.zip", place / "out")
    except ExchangeError:
        assert not (place / "out").exists()
        return
    with zipfile.ZipFile(place / "a.zip") as bundle:
        assert out.path.read_bytes() == bundle.read("kitchen.vatside")


def test_a_damaged_photo_is_left_out_rather_than_the_whole_refused(kitchen, tmp_path):
    [photo] = photos_of(kitchen).glob("*.png")
    photo.write_bytes(bytes(100))
    with Journal.open(kitchen) as journal:
        made = write_bundle(journal, tmp_path / "a.zip")
    assert (made.photos, made.plans) == (0, 1)
    assert read_bundle(made.path, tmp_path / "new").photos == 0


def test_a_damaged_journal_is_not_bundled(kitchen, tmp_path):
    with closing(sqlite3.connect(kitchen)) as db:
        db.execute("pragma foreign_keys = off")
        db.execute("update make set plan_id = 77")
        db.commit()
    with Journal.open(kitchen, read_only=True) as journal, pytest.raises(KeepingError):
        write_bundle(journal, tmp_path / "a.zip")
    assert not list(tmp_path.glob("*a.zip*"))
