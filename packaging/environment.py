"""The `.venv` beside the project root: made once, filled from the pins, found ready afterwards."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import sys
import tomllib
from typing import TYPE_CHECKING, Any

from stamp import FOLDER, PINS, PYTHON, ROOT, UNFINISHED, read_stamp, settle, write_stamp
from trouble import Trouble, last_line, say

if TYPE_CHECKING:
    from collections.abc import Iterator


def make_ready(tools: bool) -> None:
    """Make, repair or move the environment where that is needed.

    Parameters
    ----------
    tools : bool
        Whether the tools for tests, lint and types are wanted too.

    Raises
    ------
    Trouble
        With a sentence, when it cannot be made.
    """
    wanted = _sum()
    stamp = read_stamp()
    if not _holds(stamp, wanted, tools):
        with _alone():
            _fill(wanted, tools)
    elif stamp["root"] != ROOT:
        import linking

        say("This folder has moved; its .venv follows.")
        linking.follow_the_move(stamp["root"])
        settle("root", ROOT)


# What the environment was made from


def _sum() -> str:
    """Hash what an environment depends on: the pins and the dependencies by name."""
    project = _project()
    named = [project["dependencies"], project["optional-dependencies"]]
    with open(PINS, "rb") as pins:
        return hashlib.sha256(pins.read() + json.dumps(named).encode()).hexdigest()


def _project() -> dict[str, Any]:
    with open(os.path.join(ROOT, "pyproject.toml"), "rb") as file:
        project: dict[str, Any] = tomllib.load(file)["project"]
    return project


def _holds(stamp: dict[str, Any], wanted: str, tools: bool) -> bool:
    return (
        stamp.get("sum") == wanted
        and (stamp.get("tools") is True or not tools)
        and isinstance(stamp.get("root"), str)
        and _same_python(stamp)
        and not os.path.exists(UNFINISHED)
    )


def _same_python(stamp: dict[str, Any]) -> bool:
    """Tell whether the Python that the environment was made from is still the one behind it."""
    return os.path.exists(PYTHON) and stamp.get("python") == _real_python()


def _real_python() -> str:
    real = os.path.realpath(PYTHON)
    return "" if real.startswith(os.path.realpath(FOLDER) + os.sep) else real


# Making it


@contextlib.contextmanager
def _alone() -> Iterator[None]:
    """Hold the pins while setting up, so that a second set-up does not cut into the first."""
    with open(PINS, "rb") as held:
        try:
            import fcntl

            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise Trouble(
                "Vatside is being set up already. Wait until that is done, then run this again."
            ) from None
        except (ImportError, OSError):
            pass  # a system or a disk without such locks: go on without
        yield


def _fill(wanted: str, tools: bool) -> None:
    import fetching
    import linking

    stamp = read_stamp()
    _clear_what_is_broken(stamp)
    tools = tools or stamp.get("tools") is True
    new = not _runs()
    if new:
        _see_to_the_venv_part()
    os.makedirs(FOLDER, exist_ok=True)
    with open(UNFINISHED, "w", encoding="utf-8"):
        pass
    if new:
        _make()
    project = _project()
    names = project["dependencies"] + (project["optional-dependencies"]["dev"] if tools else [])
    try:
        fetching.install(PYTHON, names, PINS, os.path.join(FOLDER, "vatside-installing.log"))
    except fetching.NothingChanged:
        _unmark()
        raise
    linking.link_the_project()
    _compile()
    write_stamp({"sum": wanted, "tools": tools, "root": ROOT, "python": _real_python()})
    os.remove(UNFINISHED)


def _clear_what_is_broken(stamp: dict[str, Any]) -> None:
    """Remove an environment that cannot be filled; leave one that can."""
    if not os.path.lexists(FOLDER) or (os.path.isdir(FOLDER) and not os.listdir(FOLDER)):
        return
    if os.path.exists(UNFINISHED):
        say("The last set-up was interrupted: making .venv afresh.")
    elif not os.path.exists(os.path.join(FOLDER, "pyvenv.cfg")):
        raise Trouble(
            f"{FOLDER} is there but is no Python environment. Rename or remove it, "
            "then run this again."
        )
    elif stamp and not _same_python(stamp):
        say("The Python that .venv was made from has changed: making it afresh.")
    elif not _runs():
        say("The .venv here does not run: making it afresh.")
    else:
        return
    import shutil

    shutil.rmtree(FOLDER)


def _runs() -> bool:
    """Tell whether the environment has a Python that is new enough and has pip."""
    ask = "import sys, pip; sys.exit(sys.version_info[:2] < (3, 11))"
    return os.path.exists(PYTHON) and _succeeds([PYTHON, "-c", ask])


def _succeeds(command: list[str]) -> bool:
    import subprocess

    try:
        return subprocess.run(command, capture_output=True, check=False).returncode == 0
    except OSError:
        return False


def _base_python() -> str:
    """Name the Python behind this one: never the environment's own, which may be about to go."""
    return getattr(sys, "_base_executable", None) or sys.executable


def _see_to_the_venv_part() -> None:
    ask = [_base_python(), "-c", "import venv, ensurepip"]
    if not _succeeds(ask):
        import system_libraries

        system_libraries.get_venv_part(lambda: _succeeds(ask))


def _make() -> None:
    import subprocess

    say("Making .venv.")
    command = [_base_python(), "-m", "venv", FOLDER]
    made = subprocess.run(command, capture_output=True, text=True, check=False)
    if made.returncode != 0:
        raise Trouble(f"Python could not make .venv: {last_line(made.stdout + made.stderr)}")


def _compile() -> None:
    """Compile the program, as pip does what it installs: no start has to."""
    import subprocess

    command = [PYTHON, "-m", "compileall", "-q", os.path.join(ROOT, "journal")]
    subprocess.run(command, capture_output=True, check=False)


def _unmark() -> None:
    """Take back the mark of an unfinished set-up: nothing was left half done."""
    os.remove(UNFINISHED)
    if not os.listdir(FOLDER):
        os.rmdir(FOLDER)
