"""Every place looks as it did when somebody last looked at it and approved."""

from __future__ import annotations

import json

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QAbstractButton

from journal.desk.shots import grab, leave
from tests.desk.comparing import (
    APPROVED,
    DRAWN_WITH,
    differences,
    draw,
    drawn_with,
    small,
    tiles_that_differ,
)


def test_every_place_looks_as_it_was_approved(qapp, tmp_path):
    approved = json.loads(DRAWN_WITH.read_text(encoding="utf-8"))
    if drawn_with() != approved:
        pytest.skip(f"approved with {approved}, drawn here with {drawn_with()}")
    drawn = draw(tmp_path)
    found = differences(drawn)
    assert not found, (
        f"Not as approved: {found}. Look at them in {tmp_path}; if they are right, approve them "
        "with: python -m tests.desk.comparing"
    )


def test_a_word_that_moves_and_a_colour_that_changes_are_seen(qapp, tmp_path):
    before = QImage(str(APPROVED / "today.png")).convertToFormat(QImage.Format.Format_RGB888)
    after = before.copy()
    painter = QPainter(after)
    painter.drawImage(QRect(0, 60, 200, 60), before, QRect(0, 56, 200, 60))  # twelve pixels up
    painter.end()
    assert tiles_that_differ(before, before) == 0
    assert tiles_that_differ(before, after) > 2
    tinted = before.copy()
    painter = QPainter(tinted)
    painter.fillRect(QRect(0, 100, 60, 20), QColor(Qt.GlobalColor.gray))
    painter.end()
    assert tiles_that_differ(before, tinted) > 2


def test_a_caret_that_blinks_is_no_difference(qapp, tmp_path):
    picture = QImage(1440, 900, QImage.Format.Format_RGB888)
    picture.fill(QColor("#fbf8f1"))
    picture.save(str(tmp_path / "one.png"))
    painter = QPainter(picture)
    painter.fillRect(QRect(300, 300, 1, 24), QColor("#201d18"))
    painter.end()
    picture.save(str(tmp_path / "other.png"))
    assert tiles_that_differ(small(tmp_path / "one.png"), small(tmp_path / "other.png")) <= 2


def test_a_button_that_the_pointer_was_left_on_is_drawn_as_any_other(qtbot, window_on, journal):
    window = window_on(journal, place="plans")
    qtbot.waitUntil(window.settled)
    button = next(one for one in window.findChildren(QAbstractButton) if one.isVisible())
    before = grab(button, 1.0).toImage()
    button.setAttribute(Qt.WidgetAttribute.WA_UnderMouse)
    leave(window)
    assert not button.underMouse()
    assert grab(button, 1.0).toImage() == before
