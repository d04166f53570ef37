"""What is dropped onto the window, wherever in it: journals, bundles, plans, tables, photos."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QMimeData, QObject
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from journal.desk.files import FileController
    from journal.desk.place import Place

JOURNAL, BUNDLE, PLAN = ".vatside", ".zip", ".toml"
TABLES = (".csv", ".tsv", ".txt", ".xlsx")
PHOTOS = (".jpg", ".jpeg", ".png", ".webp", ".heic")
_NOT_HERE = "A photo is dropped on the day in Vat, or on a wheel in Ageing."


class DropController(QObject):
    """Takes files dropped where no part of the place takes them itself. `go` shows a place and
    gives it; `say` says a sentence in the place shown."""

    def __init__(
        self, window: QWidget, files: FileController, go: Callable[[str], Place | None],
        say: Callable[[str, bool], None],
    ) -> None:  # fmt: skip
        super().__init__(window)
        self._files, self._go, self._say = files, go, say
        window.setAcceptDrops(True)
        window.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QDropEvent) and event.type() == QEvent.Type.Drop:
            path = path_of(event.mimeData())
            if path:
                event.acceptProposedAction()
                self.take(path)
            return True
        if isinstance(event, QDragEnterEvent | QDragMoveEvent) and path_of(event.mimeData()):
            event.acceptProposedAction()
            return True
        return False

    def take(self, path: str) -> None:
        """Do what a file is for: open it, or show what it would bring in."""
        ending = path.lower()
        if ending.endswith(JOURNAL):
            self._files.open_path(path)
        elif ending.endswith(BUNDLE):
            self._files.open_bundle(path)
        elif ending.endswith(PHOTOS):
            self._say(_NOT_HERE, True)
        elif ending.endswith(TABLES):
            self._files.bring_makes_of(path)
        elif (plans := self._go("plans")) is not None:
            plans.take_plan_file(path)


def path_of(data: QMimeData) -> str:
    """The first file of a kind that the window takes, "" for anything else."""
    known = (JOURNAL, BUNDLE, PLAN, *TABLES, *PHOTOS)
    paths = [url.toLocalFile() for url in data.urls() if url.isLocalFile()]
    return next((path for path in paths if path.lower().endswith(known)), "")


def files_in(data: QMimeData, endings: tuple[str, ...]) -> list[Path]:
    """The files of those endings that are dragged or were copied."""
    paths = [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]
    return [path for path in paths if path.suffix.lower() in endings]


def is_for_window(path: str) -> bool:
    """Whether a file is the window's affair in every place: a journal, a bundle, a plan."""
    return path.lower().endswith((JOURNAL, BUNDLE, PLAN))
