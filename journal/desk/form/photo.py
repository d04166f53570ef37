"""A photo: asked for, shown small, taken away again."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.buttons import FAINT, Button
from journal.desk.charts.marks import BoxMark, Mark, PhotoMark, Scene
from journal.desk.drawn import PaintedWidget
from journal.desk.form.chips import HIGH
from journal.desk.layouts import in_row
from journal.desk.photo_file import read_photo
from journal.desk.theme import RADIUS, SMALL, STEP, font
from journal.wording.languages import translated

_WIDE = 11 * STEP


class Photo(QWidget):
    """A button that asks, and what came of it. `asked` wants a file, `changed` says that a photo
    came or went; `name` is what is kept of it."""

    asked = Signal()
    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.name = ""
        self.where: Callable[[str], Path | None] = _nowhere
        self.button = Button("Add a photo…", FAINT)
        self.button.setFont(font(SMALL))
        self.button.setFixedHeight(HIGH)
        self.away = Button("Delete", FAINT)
        self.away.setFont(font(SMALL))
        self.away.setFixedHeight(HIGH)
        self.small = SmallPhoto()
        in_row(self.small, self.button, self.away, None, of=self, margins=0, gap=2 * STEP)
        self.button.clicked.connect(self.asked)
        self.away.clicked.connect(self._on_away)
        self.show_name("")

    def show_name(self, name: str) -> None:
        """Show the photo of that name, "" for none."""
        self.name = name
        self.small.show_file(self.where(name) if name else None)
        self.small.setVisible(bool(name))
        self.away.setVisible(bool(name))
        self.button.set_label("Another photo…" if name else "Add a photo…")

    def take(self, name: str) -> None:
        """A photo was brought."""
        self.show_name(name)
        self.changed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self.name:
            self._on_away()
            return
        super().keyPressEvent(event)

    def _on_away(self) -> None:
        self.take("")
        self.button.setFocus()


class SmallPhoto(PaintedWidget):
    """A photo as small as a word, or larger where asked for."""

    def __init__(
        self, width: int = _WIDE, height: int = HIGH, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._picture: QPixmap | None = None
        self.setFixedSize(QSize(width, height))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(translated("Photo of the cut"))

    def show_file(self, path: Path | None) -> None:
        """Show this file; an empty frame when it cannot be read."""
        image = None if path is None else read_photo(path, self.size() * 2)
        self._picture = None if image is None else QPixmap.fromImage(image)
        self.update()

    def scene(self) -> Scene:
        box = (0.5, self.width() - 0.5), (0.5, self.height() - 0.5)
        marks: list[Mark] = [BoxMark(*box, edge="hairline", rounded=RADIUS)]
        if self._picture is not None:
            inner = self.rect().adjusted(2, 2, -2, -2)
            size = self._picture.size().scaled(inner.size(), Qt.AspectRatioMode.KeepAspectRatio)
            size = size.expandedTo(QSize(1, 1))
            left = inner.x() + (inner.width() - size.width()) // 2
            top = inner.y() + (inner.height() - size.height()) // 2
            across, down = (left, left + size.width()), (top, top + size.height())
            marks.append(PhotoMark(across, down, self._picture))
        return Scene(marks)


def _nowhere(_name: str) -> Path | None:
    return None
