"""Many processes on one journal at once, some of them killed: nothing acknowledged is missing."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from journal.keeping import Journal
from journal.keeping.file import name_finished
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage

MANY, EACH = 4, 12

# Each writes and reads on the connection of its own, and opens a second one to read meanwhile, as
# the window's background work does. A line is printed once a reading is kept.
_WRITER = """
import sys, threading
from journal.keeping import Journal
path, number, each = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
journal, done = Journal.open(path), threading.Event()
def read():
    while not done.is_set():
        with Journal.open(path, read_only=True) as second:
            second.makes.all()
reader = threading.Thread(target=read)
reader.start()
for k in range(each):
    value = number + k / 100
    journal.readings.log(1, "milk-temp", value, 1_000_000 + 1000 * number + k)
    print(value, flush=True)
    if number == 0 and k == each // 2:
        sys.stdin.read()  # killed here, its connections open
    if k % 4 == 3:
        journal.close()
        journal = Journal.open(path)
done.set()
reader.join()
journal.close()
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "kitchen.vatside"
    plan = Plan("p", (Stage("warm", 30, target_c=31.0),))
    with Journal.create(path) as journal:
        journal.makes.begin(plan, Milk(10.0), 1000)
    return path


def test_nothing_is_missing_and_nothing_is_damaged(path: Path) -> None:
    started = [
        subprocess.Popen(
            [sys.executable, "-c", _WRITER, str(path), str(number), str(EACH)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )
        for number in range(MANY)
    ]  # fmt: skip
    first, saved = started[0], []
    for _ in range(EACH // 2 + 1):
        saved.append(float(first.stdout.readline()))
    first.kill()
    for process in started:
        out, err = process.communicate(timeout=120)
        saved += [float(line) for line in out.split()]
        assert process.returncode == (-signal.SIGKILL if process is first else 0), err
    assert len(saved) == (MANY - 1) * EACH + EACH // 2 + 1
    with Journal.open(path) as journal:
        there = journal.readings.trace(1, "milk-temp").value.round(4).tolist()
        assert journal.check() == []
    assert sorted(there) == sorted(saved)
    assert [entry.name for entry in path.parent.iterdir()] == [path.name]


def test_of_many_that_make_one_journal_one_does(tmp_path: Path) -> None:
    """The others are told so, and take nothing away of what the one made."""
    path = tmp_path / "new.vatside"
    say = (
        "import sys\nfrom journal.keeping import Journal, KeepingError\n"
        "print('ready', flush=True)\nsys.stdin.readline()\n"
        "try:\n    Journal.create(sys.argv[1]).close()\n    print('made')\n"
        "except KeepingError as error:\n    print(error.id)\n"
    )
    started = [
        subprocess.Popen(
            [sys.executable, "-c", say, str(path)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )
        for _ in range(3)
    ]  # fmt: skip
    for process in started:
        assert process.stdout.readline() == "ready\n"
    for process in started:
        process.stdin.write("\n")
        process.stdin.flush()
    output = sorted(process.communicate(timeout=60)[0].strip() for process in started)
    assert output == ["keeping.file-exists", "keeping.file-exists", "made"]
    with Journal.open(path) as journal:
        assert journal.check() == []


def test_a_copy_before_a_migration_is_whole_or_not_there(tmp_path: Path) -> None:
    half, copy = tmp_path / ".half", tmp_path / "copy.vatside"
    half.write_text("written second")
    copy.write_text("written first")
    name_finished(half, copy)
    assert copy.read_text() == "written first"
    assert not half.exists()


_MAKER = """
import sys
from journal.keeping import Journal, moving_on
known = moving_on.sync
def wait(path):
    known(path)
    print("half", flush=True)
    sys.stdin.read()
moving_on.sync = wait
Journal.create(sys.argv[1], zone="Pacific/Auckland")
"""


def test_a_journal_that_was_killed_while_it_was_made_is_not_there(tmp_path: Path) -> None:
    """Nor is one there without its zone and its letters."""
    path = tmp_path / "new.vatside"
    process = subprocess.Popen(
        [sys.executable, "-c", _MAKER, str(path)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout.readline() == "half\n"
    process.kill()
    process.communicate()
    assert not path.exists()
    with Journal.create(path, letters="HL", zone="Pacific/Auckland") as journal:
        assert (journal.zone, journal.letters) == ("Pacific/Auckland", "HL")
        assert journal.check() == []
