"""One place alone: it needs a desk with the sample's data, and no window around it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from journal.desk.places import PLACES
from journal.desk.preview import PlaceAlone
from journal.desk.shots import settle
from journal.records.clocks import Clocks
from tests import present

ROOT = Path(__file__).resolve().parents[2]


def preview(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    without = {name: value for name, value in os.environ.items() if not name.endswith("DISPLAY")}
    return subprocess.run(
        [sys.executable, "-m", "journal.desk.preview", *words],
        cwd=folder,
        env={**without, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_without_a_display_the_place_is_drawn_into_the_current_folder(tmp_path):
    done = preview(tmp_path, "room")
    assert done.returncode == 0, done.stderr
    assert "Drawn to room.png in the current folder." in done.stdout
    assert [path.name for path in tmp_path.iterdir()] == ["room.png"]
    picture = QImage(str(tmp_path / "room.png"))
    assert (picture.width(), picture.height()) == (1440, 900)
    colours = {picture.pixel(x, y) for x in range(0, 1440, 3) for y in range(0, 900, 3)}
    assert len(colours) > 20  # words and curves, not a bare page


def test_an_empty_journal_and_dark_colours_have_pictures_of_their_own(tmp_path):
    done = preview(tmp_path, "makes", "--empty", "--dark")
    assert done.returncode == 0, done.stderr
    picture = QImage(str(tmp_path / "makes-empty-dark.png"))
    assert picture.pixelColor(2, 2).lightness() < 80


def test_a_room_that_is_not_there_is_refused_with_those_that_are(tmp_path):
    done = preview(tmp_path, "attic")
    assert done.returncode == 2
    assert "attic" in done.stderr
    assert all(entry.key in done.stderr for entry in PLACES)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("key", [entry.key for entry in PLACES])
def test_every_place_stands_without_the_window(key, qapp: QApplication, sample, saved, qtbot):
    alone = PlaceAlone(key, sample, Clocks(present.now), saved)
    qtbot.waitExposed(alone.place)
    settle(qapp, alone.place)
    assert alone.place.settled()
    alone.close()


def test_what_a_place_asks_of_the_window_is_written_down(sample, saved, capsys):
    alone = PlaceAlone("today", sample, Clocks(present.now), saved)
    alone.place.goes.emit("vat", None)
    alone.place.goes.emit("makes", 3)
    alone.place.desk.show_sensors()
    alone.close()
    output = capsys.readouterr().out
    assert "It asks the window for the place vat.\n" in output
    assert "the place makes with make 3" in output
    assert "the dialog of the sensors" in output
