"""Reading another person's journal, or one on a full disk: it works, and locks nobody out."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from journal.keeping import Journal
from journal.keeping.wal import size_of_wal, wal_of
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage

pytestmark = pytest.mark.skipif(os.name == "nt", reason="no other users to become there")
other_users = pytest.mark.skipif(
    os.name == "nt" or os.geteuid() != 0, reason="only root can become another user"
)
OWNER, GUEST, FAMILY = 65_001, 65_002, 65_010  # two users, and the group of both

_AS = """
import os, sys
from journal.keeping import Journal, KeepingError
from journal.wording import text_of
import journal.keeping.moving_on, sqlite_utils, sqlite_utils.migrations
os.setgroups([65_010])
os.setgid(int(sys.argv[2]))
os.setuid(int(sys.argv[2]))
path = sys.argv[1]
def values(journal):
    return journal.readings.trace(1, "milk-temp").value.round(3).tolist()
def log(journal, value):
    journal.readings.log(1, "milk-temp", value, 1_000_000 + round(1000 * value))
try:
    exec(sys.argv[3])
except KeepingError as error:
    print(text_of(error), flush=True)
"""


def begun(path: Path, uid: int, body: str) -> subprocess.Popen[str]:
    """A program of another person."""
    return subprocess.Popen(
        [sys.executable, "-c", _AS, str(path), str(uid), body],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip


def output(path: Path, uid: int, body: str) -> str:
    """What it says, once it has ended."""
    return begun(path, uid, body).communicate(timeout=60)[0].strip()


@pytest.fixture
def shared() -> Iterator[Path]:
    """A folder that everybody may write to, and that no other run of tests closes."""
    with TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        (Path(folder) / "dairy").mkdir()
        (Path(folder) / "dairy").chmod(0o777)
        yield Path(folder) / "dairy"


@pytest.fixture
def path(shared: Path) -> Path:
    """A journal of an owner, in that folder."""
    path = shared / "kitchen.vatside"
    with Journal.create(path) as journal:
        journal.makes.begin(Plan("p", (Stage("warm", 30, target_c=31.0),)), Milk(10.0), 1000)
    path.chmod(0o644)
    with suppress(PermissionError):
        os.chown(path, OWNER, OWNER)
    return path


@pytest.fixture
def crashed(path: Path) -> Path:
    """Its owner's program was killed, and its index was lost."""
    kept = "journal = Journal.open(path); log(journal, 31.5); os._exit(0)"
    assert output(path, OWNER, kept) == ""
    assert size_of_wal(path)
    Path(f"{path}-shm").unlink()
    return path


def names(path: Path) -> list[str]:
    return sorted(entry.name for entry in path.parent.iterdir())


@other_users
def test_a_guest_reads_what_a_crash_left_and_the_owner_goes_on(crashed: Path) -> None:
    there = names(crashed)
    body = (
        "with Journal.open(path, read_only=True) as journal:\n"
        "    print(values(journal), journal.check(), flush=True)\n"
        "    sys.stdin.readline()\n"
    )
    guest = begun(crashed, GUEST, body)
    assert guest.stdout.readline() == "[31.5] []\n"
    assert names(crashed) == there
    kept = "with Journal.open(path) as journal:\n    log(journal, 31.6)\n    print(values(journal))"
    assert output(crashed, OWNER, kept) == "[31.5, 31.6]"
    guest.communicate("\n")
    assert names(crashed) == ["kitchen.vatside"]


@other_users
def test_a_guest_that_is_killed_leaves_nothing(crashed: Path) -> None:
    killed = "journal = Journal.open(path, read_only=True); values(journal); os._exit(0)"
    there = names(crashed)
    output(crashed, GUEST, killed)
    assert names(crashed) == there
    wal_of(crashed).unlink()
    output(crashed, GUEST, killed)
    assert names(crashed) == ["kitchen.vatside"]
    assert output(crashed, OWNER, "log(Journal.open(path), 31.6); print('kept')") == "kept"


@other_users
def test_a_guest_reads_beside_the_owners_window(path: Path) -> None:
    body = (
        "journal = Journal.open(path)\nfor line in sys.stdin:\n"
        "    log(journal, float(line)); print('kept', flush=True)\njournal.close()\n"
    )
    owner = begun(path, OWNER, body)
    read = "with Journal.open(path, read_only=True) as journal: print(values(journal))"
    for value in (31.1, 31.2):
        owner.stdin.write(f"{value}\n")
        owner.stdin.flush()
        assert owner.stdout.readline() == "kept\n"
        assert str(value) in output(path, GUEST, read)
        assert {Path(f"{path}-shm").stat().st_uid, wal_of(path).stat().st_uid} == {OWNER}
    owner.communicate(timeout=60)
    assert names(path) == ["kitchen.vatside"]
    assert output(path, GUEST, read) == "[31.1, 31.2]"
    assert names(path) == ["kitchen.vatside"]


@other_users
def test_a_guest_does_not_take_a_foreign_wal_for_the_files(crashed: Path) -> None:
    """It cannot rename it in a folder where only the owner may."""
    wal = wal_of(crashed).read_bytes()
    wal_of(crashed).unlink()
    kept = "with Journal.open(path) as journal:\n    for k in (1, 2): log(journal, 30 + k)\n"
    assert output(crashed, OWNER, kept) == ""
    wal_of(crashed).write_bytes(wal)
    crashed.parent.chmod(0o755)
    read = (
        "with Journal.open(path, read_only=True) as journal:\n"
        "    print(values(journal), journal.check(), [one.id for one in journal.remarks])"
    )
    there = names(crashed)
    assert output(crashed, GUEST, read) == "[31.0, 32.0] [] ['keeping.other-changes-left-out']"
    assert names(crashed) == there


@other_users
def test_one_of_the_group_writes_and_crashes_and_the_owner_goes_on(path: Path) -> None:
    """What lies beside the file is the group's too, though the folder does not see to it."""
    for each, mode in ((path, 0o664), (path.parent, 0o775)):
        os.chown(each, OWNER, FAMILY)
        each.chmod(mode)
    crash = "log(Journal.open(path), 31.5); print('kept', flush=True); os._exit(0)"
    assert output(path, GUEST, crash) == "kept"
    assert wal_of(path).stat().st_uid == GUEST
    kept = "with Journal.open(path) as journal:\n    log(journal, 31.6)\n    print(values(journal))"
    assert output(path, OWNER, kept) == "[31.5, 31.6]"
    beside = f"with Journal.open(path) as journal:\n    log(journal, 31.7)\n    {_WAITS}"
    guest = begun(path, GUEST, beside)
    assert guest.stdout.readline() == "there\n"
    assert output(path, OWNER, kept.replace("31.6", "31.8")) == "[31.5, 31.6, 31.7, 31.8]"
    guest.communicate("\n", timeout=60)
    assert names(path) == ["kitchen.vatside"]


_WAITS = "print('there', flush=True); sys.stdin.readline()"


# A full disk


Full = Callable[[Path, str], str]


@pytest.fixture
def full(tmp_path: Path) -> Iterator[Full]:
    """Runs Python on a journal for which there is no room left: on a small disk that is filled, or
    where no such disk can be had, with a limit on the size of files."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=2m", "none", str(disk)]
    mounted = subprocess.run(mount, capture_output=True, check=False).returncode == 0
    limit = "" if mounted else (
        "import resource, signal\nsignal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (10, 10))\n"
    )  # fmt: skip

    def run(source: Path, body: str) -> str:
        for each in source.parent.iterdir():
            (disk / each.name).write_bytes(each.read_bytes())
        if mounted:
            with suppress(OSError), (disk / "filler").open("wb", buffering=0) as filler:
                while filler.write(bytes(1024)):
                    pass
        say = f"import sys\npath = sys.argv[1]\n{limit}{body}"
        words = [sys.executable, "-c", say, str(disk / source.name)]
        done = subprocess.run(words, capture_output=True, text=True, check=False)
        assert not done.stderr, done.stderr
        for each in source.parent.iterdir():
            assert (disk / each.name).read_bytes() == each.read_bytes()
        left = {entry.name for entry in disk.iterdir()} - {"filler"}
        assert left == set(names(source))
        return done.stdout.strip()

    yield run
    if mounted:
        subprocess.run(["umount", str(disk)], check=True)


_READ = """
from journal.keeping import Journal
with Journal.open(path, read_only=True) as journal:
    print(journal.readings.trace(1, "milk-temp").value.tolist(), journal.check())
"""


@other_users
def test_a_full_disk_does_not_stop_reading(path: Path, full: Full) -> None:
    assert full(path, _READ) == "[] []"


@other_users
def test_nor_where_a_crash_left_changes_beside_the_file(crashed: Path, full: Full) -> None:
    assert full(crashed, _READ) == "[31.5] []"


@other_users
def test_what_is_typed_there_is_refused_with_a_sentence(path: Path, full: Full) -> None:
    body = (
        "from journal.keeping import Journal, KeepingError\nfrom journal.wording import text_of\n"
        "try:\n    Journal.open(path)\nexcept KeepingError as error:\n    print(text_of(error))\n"
    )
    assert full(path, body).startswith("The disk is full. Nothing was changed")
