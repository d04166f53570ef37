"""A small project of Vatside's shape, set up by the real scripts without a network."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PACKAGING = ROOT / "packaging"

PYPROJECT = """\
[project]
name = "vatside"
version = "0.0.1"
dependencies = ["ladle"]

[project.optional-dependencies]
dev = ["skimmer"]
"""
# Says how it was started: its arguments and where Qt would draw.
COMMAND = """\
import os, sys
print(*sys.argv[1:], os.environ.get("QT_QPA_PLATFORM", "screen"), sep="|")
"""
# The names of the packages are invented and lie in the test's own folder.
PACKAGE = 'def main():\n    print("{name} {version}")\n'


def plain_settings() -> dict[str, str]:
    """Give the environment without what would tell pip, Qt or Python to behave otherwise."""
    own = ("PIP_", "QT_", "PYTHON")
    return {name: value for name, value in os.environ.items() if not name.startswith(own)}


@dataclass(frozen=True)
class Place:
    """A project root to set up, and the only folder that packages come from."""

    root: Path
    shelf: Path

    def start(self, *words: str, python: str = sys.executable, **settings: str):
        """Run start.py with these words; a setting of "" is taken out of the environment."""
        wanted = {
            "PIP_CONFIG_FILE": os.devnull,
            "PIP_NO_INDEX": "1",
            "PIP_FIND_LINKS": self.shelf.as_uri(),
            "VATSIDE_SYSTEM": "ask",
            "XDG_DATA_HOME": str(self.data_home),
            **settings,
        }
        return subprocess.run(
            [python, str(self.root / "packaging" / "start.py"), *words],
            env={name: value for name, value in (plain_settings() | wanted).items() if value},
            cwd=self.root.parent,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            check=False,
            timeout=120,
        )

    def by_name(self, *command: str) -> str:
        """Run a command of the environment by its name; return what it printed."""
        return subprocess.run(
            [self.venv / "bin" / command[0], *command[1:]],
            env=plain_settings(),
            capture_output=True,
            text=True,
            check=True,
        ).stdout

    @property
    def venv(self) -> Path:
        return self.root / ".venv"

    @property
    def data_home(self) -> Path:
        """Where a person's own data files lie, in these tests."""
        return self.root.parent / "data home"

    @property
    def account(self) -> Path:
        """Pip's account of the last installing: unchanged when pip did not run."""
        return self.venv / "vatside-installing.log"

    def pin(self, **versions: str) -> None:
        lines = [f"{name}=={version}" for name, version in versions.items()]
        (self.root / "packaging" / "pins.txt").write_text("\n".join(lines) + "\n")


def put_on_shelf(shelf: Path, name: str, version: str) -> None:
    """Write a wheel by hand: one module, one command."""
    about = f"{name}-{version}.dist-info"
    files = {
        f"{name}.py": PACKAGE.format(name=name, version=version),
        f"{about}/METADATA": f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n",
        f"{about}/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
        f"{about}/entry_points.txt": f"[console_scripts]\n{name} = {name}:main\n",
    }
    files[f"{about}/RECORD"] = "".join(f"{file},,\n" for file in [*files, f"{about}/RECORD"])
    with zipfile.ZipFile(shelf / f"{name}-{version}-py3-none-any.whl", "w") as wheel:
        for file, text in files.items():
            wheel.writestr(file, text)


def new_place(folder: Path) -> Place:
    place = Place(folder / "a cheese room", folder / "shelf of wheels")
    place.shelf.mkdir(parents=True)
    for name, version in [("ladle", "1.0"), ("ladle", "1.1"), ("skimmer", "1.0")]:
        put_on_shelf(place.shelf, name, version)
    shutil.copytree(
        PACKAGING, place.root / "packaging", ignore=shutil.ignore_patterns("__pycache__")
    )
    icons = place.root / "resources" / "icons"
    icons.mkdir(parents=True)
    shutil.copy(ROOT / "resources" / "icons" / "vatside.svg", icons)
    place.pin(ladle="1.0", skimmer="1.0")
    (place.root / "pyproject.toml").write_text(PYPROJECT)
    (place.root / "journal").mkdir()
    (place.root / "journal" / "__init__.py").write_text("")
    (place.root / "journal" / "command.py").write_text(COMMAND)
    return place


@pytest.fixture
def place(tmp_path: Path) -> Place:
    """A project root that was never set up."""
    return new_place(tmp_path)


@pytest.fixture(scope="module")
def ready_once(tmp_path_factory: pytest.TempPathFactory) -> Place:
    """A project root that is set up; tests leave it as it was."""
    made = new_place(tmp_path_factory.mktemp("ready"))
    done = made.start("set-up")
    assert done.returncode == 0, done.stderr
    return made


@pytest.fixture
def ready(ready_once: Place, tmp_path: Path) -> Place:
    """A set-up project root of the test's own: a copy, moved to another folder."""
    shutil.copytree(ready_once.root, tmp_path / "moved here", symlinks=True)
    return Place(tmp_path / "moved here", ready_once.shelf)
