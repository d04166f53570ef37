"""What a program that was killed left half written goes with the next start, and nothing else."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from journal.keeping import Journal


def ended() -> int:
    """The number of a process that is no more."""
    with subprocess.Popen([sys.executable, "-c", ""]) as process:
        process.wait()
    return process.pid


def test_what_a_killed_program_left_is_gone_and_what_another_writes_stays(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.vatside"
    Journal.create(path).close()
    backups, gone, here = Path(f"{path}.backups"), ended(), os.getppid()
    taken = backups / "kitchen-20260314-090000.vatside"
    (backups / f"{taken.name}.photos").mkdir(parents=True)
    taken.touch()
    halves = [path.with_name(f".{name}.{gone}.half") for name in (path.name, f"{path.name}-wal")]
    halves += [taken.with_name(f".{taken.name}.{gone}.half")]
    kept = [taken.with_name(f".{taken.name}.{here}.half"), path.with_name(f".bread.{gone}.half")]
    for each in (*halves, *kept):
        each.write_bytes(b"half")
    with Journal.open(path, read_only=True):
        assert all(each.exists() for each in halves)
    with Journal.open(path):
        pass
    assert [each.name for each in halves if each.exists()] == []
    assert [each.name for each in kept if each.exists()] == [each.name for each in kept]
    assert sorted(each.name for each in backups.iterdir()) == [kept[0].name]
