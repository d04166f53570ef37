"""Fixtures of the command line: the command itself, run in this process, and journals."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from journal.command import main
from journal.keeping import Journal

PLAN = "cheddar type"


@dataclass(frozen=True)
class Done:
    """What a command left: its exit code and what it wrote."""

    code: int
    out: str
    err: str

    @property
    def data(self) -> Any:
        return json.loads(self.out)


Run = Callable[..., Done]


def fingerprint(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    def command(*words: object) -> Done:
        code = main([str(word) for word in words])
        caught = capsys.readouterr()
        return Done(code, caught.out, caught.err)

    return command


@pytest.fixture
def refused(run: Run) -> Callable[..., str]:
    """Run a command that must be refused; gives its one sentence."""

    def command(*words: object) -> str:
        done = run(*words)
        assert done.code == 2, done
        assert done.out == ""
        assert done.err.endswith(".\n") or done.err.endswith("?\n")
        assert done.err.count("\n") == 1
        return done.err.strip()

    return command


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """An empty journal in the zone the tests speak of."""
    path = tmp_path / "kitchen.vatside"
    Journal.create(path, letters="HL", zone="Europe/London").close()
    return path


@pytest.fixture
def sample(sample_file: Path, tmp_path: Path) -> Path:
    """The sample journal, a copy of its own."""
    return Path(shutil.copy(sample_file, tmp_path / "kitchen.vatside"))


@pytest.fixture
def begun(kitchen: Path, run: Run) -> Path:
    """A journal with one make, begun in summer time: 08:00 there is 07:00 UTC."""
    done = run("begin", kitchen, "--plan", PLAN, "--milk", "12l", "--at", "2026-07-14T08:00")
    assert done.code == 0, done
    return kitchen


@pytest.fixture
def finished(begun: Path, run: Run) -> Path:
    """The same, finished with two wheels."""
    words = ("--wheel", "620g", "--wheel", "0.58kg", "--at", "2026-07-15T08:00")
    assert run("finish", begun, "latest", *words).code == 0
    return begun
