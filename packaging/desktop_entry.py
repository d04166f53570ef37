"""Vatside among a person's programs: the entry, the kind of file and the icon, for one user alone.

Where they lie is said by the Desktop Entry, Shared MIME-info and Icon Theme specifications.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys

from stamp import PYTHON, ROOT
from trouble import say

OPENS = ("-P", "-m", "journal.command")
ENTRY = os.path.join("applications", "vatside.desktop")
KIND = os.path.join("mime", "packages", "vatside.xml")
ICON = os.path.join("icons", "hicolor", "scalable", "apps", "vatside.svg")
_OURS = {
    KIND: os.path.join(ROOT, "packaging", "vatside-mime.xml"),
    ICON: os.path.join(ROOT, "resources", "icons", "vatside.svg"),
}
_TEMPLATE = os.path.join(ROOT, "packaging", "vatside.desktop")
_REFRESHED = (("update-mime-database", "mime"), ("update-desktop-database", "applications"))


def data_home() -> str:
    """Name the folder of a person's own data files, as the Base Directory specification says."""
    chosen = os.environ.get("XDG_DATA_HOME", "")
    return chosen if os.path.isabs(chosen) else os.path.expanduser("~/.local/share")


def has_menus() -> bool:
    """Tell whether programs are listed this way here."""
    return sys.platform.startswith(("linux", "freebsd"))


def entry_text() -> str:
    """Give the entry as it stands in the repository, opening what lies here."""
    command = " ".join(_quoted(part) for part in (PYTHON, *OPENS))
    lines = []
    with open(_TEMPLATE, encoding="utf-8") as template:
        for line in template.read().splitlines():
            if line.startswith("Exec="):
                lines += [f"Exec={command} %f", f"TryExec={_escaped(PYTHON)}", f"Path={ROOT}"]
            else:
                lines.append(line)
    return "\n".join(lines) + "\n"


def install() -> bool:
    """Put entry, kind of file and icon where this user's programs are listed; False where
    programs are not listed this way or that folder cannot be written."""
    if not has_menus():
        return False
    home = data_home()
    try:
        for place, source in _OURS.items():
            os.makedirs(os.path.dirname(os.path.join(home, place)), exist_ok=True)
            shutil.copyfile(source, os.path.join(home, place))
        path = os.path.join(home, ENTRY)
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(path, "w", encoding="utf-8") as file:
            file.write(entry_text())
    except OSError as error:
        say(f"Vatside is not among your programs: {error.filename}: {error.strerror}.")
        return False
    _refresh(home)
    return True


def remove() -> bool:
    """Take them away again; tell whether any was there."""
    home, there = data_home(), False
    for place in (ENTRY, *_OURS):
        try:
            os.remove(os.path.join(home, place))
            there = True
        except FileNotFoundError:
            continue
    if there:
        _refresh(home)
    return there


def follow() -> None:
    """Where an entry is there that opens another folder than this, which has moved here, have it
    open this one; one that was taken away stays away."""
    path = os.path.join(data_home(), ENTRY)
    if not has_menus() or not os.path.exists(path):
        return
    with open(path, encoding="utf-8") as file:
        known = file.read()
    opened = [line[len("TryExec=") :] for line in known.splitlines() if line.startswith("TryExec=")]
    if known != entry_text() and not any(os.path.exists(one) for one in opened):
        install()


def _refresh(home: str) -> None:
    """Have the desktop look again, with the tools that do so where they are there."""
    for tool, folder in _REFRESHED:
        path = os.path.join(home, folder)
        if shutil.which(tool) and os.path.isdir(path):
            subprocess.run([tool, path], capture_output=True, check=False)


def _quoted(part: str) -> str:
    """Quote an argument of `Exec` where it has to be: its own quoting first, then that of a text
    of the file, in which a backslash stands for itself twice; a percent sign is doubled."""
    if all(letter.isalnum() or letter in "-_./+,:@=" for letter in part):
        return part
    inner = "".join(f"\\{letter}" if letter in '"`$\\' else letter for letter in part)
    return _escaped(f'"{inner}"').replace("%", "%%")


def _escaped(text: str) -> str:
    return text.replace("\\", "\\\\")
