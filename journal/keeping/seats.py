"""Who has the journal open: a token of each opening, and whether that one is open still.

A token names the machine, the process with the moment it was started, and the opening, so that
none comes twice, and one whose process was killed counts as closed.
"""

from __future__ import annotations

import os
import platform
import sys
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from uuid import uuid4

WINDOW, COMMAND = "window", "command"
COPY = "copy"  # of the journal, whose acts came along when it was merged
RESTORE = "restore"  # of a backup: undo does not go behind it
BIN = "bin"  # what was deleted for good

_open_here: set[str] = set()


def take_seat() -> str:
    """A token for a journal that is being opened in this process."""
    token = ":".join([_here(), str(os.getpid()), _started(os.getpid()), uuid4().hex[:12]])
    _open_here.add(token)
    return token


def leave_seat(token: str) -> None:
    """The journal of that token is closed."""
    _open_here.discard(token)


def is_seated(token: str) -> bool:
    """Whether the journal of that token may be open still; of another machine's nobody knows."""
    parts = token.split(":")
    if len(parts) != 4 or not parts[1].isdecimal():
        return False
    machine, pid, started, _ = parts
    if machine != _here():
        return True
    if int(pid) == os.getpid() and started == _started(os.getpid()):
        return token in _open_here
    return is_running(int(pid)) and started == _started(int(pid))


def is_running(pid: int) -> bool:
    """Whether a process of that number runs on this machine."""
    if sys.platform == "win32":
        import ctypes

        handle = ctypes.windll.kernel32.OpenProcess(0x1000, False, pid)
        if handle:
            ctypes.windll.kernel32.CloseHandle(handle)
        return bool(handle)
    try:
        os.kill(pid, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True


def _here() -> str:
    """The machine, so that its name cannot be read out of the file."""
    return sha256(platform.node().encode()).hexdigest()[:12]


def _started(pid: int) -> str:
    """When a process was started, as far as the system tells; numbers of processes come again."""
    with suppress(OSError, IndexError):
        return Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[19]
    return ""
