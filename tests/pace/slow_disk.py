"""A disk that takes a millisecond longer to sync than this machine's: a simulation. Each `fsync`
and `fdatasync` of a process sleeps first, whoever calls it, so that both sides of a ratio wait."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

SLOWER_MS = 1
_SOURCE = """
#define _GNU_SOURCE
#include <dlfcn.h>
#include <time.h>
static int after(const char *name, int handle) {
    struct timespec slower = {0, SLOWER_MS * 1000000L};
    nanosleep(&slower, 0);
    return ((int (*)(int))dlsym(RTLD_NEXT, name))(handle);
}
int fsync(int handle) { return after("fsync", handle); }
int fdatasync(int handle) { return after("fdatasync", handle); }
"""


def slower_disk(folder: Path) -> dict[str, str] | None:
    """The environment of a process whose disk is so slow; None without a C compiler and Linux's way
    to put functions before those of the system."""
    compiler = shutil.which("cc") or shutil.which("gcc")
    if compiler is None or not Path("/proc/self/maps").exists():
        return None
    source, built = folder / "slow_disk.c", folder / "slow_disk.so"
    source.write_text(_SOURCE, encoding="utf-8")
    command = [compiler, "-O1", "-shared", "-fPIC", f"-DSLOWER_MS={SLOWER_MS}", str(source)]
    if subprocess.run([*command, "-o", str(built), "-ldl"], check=False).returncode:
        return None
    return {**os.environ, "LD_PRELOAD": str(built)}
