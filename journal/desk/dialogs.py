"""The one way to ask for a file or a folder; tests put their own answer here."""

from __future__ import annotations

import re
import sys
from functools import cache
from pathlib import Path

from PySide6.QtCore import QFileInfo, QStandardPaths
from PySide6.QtGui import QAbstractFileIconProvider, QIcon
from PySide6.QtWidgets import QApplication, QFileDialog, QStyle, QWidget

from journal.keeping import is_open
from journal.records.own_files import own_file
from journal.wording import worded
from journal.wording.languages import translated

SUFFIX = ".vatside"
JOURNALS = "Journals (*.vatside)"
TO_OPEN = "Journals and bundles (*.vatside *.vatside.zip)"
BUNDLES = "Bundles (*.vatside.zip)"
READINGS = "Readings (*.csv *.txt *.tsv);;All files (*)"
TABLES = "Tables (*.csv *.xlsx *.tsv *.txt);;All files (*)"
PICTURES_PNG = "PNG picture (*.png)"
PICTURES_SVG = "SVG drawing (*.svg)"
PDF = "PDF (*.pdf)"
CSV, XLSX = "CSV table (*.csv)", "XLSX workbook (*.xlsx)"
PAGES = "Page (*.html)"
PLANS = "Plans (*.toml)"
PHOTO_ENDS = (".jpg", ".jpeg", ".png", ".webp", ".gif", ".bmp")
PHOTOS = "Photos (*.jpg *.jpeg *.png *.webp *.gif *.bmp);;All files (*)"

_PATTERN = re.compile(r"\*(\.[\w.]+)")
_Accept, _Mode = QFileDialog.AcceptMode, QFileDialog.FileMode


def ask_open(parent: QWidget | None, title: str, kinds: str, folder: str = "") -> str:
    """The path of a file that is there, or "" when nothing was chosen."""
    return _ask(parent, title, _Mode.ExistingFile, folder, kinds)


def ask_save(parent: QWidget | None, title: str, kinds: str, suggestion: str = "") -> str:
    """The path of a file to write, or "" when nothing was chosen. It is proposed in the folder of
    documents."""
    again = title
    while typed := _ask(parent, again, _Mode.AnyFile, "", kinds, suggestion):
        path = _ended(typed, kinds)
        name = Path(path).name
        if is_open(path):
            again = worded("desk.name-is-open", file=name)
        elif path != typed and Path(path).exists():  # the dialog asked about the name as typed
            again = worded("desk.name-is-there", file=name)
        else:
            return path
    return ""


def _ended(path: str, kinds: str) -> str:
    """The path with the ending of its kind, where it has none that is a file's."""
    ending = _PATTERN.search(kinds)
    if ending is None or Path(path).suffix[1:].isalpha():
        return path
    return path + ending[1]


def ask_folder(parent: QWidget | None, title: str, folder: str = "") -> str:
    """The path of a folder, or "" when nothing was chosen."""
    return _ask(parent, title, _Mode.Directory, folder)


def documents() -> str:
    """The folder a person keeps documents in, or the home folder where there is none."""
    place = QStandardPaths.StandardLocation
    found = QStandardPaths.writableLocation(place.DocumentsLocation)
    return found if Path(found).is_dir() else QStandardPaths.writableLocation(place.HomeLocation)


def _ask(
    parent: QWidget | None, title: str, mode: QFileDialog.FileMode, folder: str,
    kinds: str = "", suggestion: str = "",
) -> str:  # fmt: skip
    dialog = file_dialog(parent, title)
    dialog.setAcceptMode(_Accept.AcceptSave if mode == _Mode.AnyFile else _Accept.AcceptOpen)
    dialog.setFileMode(mode)
    dialog.setOption(QFileDialog.Option.ShowDirsOnly, mode == _Mode.Directory)
    if kinds:
        dialog.setNameFilter(kinds)
    dialog.setDirectory(folder or documents())
    dialog.selectFile(suggestion)
    chosen = dialog.selectedFiles() if dialog.exec() else []
    dialog.deleteLater()
    return chosen[0] if chosen else ""


def file_dialog(parent: QWidget | None, title: str) -> QFileDialog:
    """A dialog that lists files without looking into them.

    To find its icon, Qt's own and Linux's others open each file whose ending they do not know. With
    a journal that is open, closing it again would take away the locks on it.
    """
    dialog = QFileDialog(parent, translated(title), str(own_file("icons", "vatside.svg").parent))
    if sys.platform.startswith("linux"):
        dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
    dialog.setIconProvider(_plain_icons())
    return dialog


class _PlainIcons(QAbstractFileIconProvider):
    """One icon for a folder, one for a file; asked from a thread of Qt's own."""

    def __init__(self) -> None:
        super().__init__()
        style = QApplication.style()
        self._file = style.standardIcon(QStyle.StandardPixmap.SP_FileIcon)
        self._folder = style.standardIcon(QStyle.StandardPixmap.SP_DirIcon)

    def icon(self, of: QFileInfo | QAbstractFileIconProvider.IconType) -> QIcon:
        if not isinstance(of, QFileInfo):
            return self._file if of == self.IconType.File else self._folder
        return self._folder if of.isDir() else self._file

    def type(self, info: QFileInfo) -> str:
        return "Folder" if info.isDir() else "File"


@cache
def _plain_icons() -> _PlainIcons:
    return _PlainIcons()
