"""Tab goes through the whole of every place and comes round again; Backtab the same way back."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from journal.desk.places import PLACES
from tests import present

_MOST = 400


def reachable(window: QWidget) -> set[QWidget]:
    """All that Tab should come to: what is seen, can be used, and takes the focus by Tab."""
    return {
        one
        for one in window.findChildren(QWidget)
        if one.isVisible()
        and one.isEnabled()
        and one.focusProxy() is None
        and one.focusPolicy() & Qt.FocusPolicy.TabFocus
        and one.window() is window
        and not one.visibleRegion().isEmpty()
    }


def walk(window: QWidget, key: Qt.Key) -> list[QWidget]:
    """Where the focus comes to, from key to key, until it comes to the same a second time."""
    seen: list[QWidget] = []
    while len(seen) < _MOST:
        here = QApplication.focusWidget() or window
        if here in seen:
            return seen
        seen.append(here)
        QTest.keyClick(here, key)
    return seen


@pytest.mark.parametrize("place", [entry.key for entry in PLACES])
def test_tab_comes_to_all_of_a_place_and_round_again(qtbot, sample, window_on, place):
    window = window_on(sample, clock=present.now, place=place)
    window.resize(1440, 900)
    qtbot.waitUntil(window.settled, timeout=30_000)
    for key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
        seen = walk(window, key)
        assert len(seen) < _MOST
        missed = reachable(window) - set(seen)
        assert not missed, [(type(one).__name__, one.accessibleName()) for one in missed]
