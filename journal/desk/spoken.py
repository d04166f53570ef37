"""Screen readers: announcements, and descriptions of what is drawn by hand."""

from __future__ import annotations

import atexit
from typing import ClassVar

import shiboken6
from PySide6.QtCore import QObject
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QAccessibleInterface
from PySide6.QtWidgets import QAccessibleWidget, QWidget

# Classes that are drawn, and what they are to a reader; what is built on one of them is the same.
_DRAWN = {
    "Chart": QAccessible.Role.Chart,
    "RibbonsView": QAccessible.Role.Chart,
    "DrawnWidget": QAccessible.Role.Graphic,
}


def announce(widget: QWidget, sentence: str, *, urgent: bool = False) -> None:
    """Let a screen reader say it, at once where it is urgent, else when it has finished what it
    says; nothing for a widget that is not seen."""
    if sentence and widget.window().isVisible():
        send(widget, sentence, urgent)


class SpokenProgress:
    """Has a screen reader say how far work is, once at each quarter on the way."""

    def __init__(self) -> None:
        self._quarter = 0

    def tell(self, widget: QWidget, share: float, words: str) -> None:
        """It is so far, 0 to 1."""
        quarter = int(4 * share)
        if quarter > self._quarter and share < 1:
            announce(widget, f"{words}, {25 * quarter} %")
        self._quarter = quarter


def send(widget: QWidget, sentence: str, urgent: bool) -> None:
    """Hand it to the system, which passes it on where a screen reader runs."""
    event = QAccessibleAnnouncementEvent(widget, sentence)
    if urgent:
        event.setPoliteness(QAccessible.AnnouncementPoliteness.Assertive)
    QAccessible.updateAccessibility(event)


class _Installed:
    done = False  # Qt keeps one list for the whole program
    made: ClassVar[list[QAccessibleInterface]] = []  # else Python frees what Qt still holds


def name_pictures() -> None:
    """Name what is drawn by hand as a chart or a picture."""
    if not _Installed.done:
        _Installed.done = True
        QAccessible.installFactory(_picture)
        atexit.register(_leave_to_qt)


def _picture(kind: str, drawn: QObject) -> QAccessibleInterface | None:
    if kind in _DRAWN and isinstance(drawn, QWidget):
        made = QAccessibleWidget(drawn, _DRAWN[kind], "")
        _Installed.made = [*filter(shiboken6.isValid, _Installed.made), made]
        return made
    return None


def _leave_to_qt() -> None:
    """Give up what Qt still holds and frees itself as the program ends."""
    for one in filter(shiboken6.isValid, _Installed.made):
        shiboken6.invalidate(one)
