"""The siege in short, with a fixed seed: a few of each; and that it finds what is lost."""

from __future__ import annotations

import random
import subprocess
import sys
from pathlib import Path

import pytest

from tests.siege import disk, kills
from tests.siege.acting import make_kitchen

SEED = 11

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads /proc")


def siege(*words: object) -> str:
    """Run a part in a process of its own, which forks: nothing of these tests is in it."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.siege", *map(str, words), "--seed", str(SEED)],
        capture_output=True, text=True, check=False, cwd=Path(__file__).parents[2],
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.mark.slow
def test_nothing_acknowledged_is_lost_by_kills():
    assert "2 looks" in siege("kills", "--count", 12)


@pytest.mark.slow
def test_what_is_killed_half_done_is_whole_or_not_there():
    assert "in a restore" in siege("scenes", "--count", 5)


@pytest.mark.slow
@pytest.mark.skipif(bool(disk.can_record()), reason=f"no record: {disk.can_record()}")
def test_nothing_acknowledged_is_lost_by_power_cuts():
    assert "4 cuts" in siege("power", "--count", 4)


@pytest.mark.slow
def test_what_the_disk_refuses_stands_on_the_screen_and_is_saved_afterwards():
    assert "1 disk full" in siege("trouble", "--count", 8)


@pytest.mark.slow
@pytest.mark.skipif(bool(disk.can_record()), reason=f"no record: {disk.can_record()}")
def test_nothing_listens_and_nothing_connects_unasked():
    assert "1 sessions" in siege("network", "--count", 1)


@pytest.mark.slow
def test_a_night_of_changed_clocks_keeps_order_and_lengths():
    assert "1 nights" in siege("clock", "--count", 10)


def test_what_is_lost_is_found(tmp_path):
    path = make_kitchen(tmp_path)
    (tmp_path / f".{path.name}.1.half").touch()
    reported = [
        ["reading", 28.5], ["note", "of nobody"], ["photo", "of nothing", "0" * 64],
        ["score", "Nobody", {"0": 5.0}], ["import", [61.0, 61.1]], ["set", "letters", "XX"],
        ["will", "window.ini", "28.5"], ["draft", "window.ini", "28.5"],
    ]  # fmt: skip
    found = kills.ask(path, reported, closed=True, backups=[("none.vatside", [])])["faults"]
    expected = (
        "reading", "note", "photo", "scores", "import", "setting", "draft", "not read", "left over",
    )  # fmt: skip
    assert len(found) == len(expected)
    for fault, word in zip(found, expected, strict=True):
        assert word in fault
    assert kills.ask(path, [["begins", [61.0, 61.1]], ["set", "letters", "HL"]])["faults"] == []


_WRITER = """
import os, sys
folder, synced = sys.argv[1:]
with open(os.path.join(folder, "half"), "wb") as file:
    file.write(b"x" * 2000)
    file.flush()
    if "file" in synced:
        os.fsync(file.fileno())
os.rename(os.path.join(folder, "half"), os.path.join(folder, "whole"))
if "folder" in synced:
    handle = os.open(folder, os.O_RDONLY)
    os.fsync(handle)
os.write(1, b'["kept"]')
"""


@pytest.mark.skipif(bool(disk.can_record()), reason=f"no record: {disk.can_record()}")
@pytest.mark.parametrize("synced", ["", "file", "folder", "file folder"])
def test_a_disk_keeps_what_was_synced_and_may_lose_the_rest(tmp_path, synced):
    folder, images = tmp_path / "folder", tmp_path / "images"
    folder.mkdir()
    before = disk.Disk(folder)
    assert (
        disk.record([sys.executable, "-c", _WRITER, str(folder), synced], tmp_path / "calls") == 0
    )
    pids = {call.pid for call in disk.calls(tmp_path / "calls")}
    for call in disk.calls(tmp_path / "calls"):
        before.play(call)
    unsynced = {Path(path).name for pid in pids for path in before.unsynced(pid, 0)}
    assert unsynced == (set() if synced == "file folder" else {"whole"})
    found = set()
    for seed in range(40):
        before.image(images / str(seed), random.Random(seed))
        left = images / str(seed) / "whole"
        found.add(left.read_bytes() if left.exists() else b"")
    whole = b"x" * 2000
    assert whole in found
    if synced == "file folder":
        assert found == {whole}
    elif synced == "file":
        assert found == {whole, b""}
    else:
        assert any(len(each) > 0 and each != whole for each in found)
