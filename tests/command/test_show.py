"""pictures and tour: every place drawn, and what the tour tells."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from journal.desk.places import PLACES

COMMAND = [sys.executable, "-P", "-m", "journal.command"]


def drawn(*words):
    """A command that draws, in a process of its own: it sets up its own application."""
    place = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    return subprocess.run(
        [*COMMAND, *map(str, words)], capture_output=True, text=True, check=False, env=place
    )


def test_the_tour_draws_every_place_and_tells_the_journal(tmp_path):
    out = tmp_path / "tour"
    done = drawn("tour", out, "--json")
    assert done.returncode == 0, done.stderr
    data = json.loads(done.stdout)
    assert sorted(path.name for path in out.iterdir()) == sorted(data["pictures"])
    assert {f"{entry.key}.png" for entry in PLACES} <= set(data["pictures"])
    assert all((out / name).read_bytes().startswith(b"\x89PNG") for name in data["pictures"])
    assert data["deviation"]["rms_c"] > 0
    assert data["forecast"]["ph"] == pytest.approx(5.4)
    assert data["findings"]["makes"] > 10


def test_pictures_of_no_journal_are_refused(tmp_path, refused):
    refused("pictures", tmp_path / "out", "--journal", tmp_path / "nowhere.vatside")
    assert not (tmp_path / "out").exists()
    (tmp_path / "file").write_text("x")
    refused("pictures", tmp_path / "file")
