"""What Qt lacks on a Linux system is found by loading and told with the command that mends it."""

from __future__ import annotations

import importlib
import os
import shutil
import sys
from pathlib import Path

import PySide6
import pytest

PACKAGING = Path(__file__).resolve().parents[2] / "packaging"
pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux asks it")


@pytest.fixture
def libraries(monkeypatch):
    """The module, as start.py finds it: beside itself."""
    monkeypatch.syspath_prepend(str(PACKAGING))
    names = ("system_libraries", "stamp", "trouble")
    module = importlib.import_module("system_libraries")
    yield module
    for name in names:
        sys.modules.pop(name, None)


def pretend_path(monkeypatch, folder: Path, *commands: str) -> None:
    """Leave only these commands on the path."""
    folder.mkdir(exist_ok=True)
    for command in commands:
        real = shutil.which(command) or sys.executable
        (folder / command).symlink_to(real)
    monkeypatch.setenv("PATH", str(folder))


def test_the_loader_names_a_library_that_is_not_there(libraries, monkeypatch, tmp_path):
    # One Qt library alone: the others it needs stood beside it, so the loader misses them.
    qt = tmp_path / ".venv" / "lib" / "python3.11" / "site-packages" / "PySide6" / "Qt" / "lib"
    qt.mkdir(parents=True)
    real = Path(PySide6.__file__).parent / "Qt" / "lib" / "libQt6Widgets.so.6"
    (qt / real.name).write_bytes(real.read_bytes())
    monkeypatch.setattr(libraries.stamp, "FOLDER", str(tmp_path / ".venv"))
    assert "libQt6Gui.so.6" in libraries.what_is_missing()["drawing"]


def test_nothing_is_missing_where_qt_draws(libraries, monkeypatch, tmp_path):
    # These tests draw, so on this very machine the loader finds all that drawing needs.
    package = tmp_path / ".venv" / "lib" / "python3.11" / "site-packages"
    package.mkdir(parents=True)
    (package / "PySide6").symlink_to(Path(PySide6.__file__).parent)
    monkeypatch.setattr(libraries.stamp, "FOLDER", str(tmp_path / ".venv"))
    assert "drawing" not in libraries.what_is_missing()


def test_each_library_has_one_debian_package_and_each_package_is_asked_for_once(libraries):
    missing = {"drawing": ["libglib-2.0.so.0", "libgthread-2.0.so.0"], "window": ["libxcb.so.1"]}
    assert libraries.packages_for(missing) == ["libglib2.0-0", "libxcb1"]
    assert libraries.packages_for({"letters": ["fonts-dejavu-core"]}) == ["fonts-dejavu-core"]


def test_on_debian_the_exact_command_is_told(libraries, monkeypatch, tmp_path):
    pretend_path(monkeypatch, tmp_path / "bin", "apt-get")
    missing = {"window": ["libxcb-cursor.so.0"], "sound": ["libpulse.so.0"]}
    assert libraries._what_to_do(missing) == (
        "This system lacks libraries that Qt needs, and without them the window cannot open; "
        "the alarm makes no sound and shows in the window only. Install them with: "
        "sudo apt-get update && sudo apt-get install libpulse0 libxcb-cursor0"
    )


def test_on_fedora_the_libraries_themselves_are_asked_for(libraries, monkeypatch, tmp_path):
    pretend_path(monkeypatch, tmp_path / "bin", "dnf")
    sentence = libraries._what_to_do({"drawing": ["libEGL.so.1"], "letters": [libraries.LETTERS]})
    assert sentence.endswith("sudo dnf install 'libEGL.so.1()(64bit)' dejavu-sans-fonts")


def test_elsewhere_the_libraries_are_named(libraries, monkeypatch, tmp_path):
    pretend_path(monkeypatch, tmp_path / "bin")
    sentence = libraries._what_to_do({"drawing": ["libEGL.so.1"]})
    assert sentence.endswith("Install the packages of your system that hold libEGL.so.1.")


def test_only_root_with_apt_installs_and_not_where_it_should_ask(libraries, monkeypatch, tmp_path):
    pretend_path(monkeypatch, tmp_path / "bin", "apt-get")
    monkeypatch.delenv("VATSIDE_SYSTEM", raising=False)
    assert libraries.may_install() == (os.geteuid() == 0)
    monkeypatch.setenv("VATSIDE_SYSTEM", "ask")
    assert not libraries.may_install()


def test_what_is_needed_stops_and_what_is_not_is_only_told(
    libraries, monkeypatch, capsys, tmp_path
):
    monkeypatch.setenv("VATSIDE_SYSTEM", "ask")
    monkeypatch.setattr(libraries.stamp, "STAMP", str(tmp_path / "stamp"))
    lacking = {"window": ["libxcb-cursor.so.0"]}
    monkeypatch.setattr(libraries, "what_is_missing", lambda: lacking)
    libraries.see_to_qt(("drawing",))
    assert "the window cannot open" in capsys.readouterr().err
    with pytest.raises(libraries.Trouble, match="the window cannot open"):
        libraries.see_to_qt(("drawing", "window"))


def test_what_was_found_whole_is_not_looked_at_again(libraries, monkeypatch, tmp_path):
    monkeypatch.setattr(libraries.stamp, "STAMP", str(tmp_path / "stamp"))
    looks = []
    monkeypatch.setattr(libraries, "what_is_missing", lambda: looks.append("look") or {})
    libraries.see_to_qt(("drawing",))
    libraries.see_to_qt(("drawing", "window"))
    assert looks == ["look"]
