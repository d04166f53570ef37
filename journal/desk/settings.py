"""What the window remembers between two days: how it stands, the look, the divider, the journals
last opened."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import cast

from PySide6.QtCore import QByteArray, QObject, QSettings, QSize, QStandardPaths, QTimer
from PySide6.QtGui import QGuiApplication, QScreen
from PySide6.QtWidgets import QWidget

from journal.keeping.file import sync

RECENT_MOST = 8
SAMPLE_NAME = "hollow-lane.vatside"


def settings() -> QSettings:
    """The window's own settings file."""
    return QSettings(QSettings.Format.IniFormat, QSettings.Scope.UserScope, "Vatside", "vatside")


def sync_settings(saved: QSettings) -> None:
    """Write the settings through to the disk: Qt syncs the file, and not the name it gives it."""
    saved.sync()
    with suppress(OSError):
        sync(Path(saved.fileName()).parent)


def recent(saved: QSettings) -> list[str]:
    """The journals last opened that are still there, newest first."""
    found = saved.value("recent", [])
    paths = [found] if isinstance(found, str) else cast(list[str], found or [])
    return [path for path in paths if Path(path).exists()]


def remember(saved: QSettings, path: str) -> None:
    """Put a journal at the head of the recent ones."""
    path = str(Path(path).resolve())
    saved.setValue("recent", [path, *(p for p in recent(saved) if p != path)][:RECENT_MOST])


def second_folder(saved: QSettings, origin: str) -> Path | None:
    """Where backups of a journal go beside its own folder, as chosen on this computer."""
    found = saved.value(f"backups/{origin}", "", str)
    return Path(str(found)) if found else None


def choose_second_folder(saved: QSettings, origin: str, folder: Path | None) -> None:
    """Set a second folder for backups, or none."""
    saved.setValue(f"backups/{origin}", "" if folder is None else str(folder))


def put_back(window: QWidget, saved: QSettings, first: QSize) -> None:
    """Give a window the size, place and state it was left with, on a screen that is there, and keep
    it there; at first `first`, as far as the screen has room."""
    StaysOnScreen(window)
    known = saved.value("window/geometry")
    if isinstance(known, QByteArray) and window.restoreGeometry(known):
        keep_on_screen(window)
        return
    screen = window.screen() or QGuiApplication.primaryScreen()
    window.resize(first.boundedTo(screen.availableGeometry().size()) if screen else first)


class StaysOnScreen(QObject):
    """Brings a window back where a screen was taken away, or grew smaller."""

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        app = QGuiApplication.instance()
        if isinstance(app, QGuiApplication):
            app.screenRemoved.connect(self._on_screens)
            app.primaryScreenChanged.connect(self._on_screens)

    def _on_screens(self, _screen: QScreen) -> None:
        QTimer.singleShot(0, self, self._bring_back)  # once the system has moved it

    def _bring_back(self) -> None:
        keep_on_screen(self._window)


def keep_on_screen(window: QWidget) -> None:
    """Move and shrink a window so that all of it lies on its screen."""
    screen = window.screen() or QGuiApplication.primaryScreen()
    if screen is None or window.isMaximized() or window.isFullScreen():
        return
    room, held = screen.availableGeometry(), window.geometry()
    held.setSize(held.size().boundedTo(room.size()))
    left = min(max(held.left(), room.left()), room.right() + 1 - held.width())
    top = min(max(held.top(), room.top()), room.bottom() + 1 - held.height())
    held.moveTo(left, top)
    if held != window.geometry():
        window.setGeometry(held)


def remember_window(window: QWidget, saved: QSettings, place: str) -> None:
    """Remember how a window stands, and the place it shows."""
    saved.setValue("window/geometry", window.saveGeometry())
    if place:
        saved.setValue("window/place", place)


def is_sample(path: Path) -> bool:
    """Whether a journal is the sample that the program made by itself."""
    return path.resolve() == (data_folder() / SAMPLE_NAME).resolve()


def data_folder() -> Path:
    """Where the program puts journals it makes by itself."""
    where = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.GenericDataLocation)
    return Path(where) / "vatside"
