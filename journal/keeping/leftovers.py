"""What is half written has a name of its own, with the number of the process that writes it. What
one that was killed left goes when the journal is next opened to write, or when what it was to be is
written again.
"""

from __future__ import annotations

import glob
import os
import shutil
from contextlib import suppress
from pathlib import Path

from journal.records.instants import now_ms

_ENDING = ".half"
_HOUR_S = 3600


def half_of(path: Path) -> Path:
    """What a file is called while this process writes it."""
    return path.with_name(f".{path.name}.{os.getpid()}{_ENDING}")


def take_halves_away(folder: Path, stem: str) -> None:
    """Take away what killed processes left half written in a folder of files whose names begin
    with a stem, and with each the empty file that held its name, and its photos."""
    with suppress(OSError):
        for left in folder.glob(f".{glob.escape(stem)}*{_ENDING}*"):
            name, _, pid = left.name.partition(_ENDING)[0].removeprefix(".").rpartition(".")
            if _is_running(int(pid)) if pid.isdecimal() else _is_young(left):
                continue
            taken = folder / name
            if taken.is_file() and not taken.stat().st_size:
                shutil.rmtree(f"{taken}.photos", ignore_errors=True)
                taken.unlink()
            if left.is_dir():
                shutil.rmtree(left, ignore_errors=True)
            else:
                left.unlink(missing_ok=True)


def _is_young(half: Path) -> bool:
    """Whether a half without a number may still be written to."""
    return half.stat().st_mtime > now_ms() / 1000 - _HOUR_S


def _is_running(pid: int) -> bool:
    if os.name == "nt":
        return True  # there a signal would end it
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
