"""A wheel built from pyproject installs and runs with its resources, away from the checkout."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
import zipfile
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BUILT_FROM = ("pyproject.toml", "README.md", "LICENSE", "journal", "resources")


@dataclass(frozen=True)
class Installed:
    """The wheel, and the Python of the environment it was installed in."""

    wheel: Path
    bin: Path
    away: Path

    def run(self, *command: str) -> str:
        """Run a command where no checkout is near; return what it printed."""
        done = subprocess.run(
            [str(self.bin / command[0]), *command[1:]],
            cwd=self.away,
            env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout


def pip(*words: str) -> None:
    command = [sys.executable, "-m", "pip", "--disable-pip-version-check", *words]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Installed:
    folder = tmp_path_factory.mktemp("wheel")
    source = folder / "source"
    source.mkdir()
    for name in BUILT_FROM:
        copy = shutil.copytree if (ROOT / name).is_dir() else shutil.copyfile
        copy(ROOT / name, source / name)
    pip("wheel", "-q", "--no-deps", "--no-build-isolation", "-w", str(folder), str(source))
    (wheel,) = folder.glob("vatside-*.whl")

    venv = folder / "venv"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(venv)], check=True)
    python = venv / "bin" / "python"
    pip("--python", str(python), "install", "-q", "--no-deps", "--no-index", str(wheel))
    # What Vatside stands on is borrowed from the environment that runs the tests. A path that is
    # named in a .pth file has its own .pth files left unread, so no checkout comes along.
    site = subprocess.run(
        [python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout.strip()
    (Path(site) / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n")
    away = folder / "away"
    away.mkdir()
    return Installed(wheel, venv / "bin", away)


def test_the_wheel_holds_each_room_and_each_resource(installed):
    names = set(zipfile.ZipFile(installed.wheel).namelist())
    rooms = {str(path.relative_to(ROOT)) for path in (ROOT / "journal").rglob("*.py")}
    resources = {
        f"journal/{path.relative_to(ROOT)}"
        for path in (ROOT / "resources").rglob("*")
        if path.is_file()
    }
    assert any(name.startswith("journal/resources/plans/") for name in resources)
    assert rooms | resources <= names
    assert not any(name.startswith(("tests/", "packaging/")) for name in names)


def test_the_rooms_come_from_the_wheel(installed):
    where = installed.run("python", "-P", "-c", "import journal; print(journal.__file__)")
    assert where.startswith(str(installed.bin.parent))


def test_the_rooms_find_the_built_in_plans(installed):
    listed = installed.run(
        "python",
        "-P",
        "-c",
        "from journal.records.own_files import own_file\n"
        "print(*sorted(path.name for path in own_file('plans').glob('*.toml')), sep='\\n')",
    )
    plans = sorted(path.name for path in (ROOT / "resources" / "plans").glob("*.toml"))
    assert listed.split() == plans


def test_the_installed_command_lists_the_built_in_plans(installed):
    listed = installed.run("vatside", "plans")
    plans = list((ROOT / "resources" / "plans").glob("*.toml"))
    assert len(listed.strip().splitlines()) >= len(plans) > 0
