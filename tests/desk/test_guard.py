"""The Qt binding keeps its count of None: one that loses it kills the window after some hours."""

from __future__ import annotations

import sys

from PySide6.QtWidgets import QLabel

CALLS = 1_000
DRIFT_ALLOWED = 50


def test_calls_that_return_nothing_keep_the_count_of_none(qtbot):
    label = QLabel()
    qtbot.addWidget(label)
    texts = [f"{number} °C" for number in range(CALLS)]
    before = sys.getrefcount(None)
    for text in texts:
        label.setText(text)
    drift = sys.getrefcount(None) - before
    assert label.text() == texts[-1]
    assert abs(drift) < DRIFT_ALLOWED
