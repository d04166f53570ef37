"""start.py sets up, mends, and tells a person in a sentence what stands in the way."""

from __future__ import annotations

import ast
import shutil
import socket
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
START = ROOT / "packaging" / "start.py"


def report(done: subprocess.CompletedProcess[str]) -> str:
    """Give what a refused person reads: sentences, no traceback, nothing on standard output."""
    assert done.returncode == 2, done.stderr
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    return done.stderr


def closed_port() -> int:
    with socket.socket() as bound:
        bound.bind(("127.0.0.1", 0))
        return bound.getsockname()[1]


# Too old a Python


def as_python(version: tuple[int, ...], path: str) -> subprocess.CompletedProcess[str]:
    """Run the script under a Python that gives its version as this one."""
    code = (
        f"import runpy, sys; sys.version_info = {version}; sys.argv = ['start.py'];"
        f"runpy.run_path({str(START)!r}, run_name='__main__')"
    )
    return subprocess.run(
        [sys.executable, "-c", code],
        env={"PATH": path},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("version", [(2, 7, 18), (3, 6, 9), (3, 10, 4)])
def test_an_old_python_is_told_what_is_needed(version):
    sentence = report(as_python(version, path=""))
    assert "Python 3.11 or newer" in sentence
    assert f"this one is {version[0]}.{version[1]}." in sentence
    assert "Install one" in sentence


def test_an_old_python_is_told_of_a_newer_one_on_the_machine(tmp_path):
    (tmp_path / "python3.13").symlink_to(sys.executable)
    sentence = report(as_python((3, 9, 2), path=str(tmp_path)))
    assert f'python3.13 "{START}"' in sentence


def test_the_script_keeps_to_words_that_old_pythons_read():
    source = START.read_text(encoding="ascii")
    newer = (
        ast.JoinedStr,
        ast.AnnAssign,
        ast.NamedExpr,
        ast.Match,
        ast.AsyncFunctionDef,
        ast.Await,
        ast.Nonlocal,
        ast.YieldFrom,
    )
    for node in ast.walk(ast.parse(source)):
        assert not isinstance(node, newer), f"line {node.lineno}"
        if isinstance(node, ast.FunctionDef):
            named = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
            assert node.returns is None
            assert not node.args.kwonlyargs
            assert not node.args.posonlyargs
            assert all(argument.annotation is None for argument in named)
    assert "__future__" not in source


# What a machine can lack


def test_a_python_without_its_venv_part_is_told_how_to_get_it(place, tmp_path):
    hidden = tmp_path / "hidden"
    hidden.mkdir()
    (hidden / "ensurepip.py").write_text("raise ImportError('left out of this Python')\n")
    sentence = report(place.start("set-up", PYTHONPATH=str(hidden)))
    assert "has no venv part" in sentence
    if shutil.which("apt-get"):
        package = f"python3.{sys.version_info[1]}-venv"
        assert f"sudo apt-get update && sudo apt-get install {package}" in sentence
    assert not place.venv.exists()


def test_without_a_network_it_says_so_and_a_later_run_goes_on(place):
    index = f"http://127.0.0.1:{closed_port()}/simple"
    away = {"PIP_NO_INDEX": "", "PIP_FIND_LINKS": "", "PIP_INDEX_URL": index, "PIP_RETRIES": "0"}
    sentence = report(place.start("set-up", **away))
    assert "no network" in sentence
    assert "run this again" in sentence

    done = place.start("set-up")
    assert done.returncode == 0, done.stderr
    assert "afresh" not in done.stderr
    assert "Making .venv" not in done.stderr


def test_a_package_that_no_machine_like_this_has_is_named(place):
    place.pin(ladle="9.9", skimmer="1.0")
    sentence = report(place.start("set-up"))
    assert "There is no ladle" in sentence
    assert "ready made for Python" in sentence


def test_a_folder_that_is_no_environment_is_left_alone(place):
    place.venv.mkdir()
    (place.venv / "notes.txt").write_text("mine")
    sentence = report(place.start("set-up"))
    assert "is no Python environment" in sentence
    assert (place.venv / "notes.txt").read_text() == "mine"


def test_a_missing_file_of_the_project_is_named(place):
    (place.root / "pyproject.toml").unlink()
    assert "pyproject.toml: No such file" in report(place.start("set-up"))


def test_an_unknown_word_shows_the_words_there_are(place):
    sentence = report(place.start("brush"))
    assert "'brush'" in sentence
    assert "start.py test" in sentence


# Once it is set up


def test_a_path_with_spaces_works_and_the_answer_has_standard_output_to_itself(ready_once):
    done = ready_once.start("--", "log", "two words", "31,5")
    assert done.stdout == "log|two words|31,5|screen\n"
    assert done.stderr == ""
    assert ready_once.by_name("vatside", "makes") == "makes|screen\n"


def test_a_second_run_starts_at_once_and_asks_pip_nothing(ready_once):
    before = ready_once.account.stat().st_mtime_ns
    ratios = [work_of_start(ready_once) / (2 * work_of_bare()) for _ in range(5)]
    assert ready_once.account.stat().st_mtime_ns == before
    # Two Pythons start here, this one and the environment's; the script's own share is small.
    assert min(ratios) < 3.5


def work_of_start(place) -> float:
    """What a start asks of the processor, which other work on the machine does not change."""
    before = work_of_children()
    assert place.start("--").returncode == 0
    return work_of_children() - before


def work_of_bare() -> float:
    before = work_of_children()
    subprocess.run([sys.executable, "-c", ""], check=True)
    return work_of_children() - before


def work_of_children() -> float:
    resource = pytest.importorskip("resource")  # not on Windows
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def test_the_window_opens_where_there_is_a_display(ready_once):
    done = ready_once.start(DISPLAY=":0", WAYLAND_DISPLAY="")
    assert done.stdout == "screen\n"
    assert ready_once.start(DISPLAY="", WAYLAND_DISPLAY="wayland-0").stdout == "screen\n"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="others always have a display")
def test_without_a_display_the_tour_is_drawn(ready_once):
    done = ready_once.start(DISPLAY="", WAYLAND_DISPLAY="")
    assert done.stdout == f"tour|{ready_once.root / 'tour'}|offscreen\n"


def test_the_tools_come_when_tests_are_asked_for(ready):
    assert not (ready.venv / "bin" / "skimmer").exists()
    done = ready.start("test")
    # The small project has no pytest: that it was asked for shows which Python was reached.
    assert "No module named pytest" in done.stderr
    assert (ready.venv / "bin" / "skimmer").exists()


def test_changed_pins_are_followed(ready):
    ready.pin(ladle="1.1", skimmer="1.0")
    done = ready.start("set-up")
    assert done.returncode == 0, done.stderr
    assert ready.by_name("ladle") == "ladle 1.1\n"


def test_a_moved_folder_is_followed_without_installing_anything(ready):
    before = ready.account.stat().st_mtime_ns
    done = ready.start("--", "plans", PIP_FIND_LINKS="")
    assert done.stdout == "plans|screen\n"
    assert "has moved" in done.stderr
    assert ready.account.stat().st_mtime_ns == before
    assert ready.start("--", "plans").stderr == ""
    for name in ("ladle", "pip"):
        first = (ready.venv / "bin" / name).read_text().split("\n")[1]
        assert str(ready.venv / "bin" / "python") in first
    assert ready.by_name("ladle") == "ladle 1.0\n"


def test_an_interrupted_set_up_is_made_afresh(ready):
    (ready.venv / "vatside-unfinished").touch()
    (ready.venv / "left over").touch()
    done = ready.start("--", "makes")
    assert "interrupted: making .venv afresh" in done.stderr
    assert done.stdout == "makes|screen\n"
    assert not (ready.venv / "left over").exists()
    assert not (ready.venv / "vatside-unfinished").exists()


def test_an_environment_whose_python_is_gone_is_made_afresh(ready):
    for link in (ready.venv / "bin").glob("python*"):
        link.unlink()
    (ready.venv / "bin" / "python").symlink_to(ready.root / "gone")
    done = ready.start("--", "makes")
    assert "has changed: making it afresh" in done.stderr
    assert done.stdout == "makes|screen\n"


def test_two_set_ups_at_once_do_not_cut_into_each_other(place):
    fcntl = pytest.importorskip("fcntl")
    with open(place.root / "packaging" / "pins.txt", "rb") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        assert "being set up already" in report(place.start("set-up"))
    assert not place.venv.exists()


def test_the_check_of_everything_fails_when_its_parts_do(ready):
    shutil.copytree(ROOT / ".ci", ready.root / ".ci")
    scripts = Path(sys.executable).parent
    done = ready.start("set-up")
    assert done.returncode == 0, done.stderr
    checked = subprocess.run(
        ["bash", str(ready.root / ".ci" / "run")],
        env={
            "PATH": f"{scripts}:/usr/bin:/bin",
            "PIP_CONFIG_FILE": "/dev/null",
            "PIP_NO_INDEX": "1",
            "PIP_FIND_LINKS": ready.shelf.as_uri(),
            "VATSIDE_SYSTEM": "ask",
            "CI": "true",
        },
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert checked.returncode == 1
    assert checked.stdout.endswith(
        "Not passed: tests; other days and languages; lint; layout; types; import contract;\n"
    )
