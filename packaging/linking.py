"""The project in its environment: found by a relative path, so that both can move together."""

from __future__ import annotations

import os
import subprocess

from stamp import FOLDER, PROGRAMS, PYTHON, ROOT

LAUNCHER = """#!/bin/sh
here=$(dirname -- "$(readlink -f -- "$0")")
exec "$here/python" -P -m journal.command "$@"
"""
LAUNCHER_WINDOWS = '@"%~dp0python.exe" -P -m journal.command %*\r\n'
# The first lines of a Python program whose Python lies in a path with spaces.
FIRST_LINES = "#!/bin/sh\n'''exec' \"{python}\" \"$0\" \"$@\"\n' '''\n"


def link_the_project() -> None:
    """Let the environment find the rooms, and put the `vatside` command beside its Python."""
    ask = "import sysconfig; print(sysconfig.get_path('purelib'))"
    site = subprocess.check_output([PYTHON, "-c", ask], text=True).strip()
    with open(os.path.join(site, "vatside.pth"), "w", encoding="utf-8") as file:
        file.write(os.path.relpath(ROOT, site) + "\n")
    windows = os.name == "nt"
    command = os.path.join(PROGRAMS, "vatside.cmd" if windows else "vatside")
    with open(command, "w", encoding="utf-8", newline="") as file:
        file.write(LAUNCHER_WINDOWS if windows else LAUNCHER)
    os.chmod(command, 0o755)


def follow_the_move(old_root: str) -> None:
    """Point the environment's own programs at the place the folder has moved to."""
    old = os.fsencode(os.path.join(old_root, ".venv"))
    for entry in os.scandir(PROGRAMS):
        if entry.is_file(follow_symlinks=False):
            _repoint(entry.path, old)


def _repoint(path: str, old: bytes) -> None:
    with open(path, "rb") as file:
        content = file.read()
    lines = content.split(b"\n", 3)
    if os.path.basename(path).lower().startswith("activate"):
        content = content.replace(old, os.fsencode(FOLDER))
    elif content.startswith(b"#!/bin/sh\n'''exec'") and old in lines[1]:
        content = os.fsencode(FIRST_LINES.format(python=PYTHON)) + lines[3]
    elif content.startswith(b"#!") and old in lines[0]:
        content = os.fsencode(FIRST_LINES.format(python=PYTHON)) + content.partition(b"\n")[2]
    else:
        return
    with open(path, "wb") as file:
        file.write(content)
