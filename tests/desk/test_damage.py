"""A journal with damaged readings: every place opens, and says so where it needs them."""

from __future__ import annotations

import shutil
import sqlite3

import pytest
from PySide6.QtWidgets import QLabel

from journal.desk.window import Window
from journal.keeping import Journal


@pytest.fixture
def spoilt(sample_file, tmp_path):
    path = tmp_path / "spoilt.vatside"
    shutil.copy(sample_file, path)
    db = sqlite3.connect(path)
    db.execute("update reading_block set \"at\" = x'0011'")
    db.commit()
    db.close()
    journal = Journal.open(path)
    yield journal
    journal.close()


@pytest.mark.parametrize(
    ("place", "report"),
    [
        ("today", True),
        ("plans", True),
        ("vat", True),
        ("makes", True),
        ("compare", True),
        ("room", True),
        ("tastings", False),
        ("findings", True),
    ],
)
def test_every_place_opens_and_says_what_is_damaged(spoilt, saved, qapp, qtbot, place, report):
    window = Window(spoilt, settings=saved, look=qapp.property("vatside-look"))
    qtbot.addWidget(window)
    window.show()
    qtbot.waitExposed(window)
    window.go(place)
    qtbot.waitUntil(window.settled, timeout=20_000)
    output = [label.text() for label in window.current.findChildren(QLabel)]
    assert any("damaged" in text for text in output) == report
