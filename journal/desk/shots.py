"""A picture of the window, or of a place alone, once it has done what it had under way."""

from __future__ import annotations

import time
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QEvent, QEventLoop, QSize, Qt
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QApplication, QWidget

from journal.desk.place import Place
from journal.desk.timers import timer
from journal.desk.window import Window
from journal.records.instants import from_iso

SETTLE_S = 120.0
# The sample leads up to this instant and an empty journal stands at it, so that two runs are alike.
DRAWN_MS = from_iso("2026-11-25T11:40", "Europe/London")
_WAKES_MS = 20
_LAYOUTS = 4  # words that came last want room, and what holds them in its turn
SMALL, USUAL = QSize(1280, 720), QSize(1440, 900)


@dataclass(frozen=True)
class Shot:
    """One way of looking: a name, a size, light or dark, pixels a point."""

    name: str
    size: QSize
    mode: str = "light"
    scale: float = 1.0


def settle(app: QApplication, window: Window | Place) -> None:
    """Let the window, or a place alone, do what it has under way; gives up after a while."""
    until = time.monotonic() + SETTLE_S
    app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 50)
    wakes = timer(None, _WAKES_MS)  # with a longest time of its own Qt would not wait at all
    wakes.start()
    while not window.settled() and time.monotonic() < until:
        app.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    wakes.stop()
    for _ in range(_LAYOUTS):
        app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 50)


def grab(window: QWidget, scale: float) -> QPixmap:
    """A widget as it is seen, `scale` pixels a point."""
    picture = QPixmap(window.size() * scale)
    picture.setDevicePixelRatio(scale)
    window.render(picture)
    return picture


def leave(window: QWidget) -> None:
    """Take the pointer off whatever it stands over: a picture shows nothing as pointed at."""
    for widget in (window, *window.findChildren(QWidget)):
        if widget.underMouse():
            widget.setAttribute(Qt.WidgetAttribute.WA_UnderMouse, False)
            QApplication.sendEvent(widget, QEvent(QEvent.Type.Leave))


def draw_shot(app: QApplication, window: Window, shot: Shot, path: Path) -> Path:
    """Write what is seen to a PNG file at `path`, its name followed by the shot's."""
    settle(app, window)
    leave(window)
    target = path.with_name(f"{'-'.join(p for p in (path.name, shot.name) if p)}.png")
    grab(window, shot.scale).save(str(target), "PNG")
    return target
