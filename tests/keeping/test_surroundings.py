"""What is said of the place of a journal: locks that do not hold, a share, copies gone on apart."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest

from journal.keeping import Journal, surroundings
from journal.message import Message
from journal.records.tastings import Assessor

from .conftest import START

posix = pytest.mark.skipif(os.name == "nt", reason="byte-range locks of POSIX")


def test_of_a_disk_of_this_computer_nothing_is_said(saved, make):
    assert saved.cautions() == []


@posix
def test_the_locks_are_really_tried(tmp_path, monkeypatch):
    """Where the system takes a lock and keeps nobody out, and where it takes none."""
    assert surroundings.locks_hold(tmp_path)
    assert list(tmp_path.iterdir()) == []
    real = surroundings.fcntl.lockf
    for lockf in (lambda *_: None, _refuse):
        monkeypatch.setattr(surroundings.fcntl, "lockf", lockf)
        assert not surroundings.locks_hold(tmp_path)
    monkeypatch.setattr(surroundings.fcntl, "lockf", real)
    assert surroundings.locks_hold(tmp_path)


def test_where_the_system_has_no_such_locks_none_is_tried(tmp_path, monkeypatch):
    monkeypatch.setattr(surroundings, "sys", SimpleNamespace(platform="win32"))
    monkeypatch.delattr(surroundings, "fcntl", raising=False)
    assert surroundings.locks_hold(tmp_path)


def _refuse(*_: object) -> None:
    raise OSError(37, "No locks available")


@posix
def test_a_share_is_told_by_what_the_system_says_of_the_folder(saved, tmp_path, monkeypatch):
    mounts = tmp_path / "mounts"
    folder = str(saved.path.parent.resolve()).replace(" ", "\\040")
    for kind, output in (("ext4", False), ("nfs4", True), ("cifs", True), ("fuse.sshfs", True)):
        mounts.write_text(f"/dev/sda1 / nfs rw 0 0\nthere:/x {folder} {kind} rw 0 0\n")
        monkeypatch.setattr(surroundings, "MOUNTS", mounts)
        found = [one for one in saved.cautions() if one.id == "keeping.on-a-share"]
        announced = [Message("keeping.on-a-share", file="kitchen.vatside", kind=kind)]
        assert found == (announced if output else [])


def test_copies_that_were_gone_on_with_apart_are_told_and_older_ones_are_not(saved, make):
    path = saved.path
    names = ("kitchen copy", "kitchen (conflicted copy)", "kitchen-laptop", "another")
    older, *apart = (path.with_name(f"{name}.vatside") for name in names)
    for each in (older, *apart):
        saved.save_copy(each)
    for each in apart:
        with Journal.open(each) as other:
            other.assessors.save(Assessor("Zed"))
    saved.readings.log(make.id, "milk-temp", 31.0, START + 1000)
    announced = ["kitchen (conflicted copy).vatside", "kitchen-laptop.vatside"]
    assert saved.cautions() == [
        Message("keeping.copies-with-changes", file="kitchen.vatside", others=announced)
    ]
    saved.close()
    with Journal.open(apart[0], read_only=True) as conflicted:
        (found,) = conflicted.cautions()
    assert found.values["others"] == ["kitchen.vatside"]


def test_another_kitchens_journal_is_no_copy(saved, make, tmp_path):
    twin = tmp_path / "kitchen 2.vatside"
    with Journal.create(twin) as other:
        other.assessors.save(Assessor("Zed"))
    shutil.copy(twin, Path(f"{tmp_path}/kitchen 3.vatside"))
    (tmp_path / "kitchen 4.vatside").write_text("a letter")
    assert saved.cautions() == []
