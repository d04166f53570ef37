"""What start.py runs in the environment: the window or the tour, tests, paces, the command."""

from __future__ import annotations

import os
import shutil
import sys

import environment
import stamp
from trouble import Trouble, say

USAGE = """\
python3 packaging/start.py              set up, then open the window (without a display: draw the
                                        tour of the sample journal into tour/)
python3 packaging/start.py -- ARGS      run the vatside command with ARGS
python3 packaging/start.py test [ARGS]  run all tests, or pytest with ARGS
python3 packaging/start.py pace [ARGS]  run the measurements
python3 packaging/start.py siege [ARGS] run the proofs that nothing is lost
python3 packaging/start.py coverage [ARGS]  say how much of the rooms the tests reach
python3 packaging/start.py mutants ROOM [ARGS]  say what the tests of a room do not notice
python3 packaging/start.py lines [COMMIT]  count the lines of each room
python3 packaging/start.py set-up       set up, list Vatside among your programs, run nothing;
                                        set-up --no-menu leaves the list alone, set-up
                                        --remove-menu takes Vatside off it
"""
COMMAND = ["-P", "-m", "journal.command"]


def run(arguments: list[str]) -> int:
    """Run one word with its arguments; return the exit code, or become the program."""
    try:
        return _run(arguments)
    except Trouble as trouble:
        say(str(trouble))
    except OSError as error:
        say(f"{_what_failed(error)}. Correct that, then run this again.")
    except KeyboardInterrupt:
        say("Stopped before it was done. Run it again when you like; it continues.")
        return 130
    return 2


def _what_failed(error: OSError) -> str:
    place = f"{error.filename}: " if error.filename else ""
    return f"Setting up stopped at {place}{error.strerror or error}"


def _run(arguments: list[str]) -> int:
    word, rest = (arguments[0], arguments[1:]) if arguments else ("", [])
    if word in ("-h", "--help"):
        print(USAGE, end="")
        return 0
    words = {
        "": _open,
        "--": _command,
        "test": _test,
        "pace": _pace,
        "siege": _siege,
        "coverage": _coverage,
        "mutants": _mutants,
        "lines": _lines,
        "set-up": _set_up,
    }
    if word not in words:
        say(f"start.py does not know {word!r}. It takes these:\n\n{USAGE}")
        return 2
    return words[word](rest)


def has_display() -> bool:
    """Tell whether a window can be shown; only Linux can be without."""
    if not sys.platform.startswith("linux"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def _open(_: list[str]) -> int:
    if has_display():
        _ready(("drawing", "window"))
        import desktop_entry

        desktop_entry.follow()
        return _become([*COMMAND])
    _ready(("drawing",))
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    return _become([*COMMAND, "tour", os.path.join(stamp.ROOT, "tour")])


def _command(rest: list[str]) -> int:
    _ready(())
    return _become([*COMMAND, *rest])


def _test(rest: list[str]) -> int:
    _ready(("drawing",), tools=True)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    _keep_what_is_compiled()
    os.chdir(stamp.ROOT)
    return _become(["-m", "pytest", *(rest or ["-n", "auto", "--dist", "worksteal"])])


def _pace(rest: list[str]) -> int:
    _ready(("drawing",), tools=True)
    if not has_display():
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    _keep_what_is_compiled()
    os.chdir(stamp.ROOT)
    return _become(["-m", "tests.pace", *rest])


def _keep_what_is_compiled() -> None:
    """Have each of many processes read what the first has compiled, as on a person's machine."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


def _siege(rest: list[str]) -> int:
    _ready(("drawing",), tools=True)
    import system_libraries

    if shutil.which("strace") is None and system_libraries.may_install():
        system_libraries.apt_get(["strace"])
    os.chdir(stamp.ROOT)
    return _become(["-m", "tests.siege", *rest])


def _coverage(rest: list[str]) -> int:
    _ready(("drawing",), tools=True)
    os.chdir(stamp.ROOT)
    return _become(["-m", "tests.measures.covered", *rest])


def _mutants(rest: list[str]) -> int:
    _ready(("drawing",), tools=True)
    os.chdir(stamp.ROOT)
    return _become(["-m", "tests.measures.mutants", *rest])


def _lines(rest: list[str]) -> int:
    _ready((), tools=True)
    os.chdir(stamp.ROOT)
    return _become(["-m", "tests.measures.lines", *rest])


def _set_up(rest: list[str]) -> int:
    import desktop_entry

    unknown = [word for word in rest if word not in ("--no-menu", "--remove-menu")]
    if unknown:
        say(f"start.py set-up does not know {unknown[0]!r}. It takes these:\n\n{USAGE}")
        return 2
    if "--remove-menu" in rest:
        there = desktop_entry.remove()
        say("Vatside is off your list of programs." if there else "It was not on your list.")
        return 0
    _ready(())
    if "--no-menu" not in rest and desktop_entry.install():
        say("Vatside is among your programs, and opens *.vatside files. To take it off the list: "
            "python3 packaging/start.py set-up --remove-menu")  # fmt: skip
    say("Vatside is set up. Open it with: python3 packaging/start.py")
    return 0


def _ready(needs: tuple[str, ...], tools: bool = False) -> None:
    environment.make_ready(tools)
    if stamp.settled("qt") is not True:
        import system_libraries

        system_libraries.see_to_qt(needs)


def _become(arguments: list[str]) -> int:
    """Hand over to the environment's Python."""
    command = [stamp.PYTHON, *arguments]
    if os.name == "nt":
        import subprocess

        return subprocess.call(command)
    sys.stdout.flush()
    sys.stderr.flush()
    os.execv(command[0], command)
    return 0
