"""The real window on a real file, without a display."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication

from journal.desk.theme import Look
from journal.desk.window import Window
from journal.keeping import Journal


@pytest.fixture(autouse=True)
def _look(qapp: QApplication) -> None:
    if not isinstance(qapp.property("vatside-look"), Look):
        qapp.setProperty("vatside-look", Look(qapp, "light"))


@pytest.fixture
def kept(tmp_path: Path) -> QSettings:
    """Settings of this test alone."""
    return QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """An empty journal in a real file."""
    made = Journal.create(tmp_path / "kitchen.vatside", letters="HL", zone="Europe/London")
    yield made
    made.close()


@pytest.fixture(scope="session")
def sample_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample journal, written once."""
    from journal.sample import write_sample

    path = tmp_path_factory.mktemp("sample") / "hollow-lane.vatside"
    write_sample(path)
    return path


@pytest.fixture
def sample(sample_file: Path, tmp_path: Path) -> Iterator[Journal]:
    """The sample journal, a copy of its own."""
    path = tmp_path / "sample.vatside"
    shutil.copy(sample_file, path)
    made = Journal.open(path)
    yield made
    made.close()


@pytest.fixture
def window_on(qtbot, kept: QSettings) -> Callable[..., Window]:
    """Opens a window on a journal, shown and exposed."""

    def opened(journal: Journal | None, **choices) -> Window:
        window = Window(journal, settings=kept, **choices)
        qtbot.addWidget(window)
        window.show()
        qtbot.waitExposed(window)
        return window

    return opened
